#include <algorithm>
#include <cmath>

#include "composer.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double ghost_scale = 0.6;
constexpr double aside_m = 0.75;  // from the line of its heading, where the mark stands on it
constexpr double in_play_opacity = 0.95;
constexpr double small_picture_px = 700;  // design pixels of height under which only the one in play stands

}  // namespace

void Composer::ghosts() {
  if (!view_.toggles.ghosts || above() || eyes()) return;
  struct Ghost {
    double heading = 0;
    bool now = false;
    double distance = 0;
  };
  std::vector<Ghost> standing;
  // Beside a twin there is room for one only.
  const bool only_now = view_.height_px < small_picture_px * px_ || view_.toggles.both_sides;
  for (const LandingGroup& g : landings_) standing.push_back({g.heading_deg, g.now, 0});
  std::erase_if(standing,
                [&](const Ghost& g) { return (only_now && !g.now) || hidden_by_line_to_camera(g.heading); });
  for (Ghost& g : standing) g.distance = projector_.to_view(on_dial(ghost_radius(), g.heading)).z;
  std::stable_sort(standing.begin(), standing.end(),
                   [](const Ghost& a, const Ghost& b) { return a.distance > b.distance; });
  const Pose pose = standing_pose();
  for (const Ghost& g : standing) {
    if (g.distance < 0.5) continue;
    FigureStyle style;
    style.ghost = true;
    style.scale_px = px_;
    style.opacity = g.now ? in_play_opacity : in_play_opacity * view_.ghost_opacity;
    // On the line of its heading; beside it, facing the same way, where the mark has that place. A ghost that
    // controls or the edge of the picture would cut is left out.
    Vec3 at{};
    Figure figure;
    Box box;
    const auto stands = [&](double aside) {
      at = on_dial(ghost_radius(), g.heading) + aside * direction_W(g.heading + 90);
      const PlacedBody placed =
          place_on_floor(body_, pose, rotation_y(to_rad(g.heading)), at.x, at.z, ghost_scale);
      figure = make_figure(body_, placed, palette_, style);
      Box bones = empty_box;
      for (const Capsule& c : figure.capsules) {
        if (const auto p = px(c.a_W)) bones.include(p->x, p->y);
        if (const auto p = px(c.b_W)) bones.include(p->x, p->y);
      }
      const double flesh = 0.09 * projector_.px_per_m(g.distance);
      box = {bones.x0 - flesh, bones.y0 - flesh, bones.x1 + flesh, bones.y1 + flesh};
      return free_.holds({box.x0, box.y0, box.x1, bones.y1}) && !box.overlaps(mark_box_) &&
             !(answer_box_.area() > 0 && box.overlaps(answer_box_));
    };
    const double way = sign_of(rung_.side);
    if (!stands(0) && !stands(way * aside_m) && !stands(-way * aside_m)) continue;
    taken_.push_back(box);
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
