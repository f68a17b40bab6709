#include "composer.hpp"

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr int envelope_samples = 16;
constexpr double reach_across_m = 0.55, reach_up_m = 0.9;  // of the flyer around its centre of mass

}  // namespace

Box Box::common(const Box& other) const {
  return {std::max(x0, other.x0), std::max(y0, other.y0), std::min(x1, other.x1), std::min(y1, other.y1)};
}

void Box::include(double x, double y) {
  x0 = std::min(x0, x);
  y0 = std::min(y0, y);
  x1 = std::max(x1, x);
  y1 = std::max(y1, y);
}

int wall_at(double heading_deg) {
  return (static_cast<int>(std::round(wrap_deg(heading_deg) / 90.0)) + 4) % 4;
}

Vec3 direction_W(double heading_deg) {
  // Whole quarters are exact, so that what lies on a wall's axis lies on it to the last bit.
  const double wrapped = wrap_deg(heading_deg);
  if (wrapped == 0) return {1, 0, 0};
  if (wrapped == 180) return {-1, 0, 0};
  if (std::abs(wrapped) == 90) return {0, 0, wrapped > 0 ? -1.0 : 1.0};
  const double heading = to_rad(wrapped);
  return {std::cos(heading), 0, -std::sin(heading)};
}

Composer::Composer(const Ladder& ladder, std::size_t rung, const Flight& flight, double time,
                   const View& view, const std::vector<Companion>& companions)
    : ladder_(ladder),
      rung_index_(rung),
      rung_(ladder.rungs[rung]),
      flight_(flight),
      time_(time),
      view_(view),
      companions_(companions),
      palette_(palette_of(view.theme)),
      body_(human_body(Athlete{})),
      now_(moment_at(body_, rung_, flight, time)),
      projector_(projection_for(camera_for(ladder, rung, now_.sample, view), view, room_for(ladder, view))),
      px_(view.scale),
      line_(view.scale * palette_.line_factor),
      free_{view.inset_left_px, view.inset_top_px, view.width_px - view.inset_right_px,
            view.height_px - view.inset_bottom_px},
      answer_box_{0, 0, view.answer_width_px, view.answer_height_px} {
  group_landings();
  if (answer_box_.area() > 0) taken_.push_back(answer_box_);
  // Where the flyer passes: for signs to keep clear of, the same at every moment of a flight.
  const Vec3 middle = flight_middle_W(flight);
  for (int i = 0; i <= envelope_samples; ++i) {
    const Vec3 com = flight.at(flight.duration() * i / envelope_samples).com_W - middle;
    if (const auto p = px(com)) {
      const double scale = projector_.px_per_m(p->z);
      flight_box_.include(p->x - reach_across_m * scale, p->y - reach_up_m * scale);
      flight_box_.include(p->x + reach_across_m * scale, p->y + reach_up_m * scale);
    }
  }
}

Scene Composer::compose() {
  scene_.projection = projector_.projection();
  scene_.ground = palette_.air;
  floor();
  walls();
  fades();
  if (!eyes() || projector_.forward().y < 0.5) dial();
  // From the athlete's eyes everything moves.
  scene_.still_items = eyes() ? 0 : scene_.items.size();
  rose();
  turn_band();
  travel();
  shadow();
  start_arrow();
  mark();
  ghosts();
  landing_arrows();
  companion_landings();
  twin();
  if (view_.toggles.labels) {
    dial_labels();
    wall_labels_above();
  }
  tag();
  traces();
  companions();
  flyer();
  strike();
  instructor();
  return std::move(scene_);
}

Box Composer::label_box(const Label& label) const {
  const double width = text_width_em(label.text, label.weight) * label.size_px;
  const double left = label.align == Align::left     ? label.x_px
                      : label.align == Align::centre ? label.x_px - 0.5 * width
                                                     : label.x_px - width;
  const double half = 0.5 * label.size_px;
  return {left, label.y_px - half, left + width, label.y_px + half};
}

bool Composer::place_label(Label label, bool force) {
  Box box = label_box(label);
  if (!force) {
    if (!free_.holds(box)) return false;
    for (const Box& other : taken_) {
      if (box.overlaps(other)) return false;
    }
  }
  box.x0 -= 4 * px_;
  box.x1 += 4 * px_;
  taken_.push_back(box);
  add(std::move(label));
  return true;
}

std::vector<Vec3> Composer::dial_shape(const std::vector<Vec3>& along_across, double heading_deg) {
  const Vec3 ahead = direction_W(heading_deg), left = direction_W(heading_deg + 90);
  std::vector<Vec3> points;
  for (const Vec3& p : along_across) points.push_back(p.x * ahead + p.y * left);
  return points;
}

std::vector<Vec3> Composer::arc(double radius, double from_deg, double to_deg) const {
  // A corner every four degrees stays round at any size a screen has.
  const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(to_deg - from_deg) / 4 - 1e-9)));
  std::vector<Vec3> points;
  for (int i = 0; i <= steps; ++i)
    points.push_back(on_dial(radius, from_deg + (to_deg - from_deg) * i / steps));
  return points;
}

int Composer::landing_wall() const {
  return wall_at(rung_.landing.heading_deg);
}

const std::string& Composer::wall_name(int index) const {
  const Walls& w = ladder_.plan.walls;
  const std::string* names[] = {&w.front, &w.left, &w.back, &w.right};
  return *names[index];
}

bool Composer::hidden_by_line_to_camera(double heading_deg) const {
  if (above()) return false;
  const Vec3 eye = projector_.projection().camera.eye;
  const double towards_eye = to_deg(std::atan2(-eye.z, eye.x));
  return std::abs(wrap_deg(heading_deg - towards_eye)) < 20;
}

void Composer::rounded_plate(const Box& box, double radius, Color fill, Stroke outline) {
  Polygon plate{Space::screen, {}, fill, outline};
  const Vec3 corners[] = {{box.x1 - radius, box.y0 + radius, -90},
                          {box.x1 - radius, box.y1 - radius, 0},
                          {box.x0 + radius, box.y1 - radius, 90},
                          {box.x0 + radius, box.y0 + radius, 180}};
  for (const Vec3& corner : corners) {
    for (int i = 0; i <= 6; ++i) {
      const double angle = to_rad(corner.z + 15.0 * i);
      plate.points.emplace_back(corner.x + radius * std::cos(angle), corner.y + radius * std::sin(angle), 0);
    }
  }
  add(std::move(plate));
}

Scene compose(const Ladder& ladder, std::size_t rung, const Flight& flight, double time, const View& view,
              const std::vector<Companion>& companions) {
  HT_EXPECT(rung < ladder.rungs.size());
  HT_EXPECT(companions.size() <= most_companions);
  return Composer(ladder, rung, flight, time, view, companions).compose();
}

}  // namespace halfturn
