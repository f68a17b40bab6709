#include <algorithm>
#include <cmath>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

// Metres, from the dial's centre.
constexpr double ring_outer = dial_radius, ring_inner = 1.50, band_outer = 1.42, band_width = 0.13;
constexpr double beam_half_deg = 16;

}  // namespace

void Composer::dial() {
  const double start = rung_.start.heading_deg;
  const auto circle = [&](double radius) {
    std::vector<Vec3> points = arc(radius, start, start + 360);
    points.pop_back();
    return points;
  };
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  add(Polygon{Space::world, circle(ring_outer), palette_.mat, {}});
  add(Polygon{Space::world, circle(ring_outer), {0, 0, 0, 0}, stroke(ink, 2.4)});
  add(Polygon{Space::world, circle(ring_inner), {0, 0, 0, 0}, stroke(ink, 1.4)});
  const int step = above() ? 5 : 15;
  for (int a = -180 + step; a <= 180; a += step) {
    const double heading = start + a;
    if (a % 90 == 0) {
      add(Polygon{
          Space::world,
          dial_shape({{1.46, 0.035, 0}, {1.66, 0.035, 0}, {1.66, -0.035, 0}, {1.46, -0.035, 0}}, heading),
          ink,
          {}});
    } else {
      const double length = a % 45 == 0 ? 0.12 : a % 15 == 0 ? 0.05 : 0.03;
      add(Line{Space::world,
               {on_dial(ring_inner, heading), on_dial(ring_inner + length, heading)},
               stroke(ink, a % 45 == 0 ? 2.4 : 1.4)});
    }
  }
  // Where the chest will face; on its way there while the rung changes.
  const double beam_deg = view_.beam_heading_deg.value_or(rung_.landing.heading_deg);
  std::vector<Vec3> beam = arc(ring_inner, beam_deg - beam_half_deg, beam_deg + beam_half_deg);
  beam.insert(beam.begin(), Vec3(0));
  add(Polygon{Space::world, std::move(beam), faded(palette_.front, palette_.beam_opacity),
              view_.theme == Theme::dark ? Stroke{} : stroke(faded(palette_.line, 0.45), 1)});
}

void Composer::turn_band() {
  if (rung_.turn_deg == 0) return;
  const double start = rung_.start.heading_deg;
  const double side = sign_of(rung_.side);
  const double whole = std::abs(rung_.turn_deg);
  const double turned = std::clamp(side * now_.turned_deg, 0.0, whole);
  const Color color = rung_.side == Side::left ? palette_.left : palette_.right;
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  // Every further lap runs inside the one before.
  const int laps = static_cast<int>(std::ceil(whole / 360 - 1e-9));
  const double width = laps > 1 ? 0.10 : band_width;
  const auto part = [&](double from, double to, Color fill) {
    if (to - from < 0.5) return;
    for (int lap = 0; lap < laps; ++lap) {
      const double low = std::max(from, 360.0 * lap), high = std::min(to, 360.0 * (lap + 1));
      if (high - low < 0.5) continue;
      const double outer = band_outer - lap * (width + 0.03);
      add(Band{arc(outer - width, start + side * low, start + side * high),
               arc(outer, start + side * low, start + side * high), false, fill, stroke(ink, 1.5)});
    }
  };
  // The head of the band is its last quarter of a metre.
  const double last_outer = band_outer - (laps - 1) * (width + 0.03);
  const double head_deg = std::min(0.5 * whole, to_deg(0.24 / last_outer));
  const double neck = whole - head_deg;
  part(std::min(turned, neck), neck, view_.theme == Theme::dark ? faded(palette_.mat, 0.9) : palette_.mat);
  part(0, std::min(turned, neck), color);
  const double middle = last_outer - 0.5 * width;
  add(Polygon{Space::world,
              {on_dial(middle + 0.135, start + side * neck), on_dial(middle, start + side * whole),
               on_dial(middle - 0.135, start + side * neck)},
              turned > neck ? color : palette_.mat,
              stroke(ink, 1.5)});
}

void Composer::start_arrow() {
  const double start = rung_.start.heading_deg;
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  add(Polygon{Space::world,
              dial_shape({{0.34, 0.09, 0},
                          {0.84, 0.09, 0},
                          {0.84, 0.25, 0},
                          {1.22, 0, 0},
                          {0.84, -0.25, 0},
                          {0.84, -0.09, 0},
                          {0.34, -0.09, 0}},
                         start),
              faded(palette_.mat, 0.92), stroke(ink, 2)});
  if (!above() || !view_.toggles.labels) return;
  if (const auto p = px(on_dial(0.22, start)))
    place_label({"start", p->x, p->y, 20 * px_, Weight::bold, Align::centre, palette_.ink, palette_.mat});
}

void Composer::dial_labels() {
  if (eyes()) return;
  const double start = rung_.start.heading_deg;
  const double size = digit_px();
  // A name touches the ring from outside, whichever way it lies.
  const auto put = [&](int a, double size_px, Weight weight, Color color) {
    const auto p = px(on_dial(ring_outer, start + a)), inner = px(on_dial(ring_inner, start + a));
    if (!p || !inner) return;
    Label label{std::to_string(std::abs(a)), p->x, p->y, size_px, weight, Align::centre, color, {0, 0, 0, 0}};
    if (a % 45 == 0) label.text += a > 0 ? " L" : " R";
    const double dx = p->x - inner->x, dy = p->y - inner->y, length = std::max(1e-9, std::hypot(dx, dy));
    const double half_width = 0.5 * text_width_em(label.text, weight) * size_px;
    const double half_height = 0.5 * capital_em * size_px;
    const double ux = dx / length, uy = dy / length;
    const double away = half_width * std::abs(ux) + half_height * std::abs(uy);
    label.x_px += ux * (away + 8 * px_);
    label.y_px += uy * (away + 8 * px_);
    place_label(std::move(label));
  };
  for (const int a : {135, 45, -45, -135})
    put(a, size, Weight::medium, above() ? palette_.ink : palette_.dim);
  if (!above()) return;
  // The numbers between only where they stand clear of each other.
  const double small = std::max(16 * px_, 0.6 * size);
  const auto centre = px(Vec3(0));
  if (!centre) return;
  const double apart = projector_.px_per_m(centre->z) * ring_outer * to_rad(15);
  if (apart < 1.15 * text_width_em("105", Weight::medium) * small) return;
  for (int a = 165; a > -180; a -= 15) {
    if (a % 45 != 0) put(a, small, Weight::medium, palette_.dim);
  }
}

}  // namespace halfturn
