#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "base/result.hpp"
#include "format/recording_file.hpp"
#include "measure/frame_marks.hpp"
#include "measure/measure_record.hpp"

namespace halfturn {

/// What `halfturn measure` was told, still as text.
struct MeasureOptions {
  std::string record, plan, rung, takeoff, landing, flight;
  std::string time_unit, rate_unit, force_unit, length_unit, segment;
  std::string up, orientation, hand, rest, axes, still, turn, bow, flip_toward, start_heading;
  std::string frames, fps, turned;
  bool json = false;
};
void add_measure_options(CLI::App& command, MeasureOptions& options);

/// What the options say about the columns of a record, about the record as a whole, and the marks of a video.
/// Problems name the option.
[[nodiscard]] Result<ColumnAnswers> column_answers(const MeasureOptions& options);
[[nodiscard]] Result<MeasureRequest> request_of(const MeasureOptions& options);
[[nodiscard]] Result<FrameMarks> frame_marks(const MeasureOptions& options);

}  // namespace halfturn
