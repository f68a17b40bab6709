#pragma once

#include <array>
#include <optional>

#include "base/result.hpp"
#include "measure/recording.hpp"

namespace halfturn {

/// A gyroscope against something that turns as it should: `told` = scale * `seen`, axis by axis.
struct RateScale {
  double scale = 0;                    ///< of all axes; near -1 where all signs are mirrored
  double fit = 0;                      ///< 0 to 1: how much of both one scale explains
  std::array<double, 3> axis{};        ///< by axis; 0 where there is too little turning to tell
  [[nodiscard]] int mirrored() const;  ///< axes that turn the other way
  [[nodiscard]] int right() const;     ///< axes that turn as they should
};
/// Against the orientations of the record, sensor -> world or the other way. Empty: too little turning.
[[nodiscard]] std::optional<RateScale> rate_against_orientation(const Recording& recording,
                                                                bool world_to_sensor);
/// Against gravity as it goes round in the axes of a sensor that is turned but hardly pushed; `sense` -1
/// where the accelerometer reads down makes no difference. Empty: too little turning.
[[nodiscard]] std::optional<RateScale> rate_against_force(const Recording& recording);

/// A question where a scale says that a unit is wrong, or that the axes do not belong together.
[[nodiscard]] Outcome rate_question(const RateScale& scale, const char* against);
/// Turns mirrored rates round, if all of them are.
void mend_mirrored_rates(Recording& recording, const std::optional<RateScale>& scale, const char* against);

}  // namespace halfturn
