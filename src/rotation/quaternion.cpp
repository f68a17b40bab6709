#include "rotation/quaternion.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

namespace halfturn {

Quat exp_rotation(const Vec3& rotation_vector) {
  const double angle = glm::length(rotation_vector);
  // sin(x)/x by its series near 0, where the quotient would lose digits.
  const double half = 0.5 * angle;
  const double scale = half < 1e-4 ? 0.5 * (1.0 - half * half / 6.0) : std::sin(half) / angle;
  return Quat(std::cos(half), scale * rotation_vector.x, scale * rotation_vector.y,
              scale * rotation_vector.z);
}

Vec3 log_rotation(const Quat& q) {
  // Of q and -q the one with w >= 0, so that the way is short. At half a turn, w = 0, both axes are right: z,
  // y, x decide, in this order, so that q and -q still give the same and a mirrored q the mirrored vector.
  const double decisive = q.w != 0 ? q.w : q.z != 0 ? q.z : q.y != 0 ? q.y : q.x;
  const double sign = decisive < 0 ? -1.0 : 1.0;
  const Vec3 v(sign * q.x, sign * q.y, sign * q.z);
  const double sine = glm::length(v);
  const double w = sign * q.w;
  const double scale = sine < 1e-9 ? 2.0 / std::max(w, 0.5) : 2.0 * std::atan2(sine, w) / sine;
  return scale * v;
}

Quat rotation_about(const Vec3& unit_axis, double angle) {
  const double sine = std::sin(0.5 * angle);
  return Quat(std::cos(0.5 * angle), sine * unit_axis.x, sine * unit_axis.y, sine * unit_axis.z);
}
Quat rotation_x(double angle) {
  return Quat(std::cos(0.5 * angle), std::sin(0.5 * angle), 0, 0);
}
Quat rotation_y(double angle) {
  return Quat(std::cos(0.5 * angle), 0, std::sin(0.5 * angle), 0);
}
Quat rotation_z(double angle) {
  return Quat(std::cos(0.5 * angle), 0, 0, std::sin(0.5 * angle));
}

double angle_between(const Quat& a, const Quat& b) {
  return glm::length(log_rotation(glm::conjugate(a) * b));
}

Quat slerp(const Quat& a, const Quat& b, double u) {
  return a * exp_rotation(u * log_rotation(glm::conjugate(a) * b));
}

Quat squad(const Quat& a, const Quat& b, const Quat& c, const Quat& d, double u) {
  // Inner control points of Shoemake's quadrangle, on the hemisphere of their own knot.
  const auto inner = [](const Quat& before, const Quat& at, const Quat& after) {
    const Vec3 sum = log_rotation(glm::conjugate(at) * before) + log_rotation(glm::conjugate(at) * after);
    return at * exp_rotation(-0.25 * sum);
  };
  const Quat near_b = inner(a, b, c);
  const Quat near_c = inner(b, c, d);
  return slerp(slerp(b, c, u), slerp(near_b, near_c, u), 2.0 * u * (1.0 - u));
}

}  // namespace halfturn
