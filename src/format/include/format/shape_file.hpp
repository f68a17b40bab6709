#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "body/pose.hpp"

namespace halfturn {

/// Named shapes from JSON (format "halfturn-shapes", version 1, assets/schema/halfturn-shapes.schema.json):
/// joint angles in degrees per segment and axis; a limb named without _left or _right stands for both,
/// written for the left one. Problems name the key, for instance `shapes.tuck.joints_deg.thigh.z`.
[[nodiscard]] Result<ShapeBook> read_shapes(std::string_view text, const std::string& file);

/// The shapes that come with the program (assets/shapes.json).
[[nodiscard]] ShapeBook embedded_shapes();

}  // namespace halfturn
