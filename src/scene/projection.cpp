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

double zoom(const View& view) {
  if (!view.between) return view.offset.zoom;
  return view.between->offset_from.zoom +
         view.between->share * (view.offset.zoom - view.between->offset_from.zoom);
}

/// Where the dial seen from above is largest: its arrows in the free part of the picture, with a name beyond
/// them at the top and the bottom, and its ring off the answer's words.
struct Dial {
  double x = 0, y = 0, px_per_m = 0;
};
Dial largest_dial(const View& view, double free_width, double free_height) {
  const double beyond = std::min(tag_px * view.scale, 0.12 * free_height);
  constexpr int steps = 64;
  Dial best;
  double least_off = 0;
  const auto room_at = [&](double x, double y) {
    const double across = std::min(x, free_width - x), up = std::min(y, free_height - y) - beyond;
    return std::min(across, up) / arrow_tip_m;
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

Projection placed(const Camera& camera, const View& view, CameraKind kind) {
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
    const Dial dial = largest_dial(view, free_width, free_height);
    p.centre_x_px = dial.x;
    p.centre_y_px = dial.y;
    p.focal_px = dial.px_per_m * distance;
    return p;
  }
  p.centre_x_px = 0.5 * (view.width_px + view.inset_left_px - view.inset_right_px);
  p.centre_y_px = 0.5 * (view.height_px + view.inset_top_px - view.inset_bottom_px);
  p.focal_px = 0.5 * free_height / std::tan(0.5 * to_rad(camera.fov_deg));
  if (kind != CameraKind::eyes) p.focal_px = std::min(p.focal_px, 0.5 * free_width * distance / half_width_m);
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

Projection projection_for(const Camera& camera, const View& view) {
  Projection p = placed(camera, view, view.camera);
  if (view.between) {
    // Where one camera's picture is centred and how large it is goes over into the other's.
    const Projection from = placed(camera, view, view.between->from);
    const double share = view.between->share;
    p.centre_x_px = from.centre_x_px + share * (p.centre_x_px - from.centre_x_px);
    p.centre_y_px = from.centre_y_px + share * (p.centre_y_px - from.centre_y_px);
    p.focal_px = from.focal_px + share * (p.focal_px - from.focal_px);
  }
  p.focal_px *= zoom(view);
  return p;
}

}  // namespace halfturn
