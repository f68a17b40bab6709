#pragma once

#include <functional>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// Angular velocity in body axes, rad/s, as a function of time, s.
using AngularVelocity = std::function<Vec3(double time)>;

/// q(t1) of q' = q [omega_B(t)] from q(t0), with a fixed number of equal steps on the rotation group.
/// 4th order or better in the step; exact to rounding for a constant rate; the norm does not drift.
[[nodiscard]] Quat integrate_steps(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1,
                                   int steps);

/// The same with step control: error at t1 near or under `accuracy`, rad. Any smooth omega_B.
[[nodiscard]] Quat integrate(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1,
                             double accuracy);

}  // namespace halfturn
