#pragma once

#include <optional>
#include <vector>

#include "base/result.hpp"
#include "measure/alignment.hpp"

namespace halfturn {

/// Cosine of about 21 degrees: standing still is not exactly upright.
inline constexpr double close_cosine = 0.93;

/// Mean direction, in the record's world, of what the accelerometer reads while standing still; its length
/// tells how well the still stretches agree. Empty without any.
[[nodiscard]] std::optional<Vec3> rest_direction(const Recording& recording, const std::vector<Span>& stills,
                                                 bool world_to_sensor);

/// Makes the orientations of a record map sensor -> world, and says how that is known. Problems are
/// questions.
[[nodiscard]] Outcome settle_sense(Recording& recording, const FrameAnswers& answers,
                                   const std::vector<Span>& stills);

}  // namespace halfturn
