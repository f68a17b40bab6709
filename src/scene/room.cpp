#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double wall_m = 4.0, wall_height_m = 6.5, eyes_wall_height_m = 4.5;
constexpr double floor_reach_m = 14;  // beyond the walls that are cut away
constexpr double sign_low_m = 1.0, sign_high_m = 2.1, sign_text_m = 0.66, sign_margin_m = 0.34;
constexpr double name_text_m = 0.6, name_heights_m[] = {1.62, 1.3, 1.0};
constexpr double steep = 0.8;  // sine of the look down from which walls would only be edges

double wall_heading(int index) {
  return 90.0 * index;
}
/// Along the wall to the right as seen from inside the room.
Vec3 wall_right(int index) {
  return direction_W(wall_heading(index) - 90);
}
Vec3 on_wall(int index, double along, double y) {
  return wall_m * direction_W(wall_heading(index)) + along * wall_right(index) + Vec3(0, y, 0);
}

}  // namespace

bool Composer::shows_wall(int index) const {
  if (above() && view_.offset == CameraOffset{}) return false;
  if (!eyes() && projector_.forward().y < -steep) return false;
  return glm::dot(projector_.projection().camera.eye, direction_W(wall_heading(index))) < wall_m;
}

void Composer::floor() {
  // Up to the walls that stand, far out where they are cut away.
  const auto reach = [&](int index) { return shows_wall(index) ? wall_m : floor_reach_m; };
  const double front = reach(0), left = reach(1), back = reach(2), right = reach(3);
  add(Polygon{Space::world,
              {{front, 0, -left}, {-back, 0, -left}, {-back, 0, right}, {front, 0, right}},
              palette_.floor,
              {}});
  const Stroke seam = stroke(faded(palette_.hair, view_.theme == Theme::dark ? 0.55 : 0.5), 1);
  for (int i = static_cast<int>(-back); i <= static_cast<int>(front); ++i)
    add(Line{Space::world, {{double(i), 0, -left}, {double(i), 0, right}}, seam});
  for (int i = static_cast<int>(-left); i <= static_cast<int>(right); ++i)
    add(Line{Space::world, {{-back, 0, double(i)}, {front, 0, double(i)}}, seam});
}

void Composer::walls() {
  const double height = eyes() ? eyes_wall_height_m : wall_height_m;
  for (int index = 0; index < 4; ++index) {
    if (!shows_wall(index)) continue;
    add(Polygon{Space::world,
                {on_wall(index, -wall_m, 0), on_wall(index, wall_m, 0), on_wall(index, wall_m, height),
                 on_wall(index, -wall_m, height)},
                index % 2 == 0 ? palette_.wall : palette_.wall2,
                {}});
  }
  const int landing = landing_wall();
  for (int index = 0; index < 4; ++index) {
    if (!shows_wall(index) || index == landing) continue;
    wall(index, view_.toggles.both_sides && index == twin_wall());
  }
  if (shows_wall(landing)) wall(landing, true);
}

void Composer::wall(int index, bool with_sign) {
  add(Line{Space::world,
           {on_wall(index, -wall_m, 0), on_wall(index, wall_m, 0)},
           with_sign ? stroke(palette_.ink, 3) : stroke(palette_.hair, 1.5)});
  if (view_.theme == Theme::sunlight || eyes()) {
    // White on white, or seen from a turning head: the corner is what tells one wall from the next.
    for (const double side : {-wall_m, wall_m})
      add(Line{Space::world,
               {on_wall(index, side, 0), on_wall(index, side, eyes_wall_height_m)},
               stroke(palette_.hair, 1)});
  }
  const std::string& name = wall_name(index);
  if (with_sign) {
    // The sign wants to be where the eyes go on landing; where it would lie behind the flyer or under words
    // a smaller one may stand clear.
    const double off = to_rad(rung_.landing.heading_deg - wall_heading(index));
    for (const double size : {1.0, 0.85, 0.7}) {
      const double width = size * (text_width_em(name, Weight::bold) * sign_text_m + 2 * sign_margin_m);
      const double wish = std::clamp(-wall_m * std::tan(off), -wall_m + 0.5 * width, wall_m - 0.5 * width);
      const Slide slide = eyes() ? Slide{wish, 0} : slide_along(index, width, sign_low_m, sign_high_m, wish);
      const bool seen = eyes() || visible_share(index, slide.along, width) > 0.999;
      if ((slide.trouble > 0.1 || !seen) && size > 0.71) continue;
      if (!seen) break;
      signed_ = signed_ || index == landing_wall();
      return sign(index, slide.along, width, size);
    }
  }
  const double width = text_width_em(name, Weight::bold) * name_text_m;
  const double along = eyes() ? 0 : slide_along(index, width + 0.3, 1.2, 2.0, 0).along;
  // Two words in one place cannot be read: a name goes lower to keep off the answer, or is left out.
  const auto off_answer = [&](double height) {
    Box box = empty_box;
    for (const double side : {-0.5, 0.5}) {
      for (const double y : {-0.4, 0.4}) {
        if (const auto p = px(on_wall(index, along + side * width, height + y))) box.include(p->x, p->y);
      }
    }
    return !box.overlaps({0, 0, view_.answer_width_px, view_.answer_height_px});
  };
  const auto* height = std::find_if(std::begin(name_heights_m), std::end(name_heights_m),
                                    [&](double m) { return eyes() || off_answer(m); });
  if (height == std::end(name_heights_m)) return;
  add(SurfaceText{name,
                  on_wall(index, along, *height),
                  wall_right(index),
                  {0, 1, 0},
                  name_text_m,
                  Weight::bold,
                  palette_.dim});
}

void Composer::sign(int index, double along, double width_m, double size) {
  // When the rung changes the sign fades out and in where it is; it never flies through the room.
  const double left = along - 0.5 * width_m, right = along + 0.5 * width_m;
  const double middle = 0.5 * (sign_low_m + sign_high_m), half = 0.5 * size * (sign_high_m - sign_low_m);
  add(Polygon{Space::world,
              {on_wall(index, left, middle - half), on_wall(index, right, middle - half),
               on_wall(index, right, middle + half), on_wall(index, left, middle + half)},
              faded(palette_.front, view_.sign_opacity),
              stroke(faded(palette_.line, view_.sign_opacity), 2)});
  add(SurfaceText{wall_name(index),
                  on_wall(index, along, middle),
                  wall_right(index),
                  {0, 1, 0},
                  size * sign_text_m,
                  Weight::bold,
                  faded(palette_.on_front, view_.sign_opacity)});
}

double Composer::visible_share(int index, double along, double width_m) const {
  Box box = empty_box;
  for (const double side : {-0.5, 0.5}) {
    for (const double y : {sign_low_m, sign_high_m}) {
      const auto p = px(on_wall(index, along + side * width_m, y));
      if (!p) return 0;
      box.include(p->x, p->y);
    }
  }
  // Seen so much from the side that nobody can read it counts as not seen.
  if (box.x1 - box.x0 < 1.1 * (box.y1 - box.y0)) return 0;
  return box.common(free_).area() / box.area();
}

Composer::Slide Composer::slide_along(int index, double width_m, double low, double high, double wish) const {
  const double reach = std::max(0.0, wall_m - 0.5 * width_m - 0.12);
  Slide best{std::clamp(wish, -reach, reach), 1e300};
  double least = 1e300;
  constexpr int steps = 16;
  for (int i = -steps; i <= steps; ++i) {
    const double along = sign_of(rung_.side) * reach * i / steps;
    Box box = empty_box;
    bool behind = false;
    for (const double side : {-0.5, 0.5}) {
      for (const double y : {low, high}) {
        const auto p = px(on_wall(index, along + side * width_m, y));
        if (p) {
          box.include(p->x, p->y);
        } else {
          behind = true;
        }
      }
    }
    if (behind) continue;
    const double area = std::max(1.0, box.area());
    const double cut = 1 - box.common(free_).area() / area;
    const double covered = box.common(flight_box_).area() / area;
    // Equal costs go to the first place of the search, which runs the way of the twist: mirrored when that
    // is.
    const double worded = box.common({0, 0, view_.answer_width_px, view_.answer_height_px}).area() / area;
    const double cost = 4 * cut + 2 * covered + 4 * worded + 0.03 * std::abs(along - wish);
    if (cost < least - 1e-9) {
      least = cost;
      best = {along, cut + covered + worded};
    }
  }
  return best;
}

// The stage goes over into plain ground outside the part that controls leave free.
void Composer::fades() {
  if (eyes()) return;
  const double w = view_.width_px, h = view_.height_px;
  const double reach = 70 * px_;
  const Color air = palette_.air;
  const auto beside = [&](double x0, double x1, double o0, double o1, bool down, double y0, double y1) {
    add(Gradient{x0, y0, x1, y1, air, o0, o1, down});
  };
  if (view_.inset_right_px > 0) {
    const double edge = w - view_.inset_right_px;
    beside(edge, edge + reach, 0, 1, false, 0, h);
    beside(edge + reach, w, 1, 1, false, 0, h);
  }
  if (view_.inset_left_px > 0) {
    const double edge = view_.inset_left_px;
    beside(edge - reach, edge, 1, 0, false, 0, h);
    beside(0, edge - reach, 1, 1, false, 0, h);
  }
  if (view_.inset_bottom_px > 0) {
    const double edge = h - view_.inset_bottom_px;
    beside(0, w, 0, 1, true, edge - 0.5 * reach, edge + 0.5 * reach);
    beside(0, w, 1, 1, true, edge + 0.5 * reach, h);
  } else {
    beside(0, w, 0, 1, true, h - 110 * px_, h);
  }
}

}  // namespace halfturn
