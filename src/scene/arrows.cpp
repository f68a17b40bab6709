#include <algorithm>
#include <cmath>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

// Metres, from the dial's centre.
constexpr double arrow_radius = 1.70;
constexpr double greatest_digit_m = 0.46;
constexpr double same_heading_deg = 6;
constexpr std::size_t most_arrows = 24;  // more would lie on each other
constexpr std::size_t most_pegs = 6;     // on one arrow
constexpr double mark_post_m = 0.95, mark_size_m = 0.38;

bool same_heading(double a_deg, double b_deg) {
  return std::abs(wrap_deg(a_deg - b_deg)) < same_heading_deg;
}

}  // namespace

double Composer::digit_px() const {
  // A figure is at least a thirtieth of the picture high, so that it is read from across a hall.
  const double wanted = std::min(view_.height_px, view_.width_px) / 30.0 / capital_em;
  // On a dial that controls have made small they leave room for the dial itself.
  const auto centre = px(Vec3(0));
  const double most = centre ? greatest_digit_m * projector_.px_per_m(centre->z) : wanted;
  return std::max(16 * px_, std::min(wanted, most));
}

double Composer::peg_px(bool now) const {
  return (now ? 0.70 : 0.62) * digit_px();
}

double Composer::arrow_scale() const {
  // Arrows grow with the pegs that stand on them, so that their points stay in sight.
  const auto centre = px(Vec3(0));
  if (!centre) return 1;
  return std::clamp(peg_px(false) / projector_.px_per_m(centre->z) / 0.14, 1.0, 1.5);
}

double Composer::arrow_tip(bool now) const {
  return arrow_radius + (now ? 0.46 : 0.40) * arrow_scale();
}

void Composer::group_landings() {
  for (std::size_t k = 0; k < ladder_.rungs.size(); ++k) {
    const double heading = ladder_.rungs[k].landing.heading_deg;
    auto found = std::find_if(landings_.begin(), landings_.end(),
                              [&](const LandingGroup& g) { return same_heading(g.heading_deg, heading); });
    if (found == landings_.end()) {
      landings_.push_back({heading, false, {}});
      found = landings_.end() - 1;
    }
    found->rungs.push_back(k);
    if (k == rung_index_) {
      found->now = true;
      found->heading_deg = heading;
    }
  }
  if (landings_.size() > most_arrows) {
    // A climb of so many ways shows where it comes from, where it goes and what is next.
    std::erase_if(landings_, [&](const LandingGroup& g) {
      return std::none_of(g.rungs.begin(), g.rungs.end(), [&](std::size_t k) {
        return k == 0 || k + 1 == ladder_.rungs.size() || (k + 1 >= rung_index_ && k <= rung_index_ + 1);
      });
    });
  }
  for (LandingGroup& g : landings_) {
    if (g.rungs.size() <= most_pegs) continue;
    std::vector<std::size_t> few{g.rungs.front()};
    if (g.now && rung_index_ != g.rungs.front() && rung_index_ != g.rungs.back()) few.push_back(rung_index_);
    few.push_back(g.rungs.back());
    g.rungs = std::move(few);
  }
}

// One arrow for every heading; landings that share it stand on it side by side.
void Composer::landing_arrows() {
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  const double k = arrow_scale();
  struct Row {
    double x, y, distance;
    const LandingGroup* group;
  };
  std::vector<Row> rows;
  const auto passed = [&](std::size_t rung) { return rung < view_.passed.size() && view_.passed[rung]; };
  for (const LandingGroup& g : landings_) {
    const bool all_passed = std::all_of(g.rungs.begin(), g.rungs.end(), passed);
    const Color fill = g.now ? palette_.front : all_passed ? palette_.passed : palette_.plate;
    const double r = arrow_radius;
    const double wide = g.now ? 0.28 * k : 0.17 * k, neck = g.now ? 0.14 * k : wide,
                 shaft = g.now ? 0.16 * k : 0.20 * k;
    std::vector<Vec3> shape{{r, neck, 0}, {r + shaft, neck, 0}};
    if (g.now) shape.emplace_back(r + shaft, wide, 0);
    shape.emplace_back(arrow_tip(g.now), 0, 0);
    if (g.now) shape.emplace_back(r + shaft, -wide, 0);
    shape.insert(shape.end(), {{r + shaft, -neck, 0}, {r, -neck, 0}});
    shape = dial_shape(shape, g.heading_deg);
    add(Polygon{Space::world, shape, fill,
                stroke(view_.theme == Theme::dark && !g.now && !all_passed ? palette_.ink : palette_.line,
                       g.now ? 2.4 : 1.8)});
    Box covered = empty_box;
    for (const Vec3& corner : shape) {
      if (const auto p = px(corner)) covered.include(p->x, p->y);
    }
    if (covered.area() > 0) taken_.push_back(covered);
    if (g.now) arrow_box_ = covered;
    if (const auto p = px(on_dial(r + (g.now ? 0.20 : 0.17) * k, g.heading_deg)))
      rows.push_back({p->x, p->y, p->z, &g});
  }
  // Nearer pegs cover farther ones, the one in play all.
  std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
    return a.group->now != b.group->now ? b.group->now : a.distance > b.distance;
  });
  for (const Row& row : rows) {
    const auto radius_of = [&](std::size_t rung) {
      const double text = text_width_em(peg_text(rung), Weight::bold) * digit_px();
      return std::max(peg_px(rung == rung_index_), 0.5 * text + 5 * px_);
    };
    double width = 0;
    for (const std::size_t rung : row.group->rungs) width += 2 * radius_of(rung);
    double x = row.x - 0.5 * width;
    if (row.group->rungs.size() > 1 && free_.x0 + width < free_.x1)
      x = std::clamp(x, free_.x0, free_.x1 - width);
    for (const std::size_t rung : row.group->rungs) {
      const double radius = radius_of(rung);
      peg(rung, x + radius, row.y, radius, ink);
      x += 2 * radius;
    }
  }
}

std::string Composer::peg_text(std::size_t rung) const {
  return rung == 0 ? "B" : std::to_string(rung);
}

void Composer::peg(std::size_t rung, double x, double y, double radius, Color ink) {
  const bool now = rung == rung_index_, passed = rung < view_.passed.size() && view_.passed[rung];
  const Color fill = now ? palette_.front : passed ? palette_.passed : palette_.plate;
  const Color on = now ? palette_.on_front : passed ? palette_.on_passed : palette_.ink;
  add(Marker{Marker::Shape::disc, x, y, radius, fill,
             stroke(view_.theme == Theme::dark && !now && !passed ? ink : palette_.line, 2)});
  add(Label{peg_text(rung), x, y, digit_px(), Weight::bold, Align::centre, on, {0, 0, 0, 0}});
  taken_.push_back({x - radius, y - radius, x + radius, y + radius});
  if (now) {
    arrow_box_.include(x - radius, y - radius);
    arrow_box_.include(x + radius, y + radius);
  }
}

void Composer::wall_labels_above() {
  if (!above()) return;
  for (int index = 0; index < 4; ++index) {
    if (index == landing_wall()) continue;
    double radius = 2.20;
    for (const LandingGroup& g : landings_) {
      // Outside the arrow that points at this wall.
      if (std::abs(wrap_deg(g.heading_deg - 90.0 * index)) < 10)
        radius = std::max(radius, arrow_tip(false) + 0.04);
    }
    const auto p = px(on_dial(radius, 90.0 * index));
    const auto centre = px(Vec3(0));
    if (!p || !centre) continue;
    Label label{wall_name(index), p->x,          p->y,         20 * px_,
                Weight::bold,     Align::centre, palette_.ink, palette_.floor};
    const double half_width = 0.5 * text_width_em(label.text, label.weight) * label.size_px;
    const double half_height = 0.5 * label.size_px;
    const double dx = p->x - centre->x, dy = p->y - centre->y, length = std::max(1e-9, std::hypot(dx, dy));
    label.x_px += dx / length * half_width;
    label.y_px += dy / length * half_height;
    // Beyond the arrow, else over or under it, off the ring.
    if (place_label(label)) continue;
    const double ring_px = dial_radius * projector_.px_per_m(centre->z);
    label.x_px = std::clamp(p->x, free_.x0 + half_width + 8 * px_,
                            std::max(free_.x0 + half_width + 8 * px_, free_.x1 - half_width - 8 * px_));
    const double beside = 0.34 * arrow_scale() * projector_.px_per_m(p->z) + half_height;
    for (const double way : {-1.0, 1.0}) {
      label.y_px = p->y + way * beside;
      const double off_x = std::max(0.0, std::abs(label.x_px - centre->x) - half_width);
      const double off_y = std::max(0.0, std::abs(label.y_px - centre->y) - half_height);
      if (std::hypot(off_x, off_y) > ring_px && place_label(label)) break;
    }
  }
}

void Composer::tag() {
  if (signed_ || eyes()) return;
  // The landing wall is cut away or off the picture: its name hangs on the arrow in play.
  const auto tip = px(on_dial(arrow_tip(true), rung_.landing.heading_deg));
  const auto base = px(on_dial(arrow_radius, rung_.landing.heading_deg));
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
    // No place is clear. The answer's words say it too; without them the name stands beyond the tip, pushed
    // back into the picture.
    if (answer_box_.area() > 0) return;
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
  // Always on its heading, which is what it is read for: nearer or farther until it can be seen whole.
  const double post = above() ? 0 : mark_post_m;
  Vec3 foot{};
  std::optional<Vec3> base, top;
  double half = 0;
  Box box;
  const auto fits = [&](double radius) {
    foot = on_dial(radius, rung_.mark_deg);
    base = px(foot);
    top = px(foot + Vec3(0, post, 0));
    if (!base || !top) return false;
    half = 0.5 * mark_size_m * projector_.px_per_m(top->z);
    box = {top->x - half, top->y - half - 26 * px_, top->x + half, std::max(base->y, top->y + half)};
    return free_.holds(box) && !(answer_box_.area() > 0 && box.overlaps(answer_box_));
  };
  static constexpr double radii[] = {3.4, 3.2, 3.0, 2.85, 2.7};
  if (std::none_of(std::begin(radii), std::end(radii), fits)) return;
  mark_box_ = box;
  taken_.push_back(box);
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
  if (!view_.toggles.labels) return;
  // Beside its post rather than cut by the edge of the picture.
  const double size = 16 * px_, half_width = 0.5 * text_width_em("mark", Weight::bold) * size + 4 * px_;
  place_label(
      {"mark",
       std::clamp(top->x, free_.x0 + half_width, std::max(free_.x0 + half_width, free_.x1 - half_width)),
       top->y - half - 14 * px_,
       size,
       Weight::bold,
       Align::centre,
       palette_.ink,
       {0, 0, 0, 0}},
      true);
}

}  // namespace halfturn
