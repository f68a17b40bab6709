#pragma once

#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "solve_controls.hpp"

namespace halfturn::solve {

/// Flights of a twisting flip, eight side by side. Trunk and legs move alike in all of them, so they are
/// weighed once, at the nodes of a fixed grid of time; the arms, whose timing is what the search turns, are
/// weighed on the way. Integrated on the rotation group by the classical 4th-order Runge-Kutta method, with
/// the shape's effect in the middle of a step taken from a cubic through the nodes around it. Steps need not
/// end where a movement does: minimum-jerk movements start and stop without a jump in their acceleration.
/// Immutable.
class ArmFlights {
 public:
  /// For a setting that flips and twists and outlives this. `step` is the greatest length of a step, s.
  ArmFlights(const Setting& setting, double step);

  static constexpr std::size_t at_once = 8;
  /// How up to eight flights end; each bit by bit the same in any company.
  void fly(std::span<const Controls> controls, std::span<PathEnd> ends) const;
  /// Angles at the start and after every step of one flight, unwrapped from takeoff on.
  [[nodiscard]] std::vector<PathAngles> path(const Controls& controls) const;
  [[nodiscard]] std::vector<double> times() const;  ///< of path(), s

 private:
  /// Everything but the arms at one moment, in the axes of the pelvis.
  struct Node {
    double time = 0;
    bool still = false;                          // trunk and legs rest since the node before
    Mat3 thorax{1};                              // thorax -> pelvis
    Vec3 rate{};                                 // of the thorax
    std::array<Vec3, 2> shoulder{}, velocity{};  // joint centres of the first arm and of the second
    Mat3 inertia{0};                             // about the pelvis' origin
    Vec3 moment{}, linear{}, angular{};          // mass times place; momenta, about the pelvis' origin
  };
  struct Axis {
    bool moves = false;
    double start = 0, cosine = 1, sine = 0;  // the angle at takeoff
    std::array<double, 3> by{};              // in, out, and down to the landing
  };
  /// One rigid part of an arm.
  struct Part {
    Vec3 joint{};                // in the part before it; of the upper arm: not used
    std::array<Axis, 3> axes{};  // z, x, y
    double mass = 0;
    Vec3 com{};
    // Inertia about com: the third principal moment all round, and more about the first two axes.
    double round = 0;
    std::array<double, 2> more{};
    std::array<Vec3, 2> axis{};
    bool straight = false;  // those axes are x and y
  };
  /// Eight flights: what they start from and how they end.
  struct alignas(64) Eight {
    using Numbers = std::array<double, at_once>;
    std::array<Numbers, 2> in, out;  // of the first arm and of the second, s
    Numbers last_start, last_end;
    Numbers w, x, y, z;     // orientation in the flip frame, at takeoff and then at landing
    Numbers hx, hy, hz;     // angular momentum in the flip frame
    Numbers flips, twists;  // whole turns passed
    Numbers twist_rate;
  };
  [[nodiscard]] std::vector<Part> parts_of(const SegmentSet& arm, const ShapeTrack& track) const;
  void weigh_trunk(const ShapeTrack& track);
  void load(std::span<const Controls> controls, Eight& eight) const;
  void advance(std::size_t first_step, std::size_t last_step, Eight& eight) const;

  const Setting* setting_;
  std::size_t steps_;
  double length_;
  std::vector<Node> nodes_;  // at the ends of the steps
  std::array<std::vector<Part>, 2> arms_;
};

}  // namespace halfturn::solve
