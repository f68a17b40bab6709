#pragma once

#include <vector>

#include "flight/shape_table.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn::solve {

/// Frame in which flip, tilt and twist of a flight are told apart: z along the flip axis, y square to it and
/// as upright as can be, so that q_FB = Rz(flip) Rx(tilt) Ry(twist). Upright flights: twist is the heading,
/// flip and tilt stand for the x and z part of the long axis in the world.
struct FlipFrame {
  Quat q_WF{1, 0, 0, 0};
  bool flips = true;
};

/// Angles of one moment, rad.
struct PathAngles {
  double flip = 0, tilt = 0, twist = 0;
};
[[nodiscard]] PathAngles angles_of(const Quat& q_WB, const FlipFrame& frame);
/// `now` with flip and twist continued from the moment before.
[[nodiscard]] PathAngles continued(const PathAngles& before, PathAngles now, bool flips);

/// How a flight ends: angles unwrapped from takeoff on, and the rate about the long axis, rad/s.
struct PathEnd {
  PathAngles angles;
  double twist_rate = 0;
  Quat q_WB{1, 0, 0, 0};
};
[[nodiscard]] PathEnd fly_to_end(const ShapeTable& shape, const Spin& takeoff, const FlipFrame& frame);

}  // namespace halfturn::solve
