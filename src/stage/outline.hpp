#pragma once

#include <vector>

#include "drawing.hpp"

namespace halfturn {

/// A flat shape with its corners given, px, and an edge that fades over a pixel; a shape that crosses itself
/// gives some triangles all the same.
void fill_polygon(const std::vector<Vec3>& corners_px, Rgba color, std::vector<FlatVertex>& out);
/// The area between two lines of as many points, px; its edge is left to an outline.
void fill_strip(const std::vector<Vec3>& one_px, const std::vector<Vec3>& other_px, bool closed, Rgba color,
                std::vector<FlatVertex>& out);

/// A line of a width through points, px, with mitred joints; closed when it ends where it begins.
void draw_line(const std::vector<Vec3>& points_px, bool closed, double width_px, Rgba color,
               std::vector<FlatVertex>& out);
/// The same in dashes.
void draw_dashes(const std::vector<Vec3>& points_px, const Stroke& stroke, Rgba color,
                 std::vector<FlatVertex>& out);

/// What of a polygon lies in front of the near plane; points in view axes (z forward).
[[nodiscard]] std::vector<Vec3> clip_polygon(const std::vector<Vec3>& points_view, double near_m);

}  // namespace halfturn
