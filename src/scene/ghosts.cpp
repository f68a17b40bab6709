#include <algorithm>
#include <cmath>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double ghost_radius = 2.50, ghost_double_radius = 2.78, ghost_scale = 0.6;
constexpr double in_play_opacity = 0.95;
constexpr double small_picture_px = 700;  // design pixels of height under which only the one in play stands

}  // namespace

void Composer::ghosts() {
  if (!view_.toggles.ghosts || above() || eyes()) return;
  struct Ghost {
    double heading = 0, radius = ghost_radius;
    bool now = false;
    double distance = 0;
  };
  std::vector<Ghost> standing;
  const bool only_now = view_.height_px < small_picture_px * px_;
  for (std::size_t k = 0; k < ladder_.rungs.size(); ++k) {
    const double heading = ladder_.rungs[k].landing.heading_deg;
    auto same = std::find_if(standing.begin(), standing.end(),
                             [&](const Ghost& g) { return std::abs(wrap_deg(g.heading - heading)) < 6; });
    if (same == standing.end()) {
      standing.push_back({heading, ghost_radius, k == rung_index_, 0});
    } else {
      same->radius = ghost_double_radius;
      if (k == rung_index_) same->now = true;
    }
  }
  std::erase_if(standing,
                [&](const Ghost& g) { return (only_now && !g.now) || hidden_by_line_to_camera(g.heading); });
  for (Ghost& g : standing) g.distance = projector_.to_view(on_dial(g.radius, g.heading)).z;
  std::stable_sort(standing.begin(), standing.end(),
                   [](const Ghost& a, const Ghost& b) { return a.distance > b.distance; });
  const Pose pose = standing_pose();
  for (const Ghost& g : standing) {
    if (g.distance < 0.5) continue;
    const Vec3 at = on_dial(g.radius, g.heading);
    const PlacedBody placed =
        place_on_floor(body_, pose, rotation_y(to_rad(g.heading)), at.x, at.z, ghost_scale);
    FigureStyle style;
    style.ghost = true;
    style.scale_px = px_;
    style.opacity = g.now ? in_play_opacity : in_play_opacity * view_.ghost_opacity;
    Figure figure = make_figure(body_, placed, palette_, style);
    Box box = empty_box;
    for (const Capsule& c : figure.capsules) {
      if (const auto p = px(c.a_W)) box.include(p->x, p->y);
      if (const auto p = px(c.b_W)) box.include(p->x, p->y);
    }
    const double room = 0.09 * projector_.px_per_m(g.distance);
    // A ghost that controls or the edge of the picture would cut is left out.
    if (!free_.holds({box.x0 - room, box.y0 - room, box.x1 + room, box.y1})) continue;
    taken_.push_back({box.x0 - room, box.y0 - room, box.x1 + room, box.y1 + room});
    Capsule spot;
    const Vec3 half = 0.12 * direction_W(g.heading);
    spot.a_W = at - half;
    spot.b_W = at + half;
    spot.radius_a = spot.radius_b = 0.12;
    add(Shadow{{spot},
               {{0.16, 0.04 * style.opacity}, {0.09, 0.05 * style.opacity}, {0.03, 0.06 * style.opacity}},
               palette_.shadow});
    add(std::move(figure));
  }
}

}  // namespace halfturn
