#pragma once

#include "rotation/quaternion.hpp"

namespace halfturn {

/// q = Ry(heading0) Rz(somersault) Rx(tilt) Ry(twist), rad (the sequence of Yeadon 1990).
/// Somersault + backward, tilt + head to the right, twist + to the left.
struct AngleSplit {
  double somersault = 0;         ///< (-pi, pi]
  double tilt = 0;               ///< [-pi/2, pi/2]
  double twist = 0;              ///< (-pi, pi]
  bool ill_conditioned = false;  ///< |tilt| within 1 degree of 90: somersault and twist cannot be told apart
};

[[nodiscard]] AngleSplit split_angles(const Quat& q_WB, double heading0);
[[nodiscard]] Quat compose_angles(double heading0, double somersault, double tilt, double twist);

}  // namespace halfturn
