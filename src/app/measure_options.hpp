#pragma once

#include <CLI/CLI.hpp>
#include <string>

#include "base/result.hpp"
#include "command.hpp"
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
  std::string strip, from, to, pictures = "48";  ///< of a video
  bool json = false;
};
void add_measure_options(CLI::App& command, MeasureOptions& options);
/// Those among them that answer what a record does not say, or mark a video, under a heading of the help.
/// `marks` names the option for takeoff and landing in a video.
void add_answer_options(CLI::App& command, MeasureOptions& options, const char* group, const char* marks);
/// Where the answer to such an option, "--up", is kept; null for any other.
[[nodiscard]] std::string* answer_to(MeasureOptions& options, const std::string& option);

/// What the options say about the columns of a record, about the record as a whole, and the marks of a video.
/// Problems name the option.
[[nodiscard]] Result<ColumnAnswers> column_answers(const MeasureOptions& options);
[[nodiscard]] Result<MeasureRequest> request_of(const MeasureOptions& options);
[[nodiscard]] Result<FrameMarks> frame_marks(const MeasureOptions& options);

/// `halfturn measure VIDEO --strip`.
[[nodiscard]] Exit run_strip(const MeasureOptions& options);

}  // namespace halfturn
