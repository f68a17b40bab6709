#include "scene/projection.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

namespace halfturn {
namespace {

/// Half the width that must stay in the picture at the target's distance, m: the dial with its arrows.
constexpr double half_width_m = 2.55;
constexpr double arrow_tip_m = 2.16;  // of the landing arrow in play

}  // namespace

Projector::Projector(const Projection& projection) : projection_(projection) {
  const Camera& camera = projection_.camera;
  forward_ = glm::normalize(camera.target - camera.eye);
  right_ = glm::normalize(glm::cross(forward_, camera.up));
  up_ = glm::cross(right_, forward_);
}

Vec3 Projector::to_view(const Vec3& p_W) const {
  const Vec3 d = p_W - projection_.camera.eye;
  return {glm::dot(d, right_), glm::dot(d, up_), glm::dot(d, forward_)};
}

Vec3 Projector::view_to_px(const Vec3& p_view) const {
  const double scale = projection_.focal_px / p_view.z;
  return {projection_.centre_x_px + scale * p_view.x, projection_.centre_y_px - scale * p_view.y, p_view.z};
}

std::optional<Vec3> Projector::to_px(const Vec3& p_W) const {
  const Vec3 v = to_view(p_W);
  if (v.z < near_m) return std::nullopt;
  return view_to_px(v);
}

Projection projection_for(const Camera& camera, const View& view) {
  Projection p;
  p.camera = camera;
  p.width_px = view.width_px;
  p.height_px = view.height_px;
  // Controls may cover everything in a tiny window: some room always counts as free.
  const double free_width =
      std::max(0.2 * view.width_px, view.width_px - view.inset_left_px - view.inset_right_px);
  const double free_height =
      std::max(0.2 * view.height_px, view.height_px - view.inset_top_px - view.inset_bottom_px);
  p.centre_x_px = 0.5 * (view.width_px + view.inset_left_px - view.inset_right_px);
  p.centre_y_px = 0.5 * (view.height_px + view.inset_top_px - view.inset_bottom_px);
  p.focal_px = 0.5 * free_height / std::tan(0.5 * to_rad(camera.fov_deg));
  if (view.camera == CameraKind::above) {
    // Room for the tag beyond the tip of the arrow in play.
    const double distance = glm::length(camera.target - camera.eye);
    p.focal_px = std::min(p.focal_px, std::max(0.3 * free_height, 0.5 * free_height - 66 * view.scale) *
                                          distance / arrow_tip_m);
  }
  if (camera.own_head) {
    const double distance = glm::length(camera.target - camera.eye);
    p.focal_px = std::min(p.focal_px, 0.5 * free_width * distance / half_width_m);
  }
  p.focal_px *= view.between ? view.between->offset_from.zoom +
                                   view.between->share * (view.offset.zoom - view.between->offset_from.zoom)
                             : view.offset.zoom;
  return p;
}

}  // namespace halfturn
