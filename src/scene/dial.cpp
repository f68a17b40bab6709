#include <algorithm>
#include <cmath>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

// Metres, from the dial's centre.
constexpr double ring_outer = 1.62, ring_inner = 1.50, band_outer = 1.42, band_width = 0.13;
constexpr double label_radius = 1.86, above_label_radius = 1.76;
constexpr double arrow_radius = 1.72, arrow_step = 0.42;
constexpr double beam_half_deg = 16;

std::vector<Vec3> moved(const std::vector<Vec3>& along_across, double heading_deg) {
  const Vec3 ahead = direction_W(heading_deg), left = direction_W(heading_deg + 90);
  std::vector<Vec3> points;
  for (const Vec3& p : along_across) points.push_back(p.x * ahead + p.y * left);
  return points;
}

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
      add(Polygon{Space::world,
                  moved({{1.46, 0.035, 0}, {1.66, 0.035, 0}, {1.66, -0.035, 0}, {1.46, -0.035, 0}}, heading),
                  ink,
                  {}});
    } else {
      const double length = a % 45 == 0 ? 0.12 : a % 15 == 0 ? 0.05 : 0.03;
      add(Line{Space::world,
               {on_dial(ring_inner, heading), on_dial(ring_inner + length, heading)},
               stroke(ink, a % 45 == 0 ? 2.4 : 1.4)});
    }
  }
  // Where the chest will face.
  std::vector<Vec3> beam =
      arc(ring_inner, rung_.landing.heading_deg - beam_half_deg, rung_.landing.heading_deg + beam_half_deg);
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
              moved({{0.34, 0.09, 0},
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

void Composer::landing_arrows() {
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  struct Peg {
    double x, y, distance;
    std::string text;
    Color fill, on;
    bool now;
  };
  std::vector<Peg> pegs;
  for (std::size_t k = 0; k < ladder_.rungs.size(); ++k) {
    const double heading = ladder_.rungs[k].landing.heading_deg;
    // Same heading twice: the later one further out.
    double radius = arrow_radius;
    for (std::size_t j = 0; j < k; ++j) {
      if (std::abs(wrap_deg(ladder_.rungs[j].landing.heading_deg - heading)) < 6) radius += arrow_step;
    }
    const bool now = k == rung_index_;
    const bool passed = k < view_.passed.size() && view_.passed[k];
    const Color fill = now ? palette_.front : passed ? palette_.passed : palette_.plate;
    const Color on = now ? palette_.on_front : passed ? palette_.on_passed : palette_.ink;
    std::vector<Vec3> shape =
        now ? std::vector<Vec3>{{radius, 0.14, 0},     {radius + 0.16, 0.14, 0},  {radius + 0.16, 0.28, 0},
                                {radius + 0.44, 0, 0}, {radius + 0.16, -0.28, 0}, {radius + 0.16, -0.14, 0},
                                {radius, -0.14, 0}}
            : std::vector<Vec3>{{radius, 0.17, 0},
                                {radius + 0.20, 0.17, 0},
                                {radius + 0.40, 0, 0},
                                {radius + 0.20, -0.17, 0},
                                {radius, -0.17, 0}};
    add(Polygon{Space::world, moved(shape, heading), fill,
                stroke(view_.theme == Theme::dark && !now && !passed ? palette_.ink : palette_.line,
                       now ? 2.4 : 1.8)});
    Box covered = empty_box;
    for (const Vec3& corner : moved(shape, heading)) {
      if (const auto p = px(corner)) covered.include(p->x, p->y);
    }
    if (covered.area() > 0) taken_.push_back(covered);
    if (now) arrow_box_ = covered;
    if (const auto p = px(on_dial(radius + (now ? 0.22 : 0.17), heading)))
      pegs.push_back({p->x, p->y, p->z, k == 0 ? "B" : std::to_string(k), fill, on, now});
  }
  // Nearer pegs cover farther ones, the one in play all.
  std::stable_sort(pegs.begin(), pegs.end(), [](const Peg& a, const Peg& b) {
    return a.now != b.now ? b.now : a.distance > b.distance;
  });
  for (const Peg& peg : pegs) {
    const double radius = (peg.now ? 15 : 13) * px_;
    add(Marker{Marker::Shape::disc, peg.x, peg.y, radius, peg.fill,
               stroke(view_.theme == Theme::dark && peg.fill == palette_.plate ? ink : palette_.line, 2)});
    add(Label{peg.text,
              peg.x,
              peg.y,
              (peg.text.size() > 1 ? 16
               : peg.now           ? 20
                                   : 17) *
                  px_,
              Weight::bold,
              Align::centre,
              peg.on,
              {0, 0, 0, 0}});
    taken_.push_back({peg.x - radius, peg.y - radius, peg.x + radius, peg.y + radius});
  }
}

void Composer::dial_labels() {
  const double start = rung_.start.heading_deg;
  if (eyes()) return;
  const int step = above() ? 15 : 45;
  // The corners first: in a small picture they are the ones that stay.
  for (const bool corners : {true, false}) {
    for (int a = 180 - step; a > -180; a -= step) {
      if (a % 90 == 0 || (a % 45 == 0) != corners) continue;
      const auto p =
          px(on_dial(above() ? above_label_radius + (corners ? 0.06 : 0.0) : label_radius, start + a));
      if (!p) continue;
      std::string text = std::to_string(std::abs(a));
      if (corners) text += a > 0 ? " L" : " R";
      const bool large = above() && corners;
      place_label({std::move(text),
                   p->x,
                   p->y,
                   (large ? 20 : 16) * px_,
                   corners ? Weight::bold : Weight::medium,
                   Align::centre,
                   large ? palette_.ink : palette_.dim,
                   {0, 0, 0, 0}});
    }
  }
}

void Composer::wall_labels_above() {
  if (!above()) return;
  for (int index = 0; index < 4; ++index) {
    if (index == landing_wall()) continue;
    double radius = 2.32;
    for (const Rung& rung : ladder_.rungs) {
      // Outside the arrows that point at this wall.
      int same = 0;
      for (const Rung& other : ladder_.rungs)
        same += std::abs(wrap_deg(other.landing.heading_deg - rung.landing.heading_deg)) < 6 ? 1 : 0;
      if (std::abs(wrap_deg(rung.landing.heading_deg - 90.0 * index)) < 10)
        radius = std::max(radius, arrow_radius + 0.60 + arrow_step * (same - 1));
    }
    const auto p = px(on_dial(radius, 90.0 * index));
    if (!p) continue;
    Label label{wall_name(index), p->x,          p->y,         20 * px_,
                Weight::bold,     Align::centre, palette_.ink, palette_.floor};
    // Beside the dial a name starts where the arrow ends instead of lying across it.
    const double half = 0.5 * text_width_em(label.text, label.weight) * label.size_px;
    const double dx = p->x - projector_.projection().centre_x_px;
    const double tip = projector_.px_per_m(p->z) * radius;
    if (std::abs(dx) > 0.7 * tip) label.x_px += (dx > 0 ? 1 : -1) * (half - 20 * px_);
    // Beyond the arrows, else beside the last of them.
    if (place_label(label)) continue;
    const auto back = px(on_dial(radius - 0.42, 90.0 * index));
    if (!back) continue;
    label.y_px = back->y;
    label.x_px = back->x + half + 44 * px_;
    if (place_label(label)) continue;
    label.x_px = back->x - half - 44 * px_;
    place_label(std::move(label));
  }
}

void Composer::tag() {
  if (signed_ || eyes()) return;
  // The landing wall is cut away or off the picture: its name hangs on the arrow in play.
  double radius = arrow_radius;
  for (std::size_t j = 0; j < rung_index_; ++j) {
    if (std::abs(wrap_deg(ladder_.rungs[j].landing.heading_deg - rung_.landing.heading_deg)) < 6)
      radius += arrow_step;
  }
  const auto tip = px(on_dial(radius + 0.44, rung_.landing.heading_deg));
  const auto base = px(on_dial(radius, rung_.landing.heading_deg));
  if (!tip || !base) return;
  const std::string& name = wall_name(landing_wall());
  const double size = 28 * px_, height = 48 * px_;
  const double width = text_width_em(name, Weight::bold) * size + 40 * px_;
  // Beyond the tip if there is room, else around the arrow; clear of ghosts, pegs and labels.
  const double dx = tip->x - base->x, dy = tip->y - base->y;
  const double length = std::max(1e-9, std::hypot(dx, dy));
  const double out_x = dx / length, out_y = dy / length, gap = 6 * px_;
  const Box& arrow = arrow_box_;
  const double mid_x = 0.5 * (arrow.x0 + arrow.x1), mid_y = 0.5 * (arrow.y0 + arrow.y1);
  const double below = arrow.y1 + gap + 0.5 * height, over = arrow.y0 - gap - 0.5 * height;
  const double outward = mid_x < 0.5 * (free_.x0 + free_.x1) ? -1 : 1;
  const double beside = mid_x + outward * (0.5 * (arrow.x1 - arrow.x0) + gap + 0.5 * width);
  const double beyond = gap + 0.5 * (std::abs(out_x) * width + std::abs(out_y) * height);
  const double shift = 0.4 * width;
  const Vec3 places[] = {{tip->x + out_x * beyond, tip->y + out_y * beyond, 0},
                         {mid_x, below, 0},
                         {mid_x - outward * shift, below, 0},
                         {mid_x + outward * shift, below, 0},
                         {beside, mid_y, 0},
                         {mid_x, over, 0}};
  const auto box_at = [&](const Vec3& p) {
    return Box{p.x - 0.5 * width, p.y - 0.5 * height, p.x + 0.5 * width, p.y + 0.5 * height};
  };
  const double margin = 8 * px_;
  const Box room{free_.x0 + margin, free_.y0 + margin, free_.x1 - margin, free_.y1 - margin};
  const auto is_free = [&](const Box& box) {
    return room.holds(box) &&
           std::none_of(taken_.begin(), taken_.end(), [&](const Box& o) { return box.overlaps(o); });
  };
  const auto* found =
      std::find_if(std::begin(places), std::end(places), [&](const Vec3& p) { return is_free(box_at(p)); });
  double x = places[0].x, y = places[0].y;
  if (found != std::end(places)) {
    x = found->x;
    y = found->y;
  } else {
    // No place is clear: beyond the tip, pushed back into the picture.
    const double middle_x = 0.5 * (room.x0 + room.x1), middle_y = 0.5 * (room.y0 + room.y1);
    x = std::clamp(x, std::min(room.x0 + 0.5 * width, middle_x), std::max(room.x1 - 0.5 * width, middle_x));
    y = std::clamp(y, std::min(room.y0 + 0.5 * height, middle_y), std::max(room.y1 - 0.5 * height, middle_y));
  }
  const Box box = box_at({x, y, 0});
  taken_.push_back(box);
  rounded_plate(box, 8 * px_, faded(palette_.front, view_.sign_opacity),
                stroke(faded(palette_.line, view_.sign_opacity), 2));
  add(Label{name,
            x,
            y,
            size,
            Weight::bold,
            Align::centre,
            faded(palette_.on_front, view_.sign_opacity),
            {0, 0, 0, 0}});
}

void Composer::mark() {
  if (eyes() || hidden_by_line_to_camera(rung_.mark_deg)) return;
  // On its heading if it can be seen there whole, else a little beside it.
  Vec3 foot{};
  std::optional<Vec3> base, top;
  double half = 0;
  Box box;
  const auto fits = [&](double off_deg, double radius) {
    foot = on_dial(radius, rung_.mark_deg + off_deg);
    base = px(foot);
    top = px(foot + Vec3(0, above() ? 0 : 0.95, 0));
    if (!base || !top) return false;
    half = 0.5 * 0.38 * projector_.px_per_m(top->z);
    box = {top->x - half, top->y - half - 26 * px_, top->x + half, std::max(base->y, top->y + half)};
    return free_.holds(box) &&
           std::none_of(taken_.begin(), taken_.end(), [&](const Box& o) { return box.overlaps(o); });
  };
  bool found = false;
  for (const double off : {0.0, 8.0, 16.0}) {
    for (const double radius : {above() ? 2.9 : 3.4, above() ? 2.75 : 3.2, 3.0}) {
      for (const double way : {-1.0, 1.0}) found = found || fits(way * off * sign_of(rung_.side), radius);
    }
  }
  if (!found) return;
  if (!above()) {
    Capsule spot;
    spot.a_W = spot.b_W = foot;
    spot.radius_a = spot.radius_b = 0.1;
    add(Shadow{{spot}, {{0.16, 0.05}, {0.09, 0.05}, {0.03, 0.06}}, palette_.shadow});
    add(Line{Space::screen,
             {{base->x, base->y, 0}, {top->x, top->y, 0}},
             stroke(view_.theme == Theme::dark ? palette_.ink : palette_.line, 5)});
  }
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  add(Marker{Marker::Shape::diamond, top->x, top->y, half, palette_.mark, stroke(ink, 2)});
  add(Marker{Marker::Shape::diamond, top->x, top->y, 0.55 * half, palette_.plate, stroke(ink, 2)});
  add(Marker{Marker::Shape::diamond, top->x, top->y, 0.2 * half, ink, {}});
  taken_.push_back(box);
  if (view_.toggles.labels)
    place_label({"mark",
                 top->x,
                 top->y - half - 14 * px_,
                 16 * px_,
                 Weight::bold,
                 Align::centre,
                 palette_.ink,
                 {0, 0, 0, 0}},
                true);
}

}  // namespace halfturn
