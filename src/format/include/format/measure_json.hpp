#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/result.hpp"
#include "format/json_reader.hpp"
#include "measure/frame_marks.hpp"
#include "measure/measure_record.hpp"

namespace halfturn {

/// A measured flight for machines, as `halfturn measure --json` prints it (format "halfturn-measures",
/// version 1): degrees and seconds, null where a number is not known.
[[nodiscard]] Json measure_json(const MeasuredRecord& measured, const Recording& recording);
/// The value of the key `plan`.
[[nodiscard]] Json against_plan_json(const AgainstPlan& against);

/// What was marked in a video, for machines.
[[nodiscard]] Json frame_measures_json(const FrameMeasures& measures);

/// What an attempt takes over from a measured flight.
struct MeasuredLanding {
  double air_time_s = 0;
  double landing_angle_deg = 0;            ///< trunk from vertical at first contact
  std::optional<double> contact_turn_deg;  ///< heading at first contact from the start, (-180, 180], + left
  std::optional<double> turn_deg;  ///< on the floor and in the air by first contact, whole turns counted
};
/// Reads back what measure_json wrote.
[[nodiscard]] Result<MeasuredLanding> read_measured_landing(std::string_view text, const std::string& file);

}  // namespace halfturn
