#include "solve_path.hpp"

#include <algorithm>
#include <cmath>
#include <glm/gtc/quaternion.hpp>

#include "rotation/heading.hpp"

namespace halfturn::solve {
namespace {

std::vector<PathAngles> unwrapped(const std::vector<Quat>& knots, const FlipFrame& frame) {
  std::vector<PathAngles> angles{angles_of(knots.front(), frame)};
  angles.reserve(knots.size());
  for (std::size_t k = 1; k < knots.size(); ++k) {
    angles.push_back(continued(angles.back(), angles_of(knots[k], frame), frame.flips));
  }
  return angles;
}

}  // namespace

PathAngles angles_of(const Quat& q_WB, const FlipFrame& frame) {
  if (!frame.flips) {
    const Vec3 long_axis = q_WB * Vec3(0, 1, 0);
    return {long_axis.x, long_axis.z, heading(q_WB).value_or(0.0)};
  }
  const Mat3 R = glm::mat3_cast(glm::conjugate(frame.q_WF) * q_WB);
  // Rz(s) Rx(t) Ry(w): second column (-sin s cos t, cos s cos t, sin t), third row (-cos t sin w, sin t,
  // cos t cos w).
  return {std::atan2(-R[1][0], R[1][1]), std::asin(std::clamp(R[1][2], -1.0, 1.0)),
          std::atan2(-R[0][2], R[2][2])};
}

PathAngles continued(const PathAngles& before, PathAngles now, bool flips) {
  if (flips) now.flip = before.flip + wrap_rad(now.flip - before.flip);
  now.twist = before.twist + wrap_rad(now.twist - before.twist);
  return now;
}

PathEnd fly_to_end(const ShapeTable& shape, const Spin& takeoff, const FlipFrame& frame) {
  std::vector<Quat> knots(shape.times().size());
  shape.fly(takeoff, knots);
  return {unwrapped(knots, frame).back(),
          shape.rate(knots.size() - 1, knots.back(), takeoff.angular_momentum_W).y, knots.back()};
}

}  // namespace halfturn::solve
