#pragma once

#include <functional>
#include <vector>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// Angular velocity in body axes, rad/s, as a function of time, s.
using AngularVelocity = std::function<Vec3(double time)>;

/// q(t1) of q' = q [omega_B(t)] from q(t0), with a fixed number of equal steps on the rotation group.
/// 4th order or better in the step; exact to rounding for a constant rate; the norm does not drift.
[[nodiscard]] Quat integrate_steps(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1,
                                   int steps);

/// The same with step control: error at t1 near or under `accuracy`, rad. omega_B must be smooth except at
/// `kinks` (times where it bends, such as the ends of a blend; any order): steps end there, since no estimate
/// sees a bend that falls between its samples.
[[nodiscard]] Quat integrate(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1,
                             double accuracy, std::vector<double> kinks = {});

}  // namespace halfturn
