#include "solve_controls.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>

#include "base/expect.hpp"
#include "rotation/heading.hpp"

namespace halfturn::solve {
namespace {

const Vec3 up(0, 1, 0);

/// The shape of a flight without twist.
std::string_view shape_name(FlightShape shape) {
  switch (shape) {
    case FlightShape::tuck:
      return "tuck";
    case FlightShape::pike:
      return "pike";
    case FlightShape::butterfly:
      return "butterfly";
    case FlightShape::split:
      return "split";
    case FlightShape::straight:
    case FlightShape::upright:
      break;
  }
  return "layout";
}

FlipFrame frame_of(const Vec3& axis_W, bool flips) {
  FlipFrame frame;
  frame.flips = flips;
  if (!flips) return frame;
  const Vec3& z = axis_W;
  const Vec3 y = glm::normalize(up - glm::dot(up, z) * z);
  frame.q_WF = glm::normalize(glm::quat_cast(Mat3(glm::cross(y, z), y, z)));
  return frame;
}

}  // namespace

SolveRequest left_sided(SolveRequest request) {
  if (request.plan.side > 0) return request;
  DrawnParameters& plan = request.plan;
  plan.side = 1;
  for (double* angle : {&plan.start_heading_deg, &plan.floor_turn_deg, &plan.air_turn_deg,
                        &plan.flip_toward_deg, &plan.mark_heading_deg}) {
    *angle = -*angle;
  }
  request.travel_W.z = -request.travel_W.z;
  if (request.strike) request.strike->left_leg = !request.strike->left_leg;
  return request;
}

Setting::Setting(const SolveRequest& request) : request_(request), tree_(human_tree(*request.body)) {
  HT_EXPECT(request.shapes != nullptr && request.air_time > 0 && request.plan.side > 0);
  const DrawnParameters& plan = request_.plan;
  const DrawnOrientation drawn(plan);
  twists_ = plan.air_turn_deg != 0;
  off_axis_ = plan.flips && plan.incline_deg != 0;
  start_ = drawn.at(0);
  target_ = drawn.at(1);
  const double heading = to_rad(plan.start_heading_deg + plan.floor_turn_deg);
  axis_W_ = plan.flips ? glm::normalize(rotation_y(heading) * drawn.flip_axis_W()) : up;
  frame_ = frame_of(axis_W_, plan.flips);
  // Unwrapped angles of start and target: followed along the drawn flight.
  constexpr int follow = 64;
  start_angles_ = angles_of(start_, frame_);
  target_angles_ = start_angles_;
  for (int i = 1; i <= follow; ++i) {
    target_angles_ = continued(target_angles_, angles_of(drawn.at(double(i) / follow), frame_), plan.flips);
  }
  // How far the way of an arm, out to the side and up, is off the plane of the flip at landing.
  const double off = request_.lands_on_one_foot ? 0 : std::abs(glm::dot(target_ * Vec3(1, 0, 0), axis_W_));
  twist_rate_limit_ = limits.held_twist_rate + off * (limits.turned_out_twist_rate - limits.held_twist_rate);
  // Dropping the left arm tips the head to the right: towards the flip axis if that points to the right.
  first_left_ = glm::dot(start_ * Vec3(0, 0, 1), axis_W_) >= 0;
}

const Pose& Setting::pose(std::string_view name) const {
  const auto found = request_.shapes->find(name);
  HT_EXPECT(found != request_.shapes->end());
  return found->second;
}

ShapeTrack Setting::track(const Controls& c) const {
  const double T = request_.air_time;
  using Movement = ShapeTrack::Movement;
  std::vector<Movement> moves;
  const SegmentSet everything = left_arm | right_arm | trunk_and_legs;
  if (request_.shape == FlightShape::upright) {
    const double ready = std::min(0.2, 0.4 * T);
    moves.push_back({everything, 0, ready, pose(twists_ ? "wrap" : "arms up")});
    if (request_.strike) {
      const auto kick = [&](std::string_view name) {
        return request_.strike->left_leg ? mirrored(pose(name)) : pose(name);
      };
      const double strike = request_.strike->share * T;
      const double chamber = std::max(0.06, strike - 0.12);
      moves.push_back({everything, std::max(0.0, chamber - 0.15), chamber, kick("chamber")});
      moves.push_back({everything, chamber, std::max(strike, chamber + 0.02), kick(request_.strike->shape)});
      moves.push_back({everything, strike, std::max(T, strike + 0.05), pose("open")});
    } else {
      moves.push_back(
          {everything, std::max(c.open, ready), std::max(c.open, ready) + body_time, pose("open")});
    }
    return ShapeTrack(pose("set wide"), std::move(moves));
  }
  // Legs that leave the floor one after the other are apart from the start, and land so.
  const bool apart = request_.shape == FlightShape::butterfly || request_.shape == FlightShape::split;
  const Pose& takeoff = pose(apart                 ? shape_name(request_.shape)
                             : request_.swings_leg ? "leg swing"
                             : twists_             ? "set wide"
                                                   : "set");
  if (!twists_) {
    if (apart) return ShapeTrack(takeoff, std::vector<Movement>());
    moves.push_back({everything, c.drop, c.drop + body_time, pose(shape_name(request_.shape))});
    moves.push_back({everything, c.open, c.open + body_time, pose("open")});
    return ShapeTrack(takeoff, std::move(moves));
  }
  const SegmentSet first = first_left_ ? left_arm : right_arm;
  const SegmentSet second = first_left_ ? right_arm : left_arm;
  const ArmTimes arms = arm_times(c);
  const double legs_open = std::max(body_time, T - body_time);
  moves.push_back({trunk_and_legs, 0, body_time, pose("wrap")});
  moves.push_back({first, arms.in[0], arms.in[0] + arm_time, pose("wrap")});
  moves.push_back({second, arms.in[1], arms.in[1] + arm_time, pose("wrap")});
  moves.push_back({first, arms.out[0], arms.out[0] + arm_time, pose("open high")});
  moves.push_back({second, arms.out[1], arms.out[1] + arm_time, pose("open high")});
  moves.push_back({trunk_and_legs, legs_open, legs_open + body_time, pose("open wide")});
  moves.push_back({left_arm | right_arm, arms.last_start, arms.last_end, pose("open wide")});
  return ShapeTrack(takeoff, std::move(moves));
}

ArmTimes Setting::arm_times(const Controls& c) const {
  const double T = request_.air_time;
  ArmTimes times;
  times.in = {c.drop, c.drop + c.second_drop};
  times.out = {c.open - 0.5 * c.stagger, c.open + 0.5 * c.stagger};
  times.last_start = T - 0.2;
  times.last_end =
      std::max({T, times.out[0] + arm_time, times.out[1] + arm_time, times.in[1] + arm_time}) + 0.01;
  return times;
}

double Setting::earliest_arm() const {
  const double last = request_.air_time - 2 * arm_time;  // so that it can still go out again
  return std::clamp(request_.plan.twist_onset * request_.air_time - arm_lead, 0.0, std::max(0.0, last));
}

Spin Setting::spin(const Controls& c) const {
  if (!request_.plan.flips) return {start_, c.momentum * glm::normalize(Vec3(c.slope_x, 1, c.slope_z))};
  const Vec3 momentum_W =
      c.momentum * (frame_.q_WF * (rotation_y(c.turn) * (rotation_x(-c.incline) * Vec3(0, 0, 1))));
  const Quat q_FB = rotation_z(start_angles_.flip) * rotation_x(c.tilt) * rotation_y(start_angles_.twist);
  return {frame_.q_WF * q_FB, momentum_W};
}

Controls Setting::first_guess() const {
  const double T = request_.air_time;
  const Pose& middle = pose(twists_ || !request_.plan.flips ? "wrap" : shape_name(request_.shape));
  const Mat3 inertia = whole_body(*request_.body, middle).inertia;
  Controls c;
  if (!request_.plan.flips) {
    // Most of the spin is made straight and narrow.
    c.momentum = 1.6 * inertia[1][1] * to_rad(std::abs(request_.plan.air_turn_deg)) / T;
    c.open = T - body_time;
    return c;
  }
  const bool folded =
      !twists_ && (request_.shape == FlightShape::tuck || request_.shape == FlightShape::pike);
  const Vec3 axis_B = glm::conjugate(start_) * axis_W_;
  const double about_axis = glm::dot(axis_B, inertia * axis_B);
  c.momentum = (folded ? 1.4 : 1.05) * about_axis * (target_angles_.flip - start_angles_.flip) / T;
  c.tilt = off_axis_ && twists_ ? start_angles_.tilt : 0;
  c.drop = twists_ ? earliest_arm() + 0.04 : 0.02;
  c.second_drop = 0.15;
  c.open =
      twists_ ? std::max(0.3 * T, T - arm_time - 0.06) : std::max(0.0, std::min(0.62 * T, T - body_time));
  return c;
}

}  // namespace halfturn::solve
