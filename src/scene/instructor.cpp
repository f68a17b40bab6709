#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double axis_reach_m = 1.25, long_axis_reach_m = 1.15, momentum_reach_m = 1.05;

}  // namespace

// Lines through the centre of mass. They differ by dash and end, not by colour, and none is yellow: yellow is
// the chest.
void Composer::instructor() {
  if (eyes()) return;
  const Toggles& on = view_.toggles;
  const Vec3 com = now_.sample.com_W;
  const Color ink = palette_.ink;
  const auto words = [&](std::string text, const Vec3& at_W, double up_px) {
    if (!on.labels) return;
    const auto p = px(at_W);
    if (!p) return;
    Label label{std::move(text), p->x, p->y - up_px * px_, 16 * px_, Weight::bold,
                Align::centre,   ink,  palette_.halo};
    if (view_.theme == Theme::dark) label.halo = palette_.air;
    place_label(std::move(label));
  };
  const auto line = [&](const Vec3& a, const Vec3& b, double width, double dash, double gap) {
    add(Line{Space::world, {a, b}, stroke(palette_.halo, width + 3)});
    add(Line{
        Space::world, {a, b}, stroke(view_.theme == Theme::dark ? palette_.line : ink, width, dash, gap)});
  };
  // A line through the body stops before the answer's words.
  const auto clear_reach = [&](const Vec3& axis, double most) {
    double reach = most;
    const auto covered = [&](double share) {
      const auto p = px(com + share * reach * axis);
      return p && answer_box_.area() > 0 && p->x < answer_box_.x1 && p->y < answer_box_.y1;
    };
    for (; reach > 0.4 * most; reach -= 0.05 * most) {
      bool free = true;
      for (int i = -8; i <= 8; ++i) free = free && !covered(i / 8.0);
      if (free) break;
    }
    return reach;
  };
  const Vec3 long_axis = now_.sample.q_WB * Vec3(0, 1, 0);
  const Vec3 flip_axis = flight_.flip_axis_W();
  const bool flips = glm::length(flip_axis) > 0.5;
  if (on.tilt_wedge && flips) {
    // Between the long axis and the plane square to the flip axis: what an off-axis flip leans by.
    const Vec3 in_plane = long_axis - glm::dot(long_axis, flip_axis) * flip_axis;
    if (glm::length(in_plane) > 1e-3) {
      const Vec3 square = glm::normalize(in_plane);
      const double tilt = std::asin(std::clamp(glm::dot(long_axis, flip_axis), -1.0, 1.0));
      std::vector<Vec3> wedge{com};
      for (int i = 0; i <= 10; ++i) {
        const double a = tilt * i / 10;
        wedge.push_back(com + 1.0 * (std::cos(a) * square + std::sin(a) * flip_axis));
      }
      add(Polygon{Space::world, wedge, faded(palette_.mark, 0.6), stroke(palette_.line, 1.5)});
      words("tilt " + std::to_string(static_cast<int>(std::lround(std::abs(to_deg(tilt))))) + "\u00b0",
            com + 1.12 * (std::cos(0.5 * tilt) * square + std::sin(0.5 * tilt) * flip_axis), 0);
    }
  }
  if (on.long_axis) {
    const double reach = clear_reach(long_axis, long_axis_reach_m);
    line(com - reach * long_axis, com + reach * long_axis, 2, 0, 0);
    words("long axis", com - (reach + 0.12) * long_axis, 0);
  }
  if (on.flip_axis && flips) {
    const double reach = clear_reach(flip_axis, axis_reach_m);
    line(com - reach * flip_axis, com + reach * flip_axis, 2.4, 9, 5);
    for (const double end : {-reach, reach}) {
      if (const auto p = px(com + end * flip_axis))
        add(Marker{Marker::Shape::disc, p->x, p->y, 5 * px_, palette_.plate, stroke(palette_.line, 2)});
    }
    words("flip axis", com + reach * flip_axis, 18);
  }
  if (on.momentum && flight_.angular_momentum_W()) {
    const Vec3 H = *flight_.angular_momentum_W();
    if (glm::length(H) > 1e-6) {
      const Vec3 tip = com + momentum_reach_m * glm::normalize(H);
      line(com, tip, 4, 0, 0);
      const auto p = px(tip), q = px(com);
      if (p && q) {
        const double dx = p->x - q->x, dy = p->y - q->y, length = std::max(1e-9, std::hypot(dx, dy));
        const double ux = dx / length, uy = dy / length, s = 9 * line_;
        add(Polygon{Space::screen,
                    {{p->x + 1.6 * s * ux, p->y + 1.6 * s * uy, 0},
                     {p->x - s * uy, p->y + s * ux, 0},
                     {p->x + s * uy, p->y - s * ux, 0}},
                    ink,
                    stroke(palette_.halo, 1.5)});
      }
      words("H", tip, 24);
    }
    // The momentum stays, the axis the body turns about at this moment goes round it.
    const Vec3 omega = now_.sample.q_WB * now_.sample.omega_B;
    if (glm::length(omega) > 1e-3) {
      const Vec3 end = com + 0.8 * momentum_reach_m * glm::normalize(omega);
      line(com, end, 2.4, 3, 4);
      if (const auto p = px(end))
        add(Marker{Marker::Shape::square, p->x, p->y, 5 * px_, palette_.plate, stroke(palette_.line, 2)});
      words("turns about", end, -22);
    }
  }
}

}  // namespace halfturn
