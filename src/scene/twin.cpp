#include <cmath>
#include <glm/geometric.hpp>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double twin_aside_m = 2.95,
                 aside_deg = 72;  // of the twin: from the dial's centre, from the held heading
constexpr double twin_scale = 0.62;
constexpr double ring_m = 0.66, beam_m = 0.60, band_inner_m = 0.46, band_outer_m = 0.56;
constexpr double twin_beam_half_deg = 16;

}  // namespace

double Composer::mirror_deg() const {
  return held_heading_deg(ladder_);
}

int Composer::twin_wall() const {
  return wall_at(2 * mirror_deg() - rung_.landing.heading_deg);
}

// The twister to the other side, beside the dial on a small one of their own: the mirror image in the upright
// plane of the heading that the ladder holds.
void Composer::twin() {
  if (!view_.toggles.both_sides || eyes()) return;
  const double held = mirror_deg(), side = sign_of(rung_.side);
  const Vec3 across = direction_W(held + 90);
  const Vec3 place = twin_aside_m * direction_W(held - side * aside_deg);
  const auto at = [&](double radius, double heading_deg) {
    return place + radius * direction_W(heading_deg);
  };
  const auto ring = [&](double radius, double from_deg, double to_deg) {
    std::vector<Vec3> points = arc(radius, from_deg, to_deg);
    for (Vec3& p : points) p += place;
    return points;
  };
  const double start = 2 * held - rung_.start.heading_deg, landing = 2 * held - rung_.landing.heading_deg;
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  std::vector<Vec3> circle = ring(ring_m, start, start + 360);
  circle.pop_back();
  Box covered = empty_box;
  for (const Vec3& p : circle) {
    if (const auto q = px(p)) covered.include(q->x, q->y);
  }
  if (covered.area() > 0) taken_.push_back(covered);
  add(Polygon{Space::world, std::move(circle), palette_.mat, stroke(ink, 2)});
  std::vector<Vec3> beam = ring(beam_m, landing - twin_beam_half_deg, landing + twin_beam_half_deg);
  beam.insert(beam.begin(), place);
  add(Polygon{Space::world, std::move(beam), faded(palette_.front, palette_.beam_opacity),
              view_.theme == Theme::dark ? Stroke{} : stroke(faded(palette_.line, 0.45), 1)});
  const double turned = std::clamp(side * now_.turned_deg, 0.0, std::abs(rung_.turn_deg));
  const double shown = std::min(turned, 359.0);
  const Side other_side_of = other(rung_.side);
  if (shown > 0.5) {
    const double to = start - side * shown;
    add(Band{ring(band_inner_m, start, to), ring(band_outer_m, start, to), false,
             other_side_of == Side::left ? palette_.left : palette_.right, stroke(ink, 1.5)});
  }
  add(Line{Space::world, {at(ring_m - 0.16, start), at(ring_m + 0.10, start)}, stroke(ink, 4)});

  const FlightSample& s = now_.sample;
  const Quat turn = rotation_y(to_rad(held));
  const Quat q = turn * mirrored(glm::conjugate(turn) * s.q_WB);
  // Smaller than the flyer, as far as it is: over its dial it stays under the answer's words.
  const Vec3 image = s.com_W - 2 * glm::dot(s.com_W, across) * across;
  const Vec3 com = twin_scale * image + place;
  PlacedBody placed = place_by_com(body_, mirrored(s.pose), q, com);
  placed.origin_W = com - twin_scale * (com - placed.origin_W);
  placed.scale = twin_scale;
  placed = lifted_to_floor(body_, placed);
  FigureStyle style;
  style.scale_px = px_;
  Figure figure = make_figure(body_, placed, palette_, style);
  add(Shadow{footprint(figure), {{0.16, 0.05}, {0.09, 0.05}, {0.03, 0.06}}, palette_.shadow});
  add(std::move(figure));
  if (!view_.toggles.labels) return;
  // Which way they twist, under the small dial.
  if (covered.area() <= 0) return;
  place_label({std::string("twists ") + std::string(word(other_side_of)), 0.5 * (covered.x0 + covered.x1),
               covered.y1 + 16 * px_, 16 * px_, Weight::bold, Align::centre, palette_.ink, palette_.floor});
}

}  // namespace halfturn
