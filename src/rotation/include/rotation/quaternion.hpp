#pragma once

#include <glm/gtc/quaternion.hpp>
#include <glm/vec3.hpp>
#include <numbers>

namespace halfturn {

/// Vectors and orientations. World and body axes: X forward, Y up, Z to the right, right-handed (ISB).
/// An orientation q_WB maps body to world: v_W = q_WB * v_B. q and -q are the same orientation.
using Vec3 = glm::dvec3;
using Mat3 = glm::dmat3;
using Quat = glm::dquat;

inline constexpr double pi = std::numbers::pi;
inline constexpr double to_rad(double angle_deg) {
  return angle_deg * (pi / 180.0);
}
inline constexpr double to_deg(double angle_rad) {
  return angle_rad * (180.0 / pi);
}

/// exp([v]): rotation by |v| radians about v. Exact to rounding for any |v|, 0 included.
[[nodiscard]] Quat exp_rotation(const Vec3& rotation_vector);

/// Rotation vector of q, rad, the short way: |v| <= pi. Inverse of exp_rotation for |v| < pi; q and -q give
/// the same.
[[nodiscard]] Vec3 log_rotation(const Quat& q);

/// Rotation by an angle (rad) about a unit axis.
[[nodiscard]] Quat rotation_about(const Vec3& unit_axis, double angle);
[[nodiscard]] Quat rotation_x(double angle);
[[nodiscard]] Quat rotation_y(double angle);
[[nodiscard]] Quat rotation_z(double angle);

/// Angle between two orientations, rad in [0, pi]; accurate near 0.
[[nodiscard]] double angle_between(const Quat& a, const Quat& b);

/// Constant-rate in-between of two orientations the short way; u in [0, 1].
[[nodiscard]] Quat slerp(const Quat& a, const Quat& b, double u);

/// Smooth in-between (squad) from b to c with neighbours a and d; u in [0, 1]. Passes through b at 0 and c
/// at 1.
[[nodiscard]] Quat squad(const Quat& a, const Quat& b, const Quat& c, const Quat& d, double u);

/// Mirror image left-right (z -> -z) of an orientation: (w, x, y, z) -> (w, -x, -y, z).
[[nodiscard]] inline Quat mirrored(const Quat& q) {
  return Quat(q.w, -q.x, -q.y, q.z);
}

}  // namespace halfturn
