#pragma once

#include <memory>
#include <vector>

#include "base/result.hpp"
#include "body/pose.hpp"
#include "flight/flight.hpp"
#include "flight/moving_body.hpp"

namespace halfturn {

inline constexpr double standard_gravity = 9.80665;  // m/s2

/// The angular momentum a reference segment's rate at t = 0 amounts to, kg m2/s in the world.
[[nodiscard]] Vec3 momentum_of_rate(const MovingBody& body, const Quat& q_WB, const Vec3& omega_B);

/// Rotation of a body in free flight over [0, duration of the body]. Immutable; copies are free.
class SimulatedRotation {
 public:
  /// Integrates on the rotation group, with steps that end on the corners of the shape, until halving every
  /// step changes no knot by more than a few times `accuracy`, rad; the finer result, better by far, is kept.
  /// Problems (file empty): singular inertia at `segments`, an accuracy or a duration out of reach.
  [[nodiscard]] static Result<SimulatedRotation> make(std::shared_ptr<const MovingBody> body,
                                                      const Spin& takeoff, double accuracy);

  [[nodiscard]] double duration() const { return body_->duration(); }
  [[nodiscard]] const MovingBody& body() const { return *body_; }
  [[nodiscard]] const Vec3& angular_momentum_W() const { return angular_momentum_W_; }
  /// Ascending times of the integrator's knots, from 0 to duration, and the orientations there.
  [[nodiscard]] const std::vector<double>& times() const { return knots_->times; }
  [[nodiscard]] const std::vector<Quat>& orientations() const { return knots_->orientations; }
  /// Index of the last knot at or before a time.
  [[nodiscard]] std::size_t knot_before(double time) const;
  /// Orientation at a time in [0, duration]: one short step from the knot before it, so as exact as the
  /// knots.
  [[nodiscard]] Quat orientation(double time) const;
  /// Angular velocity of the reference segment in its own axes, rad/s, where its orientation is q_WB.
  [[nodiscard]] Vec3 rate(double time, const Quat& q_WB) const;

 private:
  struct Knots {
    std::vector<double> times;
    std::vector<Quat> orientations;
    std::vector<std::size_t> pieces;  // of the step that starts at a knot
  };
  SimulatedRotation() = default;
  friend struct Integration;
  std::shared_ptr<const MovingBody> body_;
  std::shared_ptr<const Knots> knots_;
  Vec3 angular_momentum_W_{0};
};

/// All that a simulated flight of an athlete starts from.
struct SimulatedTakeoff {
  Spin spin;
  Vec3 com_W{0, 1, 0};        ///< m; y = 0 is the takeoff surface
  Vec3 com_velocity_W{0};     ///< m/s
  double landing_height = 0;  ///< m, of the surface the athlete lands on
  /// For MakerAngles: the heading at which somersault, tilt and twist are split, rad; the sign that makes the
  /// flip positive (+1 backward, -1 forward); and what is added to the twist.
  double split_heading = 0, flip_sign = 1, twist_offset = 0;
};

/// A point that can meet the landing surface, in the axes of a segment of the tree, m.
struct TreeContact {
  std::size_t segment = 0;
  Vec3 point{0};
};

/// A whole flight: rotation, the parabola of the centre of mass, and the landing, found as the root of the
/// lowest contact's height over the landing surface on its way down. Events beyond the landing are dropped, a
/// takeoff and a landing event are added. Problems: those of the rotation, and a body that never comes down.
[[nodiscard]] Result<Flight> make_simulated_flight(const BodyTree& tree,
                                                   const std::vector<TreeContact>& contacts,
                                                   const ShapeTrack& shape, const SimulatedTakeoff& takeoff,
                                                   std::vector<FlightEvent> events, double accuracy = 1e-6);

}  // namespace halfturn
