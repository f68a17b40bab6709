#include "rotation/angle_split.hpp"

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {

Quat compose_angles(double heading0, double somersault, double tilt, double twist) {
  return rotation_y(heading0) * rotation_z(somersault) * rotation_x(tilt) * rotation_y(twist);
}

AngleSplit split_angles(const Quat& q_WB, double heading0) {
  const Quat q = rotation_y(-heading0) * q_WB;
  // Rz(s) Rx(t) Ry(w): the half sums and differences of s and w separate, as in q = Rz Rx Ry written out:
  // w -+ y and x, z combinations; the matrix form below is as exact and clearer.
  const double m_21 = 2.0 * (q.y * q.z + q.w * q.x);                  // sin t
  const double m_01 = 2.0 * (q.x * q.y - q.w * q.z);                  // -sin s cos t
  const double m_11 = q.w * q.w - q.x * q.x + q.y * q.y - q.z * q.z;  // cos s cos t
  const double m_20 = 2.0 * (q.x * q.z - q.w * q.y);                  // -cos t sin w
  const double m_22 = q.w * q.w - q.x * q.x - q.y * q.y + q.z * q.z;  // cos t cos w
  AngleSplit split;
  const double cosine = std::hypot(m_01, m_11);
  split.tilt = std::atan2(m_21, cosine);
  split.ill_conditioned = std::abs(split.tilt) > to_rad(89.0);
  split.somersault = wrap_rad(std::atan2(-m_01, m_11));
  split.twist = wrap_rad(std::atan2(-m_20, m_22));
  return split;
}

}  // namespace halfturn
