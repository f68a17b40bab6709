#pragma once

#include <span>
#include <vector>

#include "flight/moving_body.hpp"

namespace halfturn {

/// A shape's effects at every stage of every step of the integrator, computed once for all flights of a
/// sweep. Immutable: one table serves any number of threads, and a flight allocates nothing.
class ShapeTable {
 public:
  /// Steps are chosen so that a flight like `typical` (rates of the same size) errs by about `accuracy`, rad,
  /// or less. For a flight with a proven error bound use SimulatedRotation.
  ShapeTable(const MovingBody& body, const Spin& typical, double accuracy = 1e-6);

  [[nodiscard]] std::size_t step_count() const { return steps_.size(); }
  [[nodiscard]] double duration() const { return times_.back(); }
  /// Ascending times of the knots, s: step_count() + 1 of them, corners of the shape among them.
  [[nodiscard]] const std::vector<double>& times() const { return times_; }

  /// Orientation at the end.
  [[nodiscard]] Quat fly(const Spin& takeoff) const;
  /// Orientations at all knots; `knots` has one place for each of times().
  void fly(const Spin& takeoff, std::span<Quat> knots) const;
  /// Orientations at the end of many flights, several side by side in the widest vector registers of this
  /// processor; bit by bit those of fly() one at a time.
  void fly(std::span<const Spin> takeoffs, std::span<Quat> ends) const;
  /// Angular velocity in body axes at a knot, rad/s, where the orientation is q_WB.
  [[nodiscard]] Vec3 rate(std::size_t knot, const Quat& q_WB, const Vec3& angular_momentum_W) const;

  struct Step {
    double length;          ///< s
    ShapeEffect nodes[12];  ///< at the stages of the integrator
  };

 private:
  static void fill(const MovingBody& body, std::size_t piece, double length, std::span<Step> steps);
  std::vector<Step> steps_;
  std::vector<double> times_;
};

}  // namespace halfturn
