#include "scene/projection.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

namespace halfturn {
namespace {

/// Half the width that must stay in the picture at the target's distance, m: the dial with its arrows.
constexpr double half_width_m = 2.55;
constexpr double ring_with_names_m = 2.3;
constexpr double arrow_tip_m = 2.36;  // of the landing arrow in play
constexpr double tag_px = 56;         // design pixels that a wall's name takes beyond it
constexpr double name_px = 20,
                 name_gap_px = 16;     // design pixels: font size of the walls' names, gaps around one
constexpr double name_reach_m = 2.20;  // where a wall's name begins
// For high flights: the near edge of the dial with its arrows, m in front of the middle; the height that the
// answer's words take in a small picture, design pixels; the farthest step back.
constexpr double near_edge_m = 2.2, small_picture_px = 700, small_answer_px = 92, farthest = 0.4;
constexpr double least_stage_px =
    220;  // design pixels of height under which the words are flown through after all
// Half a lying body, m; the width that the answer mostly takes, design pixels; how far the middle moves aside
// for it, a share of the free width.
constexpr double lying_m = 1.0, answer_px = 360, aside = 0.06;

double zoom(const View& view) {
  if (!view.between) return view.offset.zoom;
  return view.between->offset_from.zoom +
         view.between->share * (view.offset.zoom - view.between->offset_from.zoom);
}

/// Where the dial seen from above is largest: its arrows in the free part of the picture, with a name beyond
/// them at the top and the bottom and `names_px` wide at both sides, and its ring off the answer's words.
struct Dial {
  double x = 0, y = 0, px_per_m = 0;
};
Dial largest_dial(const View& view, double names_px, double free_width, double free_height) {
  const double beyond = std::min(tag_px * view.scale, 0.12 * free_height);
  constexpr int steps = 64;
  Dial best;
  double least_off = 0;
  const auto room_at = [&](double x, double y) {
    const double across = std::min(x, free_width - x), up = std::min(y, free_height - y) - beyond;
    return std::min({across / arrow_tip_m, (across - names_px) / name_reach_m, up / arrow_tip_m});
  };
  for (int i = 0; i <= steps; ++i) {
    for (int k = 0; k <= steps; ++k) {
      const double x = free_width * i / steps, y = free_height * k / steps;
      double scale = room_at(x, y);
      if (view.answer_width_px > 0 && view.answer_height_px > 0) {
        const double dx = std::max(0.0, view.inset_left_px + x - view.answer_width_px);
        const double dy = std::max(0.0, view.inset_top_px + y - view.answer_height_px);
        scale = std::min(scale, std::hypot(dx, dy) / ring_with_names_m);
      }
      // Of equals the one nearest to the middle.
      const double off = std::abs(x - 0.5 * free_width) + std::abs(y - 0.5 * free_height);
      if (scale > best.px_per_m + 1e-6 || (scale > best.px_per_m - 1e-6 && off < least_off)) {
        best = {view.inset_left_px + x, view.inset_top_px + y, scale};
        least_off = off;
      }
    }
  }
  // Words that leave no room for it are covered.
  const double middle = room_at(0.5 * free_width, 0.5 * free_height);
  if (best.px_per_m < 0.5 * middle || middle <= 0)
    return {view.inset_left_px + 0.5 * free_width, view.inset_top_px + 0.5 * free_height,
            std::max(1.0, middle)};
  return best;
}

/// Steps back, and lowers the middle of the picture, until the highest flight stays under the buttons and,
/// where there is little room, under the answer's words.
void make_room(Projection& p, const View& view, const Room& room, const Camera& plain) {
  if (room.highest_m <= 0) return;
  const bool small = view.height_px < small_picture_px * view.scale && view.answer_height_px > 0;
  const double bottom = view.height_px - view.inset_bottom_px;
  double top = view.inset_top_px;
  if (small && bottom - top > (small_answer_px + least_stage_px) * view.scale)
    top += small_answer_px * view.scale;
  Projection one = p;
  one.camera = plain;
  one.focal_px = 1;
  one.centre_x_px = one.centre_y_px = 0;
  const Projector projector(one);
  const Vec3 away = plain.eye - plain.target;
  const Vec3 towards_eye = glm::normalize(Vec3(away.x, 0, away.z));
  const auto highest = projector.to_px({0, room.highest_m, 0}),
             nearest = projector.to_px(near_edge_m * towards_eye);
  if (!highest || !nearest) return;
  const double up = -highest->y, down = nearest->y;
  const double most = std::max(0.0, bottom - top) / (up + down);
  p.focal_px = std::max(farthest * p.focal_px, std::min(p.focal_px, most));
  p.centre_y_px = std::max(p.centre_y_px, top + up * p.focal_px);
  if (small || view.answer_height_px <= 0) return;
  // Beside the words of a larger picture.
  const double body = lying_m * p.focal_px / glm::length(away);
  const double wanted = view.inset_left_px + answer_px * view.scale + body - p.centre_x_px;
  p.centre_x_px +=
      std::clamp(wanted, 0.0, aside * (view.width_px - view.inset_left_px - view.inset_right_px));
}

Projection placed(const Camera& camera, const View& view, const Room& room, CameraKind kind) {
  Projection p;
  p.camera = camera;
  p.width_px = view.width_px;
  p.height_px = view.height_px;
  // Controls may cover everything in a tiny window: some room always counts as free.
  const double free_width =
      std::max(0.2 * view.width_px, view.width_px - view.inset_left_px - view.inset_right_px);
  const double free_height =
      std::max(0.2 * view.height_px, view.height_px - view.inset_top_px - view.inset_bottom_px);
  const double distance = glm::length(camera.target - camera.eye);
  if (kind == CameraKind::above) {
    // The walls' names beside it are worth a little of its size, not much.
    const double names = (room.wall_name_em * name_px + name_gap_px) * view.scale;
    const Dial nameless = largest_dial(view, 0, free_width, free_height);
    const Dial named = largest_dial(view, names, free_width, free_height);
    const Dial& dial = named.px_per_m >= 0.92 * nameless.px_per_m ? named : nameless;
    p.centre_x_px = dial.x;
    p.centre_y_px = dial.y;
    p.focal_px = dial.px_per_m * distance;
    return p;
  }
  p.centre_x_px = 0.5 * (view.width_px + view.inset_left_px - view.inset_right_px);
  p.centre_y_px = 0.5 * (view.height_px + view.inset_top_px - view.inset_bottom_px);
  p.focal_px = 0.5 * free_height / std::tan(0.5 * to_rad(camera.fov_deg));
  if (kind != CameraKind::eyes) p.focal_px = std::min(p.focal_px, 0.5 * free_width * distance / half_width_m);
  if (kind == CameraKind::side) make_room(p, view, room, room.plain_side);
  if (kind == CameraKind::front) make_room(p, view, room, room.plain_front);
  return p;
}

}  // namespace

Projector::Projector(const Projection& projection) : projection_(projection) {
  const Camera& camera = projection_.camera;
  forward_ = glm::normalize(camera.target - camera.eye);
  right_ = glm::normalize(glm::cross(forward_, camera.up));
  up_ = glm::cross(right_, forward_);
}

std::optional<Vec3> Projector::to_px(const Vec3& p_W) const {
  const Vec3 v = to_view(p_W);
  if (v.z < near_m) return std::nullopt;
  return view_to_px(v);
}

Projection projection_for(const Camera& camera, const View& view, const Room& room) {
  Projection p = placed(camera, view, room, view.camera);
  if (view.between) {
    // Where one camera's picture is centred and how large it is goes over into the other's.
    const Projection from = placed(camera, view, room, view.between->from);
    const double share = view.between->share;
    p.centre_x_px = from.centre_x_px + share * (p.centre_x_px - from.centre_x_px);
    p.centre_y_px = from.centre_y_px + share * (p.centre_y_px - from.centre_y_px);
    p.focal_px = from.focal_px + share * (p.focal_px - from.focal_px);
  }
  p.focal_px *= zoom(view);
  return p;
}

}  // namespace halfturn
