#pragma once

#include "drawing.hpp"

namespace halfturn {

[[nodiscard]] Rgba rgba(Color color);

struct FigureCounts {
  std::uint32_t round = 0;  ///< limbs and their rims, drawn with many corners
  std::uint32_t thin = 0;   ///< edges of solids, drawn with few
};

/// Adds a figure's capsules (round ones first) and the triangles of its solids, with depths between the two.
FigureCounts draw_figure(const Figure& figure, const Projector& projector, double depth_far,
                         double depth_near, Drawing& out);

/// A capsule's outline on the floor, grown.
void draw_footprint(const Capsule& capsule, double grow_m, const Projector& projector, Rgba color,
                    std::vector<FlatVertex>& out);

}  // namespace halfturn
