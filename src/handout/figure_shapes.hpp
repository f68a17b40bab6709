#pragma once

#include <array>
#include <vector>

#include "paper.hpp"
#include "scene/projection.hpp"

namespace halfturn {

/// A disc in the picture.
struct Circle {
  PaperPoint centre;
  double radius = 0;
};

/// A part of a body, projected: a piece of a limb between two circles, or a face.
struct FlatPart {
  double depth = 0;  ///< m in front of the eye
  bool limb = false;
  Circle from, to;
  bool round_from = false, round_to = false;  ///< ends of the limb; others are cut straight
  std::vector<std::array<Circle, 2>> stripes;
  std::vector<PaperPoint> points;  ///< of a face
  Color color;
};
/// The parts of a figure, the farthest first. `shift` moves the projected points.
[[nodiscard]] std::vector<FlatPart> flat_parts(const Figure& figure, const Projector& projector,
                                               PaperPoint shift);

/// A body as flat shapes, the farthest part first: outlines, fills, bands. `shift` moves the projected
/// points.
void draw_figure(Paper& paper, const Figure& figure, const Projector& projector, PaperPoint shift);

}  // namespace halfturn
