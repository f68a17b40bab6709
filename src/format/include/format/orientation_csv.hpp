#pragma once

#include <string>
#include <vector>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// Orientation of the reference segment at one time: q_WB maps body to world, omega in the body's axes.
struct OrientationRow {
  double time = 0;  ///< s
  Quat q_WB{1, 0, 0, 0};
  Vec3 omega_B{};  ///< rad/s
};

/// Output times k / hz from 0; the end of the motion closes them, whether or not it falls on a step of the
/// clock.
[[nodiscard]] std::vector<double> output_times(double duration, double hz);

/// The rows as text: a header `t,qw,qx,qy,qz,wx,wy,wz`, then 15 significant digits.
[[nodiscard]] std::string orientation_csv(const std::vector<OrientationRow>& rows);

}  // namespace halfturn
