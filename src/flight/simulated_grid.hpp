#pragma once

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "flight/moving_body.hpp"
#include "simulated_step.hpp"

namespace halfturn {

/// The greatest rate a body can reach while it keeps its shape: its energy all about its least moment. rad/s.
inline double greatest_rate(const ShapeEffect& e, const Spin& spin) {
  const Vec3 m = glm::conjugate(spin.q_WB) * spin.angular_momentum_W;
  const Vec3 omega = angular_velocity(e, spin);
  const double greatest_inverse = e.xx + e.yy + e.zz;  // at least the inverse of the least moment
  return std::sqrt(std::max(0.0, glm::dot(m, omega) * greatest_inverse));
}

// The two constants are measured (tests/flight/simulated_table_test.cpp): they keep the error of human
// flights under the accuracy.
inline double accuracy_scale(double accuracy) {
  return std::pow(accuracy, 1.0 / 8.0);
}
/// Steps that a moving piece takes at the least.
inline std::size_t steps_at_least(double accuracy) {
  constexpr double moves_at_one = 0.7;  // steps of a moving piece at an accuracy of 1 rad
  return static_cast<std::size_t>(std::ceil(std::min(moves_at_one / accuracy_scale(accuracy), 1e9)));
}
/// Steps of a piece in which the body turns by up to `angle`, rad.
inline std::size_t steps_at_rate(double angle, double accuracy) {
  constexpr double angle_at_one = 5.8;  // greatest turn in a step at an accuracy of 1 rad
  return static_cast<std::size_t>(
      std::ceil(std::clamp(angle / (angle_at_one * accuracy_scale(accuracy)), 1.0, 1e9)));
}

/// Number of equal steps in a piece, from the rates that can be reached in its shapes.
inline std::size_t steps_in_piece(const MovingBody& body, std::size_t piece, const Spin& spin,
                                  double accuracy) {
  const double start = body.piece_start(piece);
  const double end = body.piece_end(piece);
  double rate = greatest_rate(body.effect(piece, start), spin);
  std::size_t least = 1;
  if (!body.is_rigid(piece)) {
    for (const double time : {0.5 * (start + end), end})
      rate = std::max(rate, greatest_rate(body.effect(piece, time), spin));
    least = steps_at_least(accuracy);
  }
  return std::max(least, steps_at_rate(rate * (end - start), accuracy));
}

/// The shape's effects at the nodes of one step.
inline void effects_in_step(const MovingBody& body, std::size_t piece, double start, double length,
                            ShapeEffect* nodes) {
  nodes[0] = body.effect(piece, start);
  for (int n = 1; n < step::node_count; ++n) {
    nodes[n] = body.is_rigid(piece) ? nodes[0] : body.effect(piece, start + step::node_share[n] * length);
  }
}

}  // namespace halfturn
