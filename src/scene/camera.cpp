#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "composer.hpp"

namespace halfturn {

double held_heading_deg(const Ladder& ladder) {
  const Rung& base = ladder.rungs.front();
  return ladder.holds_start ? base.start.heading_deg : base.landing.heading_deg;
}

namespace {

constexpr double least_elevation = 0.01, greatest_elevation = 1.5;  // rad, of an orbiting eye

/// Whether the side camera looks towards where the ladder's landings face more often than away. Chosen from
/// the whole ladder, so that it does not jump from rung to rung.
bool looks_ahead(const Ladder& ladder, double held_deg) {
  double ahead = 0;
  for (std::size_t k = ladder.rungs.size() > 1 ? 1 : 0; k < ladder.rungs.size(); ++k)
    ahead += std::cos(to_rad(ladder.rungs[k].landing.heading_deg - held_deg));
  return ahead > 1e-6;
}

}  // namespace

Camera moved_camera(Camera camera, const CameraOffset& offset) {
  const Vec3 forward = glm::normalize(camera.target - camera.eye);
  const Vec3 right = glm::normalize(glm::cross(forward, camera.up));
  const double elevation = std::asin(std::clamp(-forward.y, -1.0, 1.0));
  double pitch = offset.pitch;
  if (pitch != 0)
    pitch = std::clamp(elevation + pitch, std::min(elevation, least_elevation),
                       std::max(elevation, greatest_elevation)) -
            elevation;
  const Quat turn = rotation_y(offset.yaw) * rotation_about(right, -pitch);
  if (offset.yaw != 0 || pitch != 0) {
    camera.eye = camera.target + turn * (camera.eye - camera.target);
    camera.up = turn * camera.up;
  }
  const Vec3 view = glm::normalize(camera.target - camera.eye);
  const Vec3 to_right = glm::normalize(glm::cross(view, camera.up));
  const Vec3 pan = offset.pan_right * to_right + offset.pan_up * glm::cross(to_right, view);
  camera.eye += pan;
  camera.target += pan;
  return camera;
}

namespace {

Camera named_camera(const Ladder& ladder, std::size_t rung, const FlightSample& now, const View& view) {
  const double held = held_heading_deg(ladder);
  const Quat turn = rotation_y(to_rad(held));
  Camera camera;
  switch (view.camera) {
    case CameraKind::side: {
      const double ahead = looks_ahead(ladder, held) ? -4.75 : 4.75;
      camera.eye = turn * Vec3(ahead, 2.9, -6.6 * sign_of(ladder.plan.side));
      camera.target = Vec3(0, 1.14, 0);
      camera.fov_deg = 31.5;
      break;
    }
    case CameraKind::front:
      camera.eye = turn * Vec3(7.4, 3.0, 0);
      camera.target = Vec3(0, 1.1, 0);
      camera.fov_deg = 34;
      break;
    case CameraKind::above:
      camera.eye = Vec3(0, 9.2, 0);
      camera.target = Vec3(0);
      camera.up = direction_W(ladder.rungs[rung].start.heading_deg);
      camera.fov_deg = 31;
      break;
    case CameraKind::eyes: {
      const HumanBody body = human_body(Athlete{});
      const PlacedBody flown = place_by_com(body, now.pose, now.q_WB, now.com_W);
      const PlacedBody placed = lifted_to_floor(body, flown);
      // The same eyes as those that tell when the landing is in view.
      const Eyes eyes = eyes_at(body, now, view.gaze, ladder.rungs[rung].side);
      camera.eye = eyes.point_W + (placed.origin_W - flown.origin_W);
      camera.target = camera.eye + eyes.ahead_W;
      camera.up = eyes.up_W;
      camera.fov_deg = 75;
      camera.own_head = false;
      return camera;
    }
  }
  return moved_camera(camera, view.offset);
}

/// Camera axes (right, up, backward) -> world.
Quat orientation_of(const Camera& camera) {
  const Vec3 back = glm::normalize(camera.eye - camera.target);
  const Vec3 right = glm::normalize(glm::cross(camera.up, back));
  return glm::quat_cast(Mat3(right, glm::cross(back, right), back));
}

/// The eye goes around the target, and both turn over into the other camera without the picture ever standing
/// on its head.
Camera blend(const Camera& from, const Camera& to, double share) {
  Camera camera = to;
  const Quat turned = slerp(orientation_of(from), orientation_of(to), share);
  const double near = glm::length(from.eye - from.target), far = glm::length(to.eye - to.target);
  camera.target = from.target + share * (to.target - from.target);
  camera.eye = camera.target + (near + share * (far - near)) * (turned * Vec3(0, 0, 1));
  camera.up = turned * Vec3(0, 1, 0);
  camera.fov_deg = from.fov_deg + share * (to.fov_deg - from.fov_deg);
  // The eye passes through the head on its way in or out.
  camera.own_head = from.own_head && to.own_head;
  return camera;
}

/// How high a jump of an air time carries the top of the body, m over the floor: the centre of mass leaves at
/// about a metre and rises by g T^2 / 8, and the body reaches from it.
double highest_of(double air_time_s) {
  constexpr double takeoff_m = 1.0, reach_m = 1.14, gravity = 9.81;
  return takeoff_m + gravity * air_time_s * air_time_s / 8 + reach_m;
}

}  // namespace

Room room_for(const Ladder& ladder, const View& view) {
  Room room;
  for (const Rung& rung : ladder.rungs)
    room.highest_m = std::max(room.highest_m, highest_of(drawn_duration(rung)));
  const Walls& walls = ladder.plan.walls;
  for (const std::string* name : {&walls.front, &walls.left, &walls.back, &walls.right})
    room.wall_name_em = std::max(room.wall_name_em, text_width_em(*name, Weight::bold));
  View plain = view;
  plain.offset = {};
  const FlightSample standing{};
  plain.camera = CameraKind::side;
  room.plain_side = named_camera(ladder, 0, standing, plain);
  plain.camera = CameraKind::front;
  room.plain_front = named_camera(ladder, 0, standing, plain);
  return room;
}

Camera camera_for(const Ladder& ladder, std::size_t rung, const FlightSample& now, const View& view) {
  const Camera camera = named_camera(ladder, rung, now, view);
  if (!view.between) return camera;
  View before = view;
  before.camera = view.between->from;
  before.offset = view.between->offset_from;
  before.gaze = view.between->gaze_from;
  return blend(named_camera(ladder, rung, now, before), camera, view.between->share);
}

}  // namespace halfturn
