#include "scene/figure_parts.hpp"

#include <cmath>

#include "figure.hpp"
#include "moment.hpp"

namespace halfturn {
namespace {

constexpr double apart_m = 1024;  // between the segments of a body taken apart; exact in binary

}  // namespace

std::vector<FigurePart> figure_parts(const HumanBody& body, const Palette& palette) {
  // The body taken apart, every segment unturned at a place of its own: where a part is says whose it is.
  PlacedBody apart;
  for (std::size_t s = 0; s < segment_count; ++s) {
    apart.places.rotation[s] = Mat3(1);
    apart.places.origin[s] = Vec3(apart_m * static_cast<double>(s), 0, 0);
  }
  const Figure figure = make_figure(body, apart, palette, {});
  std::vector<FigurePart> parts;
  const auto segment_at = [](const Vec3& p) { return static_cast<std::size_t>(std::lround(p.x / apart_m)); };
  for (Capsule c : figure.capsules) {
    const std::size_t s = segment_at(c.a_W);
    c.a_W -= apart.places.origin[s];
    c.b_W -= apart.places.origin[s];
    parts.push_back({static_cast<Segment>(s), c});
  }
  for (Facet f : figure.facets) {
    const std::size_t s = segment_at(f.points.front());
    for (Vec3& p : f.points) p -= apart.places.origin[s];
    parts.push_back({static_cast<Segment>(s), std::move(f)});
  }
  return parts;
}

FigurePlace figure_place(const HumanBody& body, const Rung& rung, const Flight& flight, double time) {
  const Moment moment = moment_at(body, rung, flight, time);
  return {moment.body.origin_W, moment.body.q_WB, moment.sample.pose};
}

Figure figure_at(const HumanBody& body, const Rung& rung, const Flight& flight, double time, Theme theme,
                 double scale_px) {
  FigureStyle style;
  style.scale_px = scale_px;
  return make_figure(body, moment_at(body, rung, flight, time).body, palette_of(theme), style);
}

}  // namespace halfturn
