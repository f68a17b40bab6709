#pragma once

#include <variant>
#include <vector>

#include "body/human.hpp"
#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// A part of the drawn figure in the axes of its segment, m; normals too.
struct FigurePart {
  Segment segment = Segment::pelvis;
  std::variant<Capsule, Facet> shape;
};
[[nodiscard]] std::vector<FigurePart> figure_parts(const HumanBody& body, const Palette& palette);

/// Where the drawn figure is at `time`, s, in the coordinates of the picture: the middle between the hips,
/// the orientation of the pelvis and the joint angles.
struct FigurePlace {
  Vec3 origin_W{};
  Quat q_WB{1, 0, 0, 0};
  Pose pose;
};
[[nodiscard]] FigurePlace figure_place(const HumanBody& body, const Rung& rung, const Flight& flight,
                                       double time);

/// The figure alone, as compose() draws it at `time`, s; `scale_px` pixels per design pixel.
[[nodiscard]] Figure figure_at(const HumanBody& body, const Rung& rung, const Flight& flight, double time,
                               Theme theme, double scale_px);

}  // namespace halfturn
