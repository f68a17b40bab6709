#pragma once

#include "drawing.hpp"

namespace halfturn {

[[nodiscard]] Rgba rgba(Color color);

/// What a figure has added to a drawing, and the pixels of the picture that it can touch: from (x0, y0) to
/// before (x1, y1); an empty box when it is not in the picture.
struct FigureDrawing {
  /// Capsules lie one after the other: rims of limbs, rims of solids (thin: a few corners do), limbs, edges
  /// of solids.
  std::uint32_t first_capsule = 0, round_rims = 0, thin_rims = 0, limbs = 0, edges = 0;
  std::uint32_t first_flat = 0, faces = 0;
  int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
};

/// Adds a figure's capsules and the triangles of its solids, with depths from 0 (near) to 1.
[[nodiscard]] FigureDrawing draw_figure(const Figure& figure, const Projector& projector, Drawing& out);

/// A capsule's outline on the floor, grown.
void draw_footprint(const Capsule& capsule, double grow_m, const Projector& projector, Rgba color,
                    std::vector<FlatVertex>& out);

}  // namespace halfturn
