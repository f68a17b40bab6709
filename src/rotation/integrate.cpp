#include "rotation/integrate.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <vector>

#include "base/expect.hpp"

namespace halfturn {
namespace {

constexpr double sqrt_15 = 3.872983346207417;

/// One 6th-order Magnus step (Gauss-Legendre nodes; Blanes, Casas, Oteo and Ros 2009) for q' = q [omega_B].
Vec3 magnus_step(const AngularVelocity& omega_B, double t, double h) {
  const Vec3 w1 = omega_B(t + h * (0.5 - sqrt_15 / 10.0));
  const Vec3 w2 = omega_B(t + h * 0.5);
  const Vec3 w3 = omega_B(t + h * (0.5 + sqrt_15 / 10.0));
  const Vec3 b1 = h * w2;
  const Vec3 b2 = h * (sqrt_15 / 3.0) * (w3 - w1);
  const Vec3 b3 = h * (10.0 / 3.0) * (w3 - 2.0 * w2 + w1);
  // q' = q [omega]: the order of products is reversed against Y' = A Y, so every commutator changes sign.
  const auto commutator = [](const Vec3& a, const Vec3& b) { return -glm::cross(a, b); };
  const Vec3 c1 = commutator(b1, b2);
  const Vec3 c2 = -(1.0 / 60.0) * commutator(b1, 2.0 * b3 + c1);
  return b1 + b3 / 12.0 + (1.0 / 240.0) * commutator(-20.0 * b1 - b3 + c1, b2 + c2);
}

Quat unit(const Quat& q) {
  // One Newton step towards |q| = 1: q is a product of two unit quaternions, off by rounding only.
  const double excess = 0.5 * (q.w * q.w + q.x * q.x + q.y * q.y + q.z * q.z - 1.0);
  return q * (1.0 - excess);
}

}  // namespace

Quat integrate_steps(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1, int steps) {
  HT_EXPECT(steps > 0);
  Quat q = q_t0;
  const double h = (t1 - t0) / steps;
  for (int i = 0; i < steps; ++i) q = unit(q * exp_rotation(magnus_step(omega_B, t0 + i * h, h)));
  return q;
}

namespace {

/// One stretch without kinks, with step control.
Quat integrate_smooth(Quat q, const AngularVelocity& omega_B, double t0, double t1,
                      double accuracy_per_second) {
  const double length = t1 - t0;
  constexpr double shortest = 1e-9;  // share of the stretch under which a step is taken as it is
  double t = t0;
  double h = length / 8.0;
  while ((t1 - t) * length > 0.0) {
    const bool last = std::abs(h) >= std::abs(t1 - t);
    if (last) h = t1 - t;
    const Quat whole = exp_rotation(magnus_step(omega_B, t, h));
    const Quat halves = exp_rotation(magnus_step(omega_B, t, 0.5 * h)) *
                        exp_rotation(magnus_step(omega_B, t + 0.5 * h, 0.5 * h));
    // 6th order: halving divides the error by 2^6, so the halves are off by a 63rd of the difference.
    const double error = angle_between(whole, halves) / 63.0;
    const double allowed = std::max(accuracy_per_second * std::abs(h), 1e-15);
    if (error <= allowed || std::abs(h) <= shortest * std::abs(length)) {
      q = unit(q * halves);
      t = last ? t1 : t + h;
    }
    const double factor = error > 0.0 ? 0.9 * std::pow(allowed / error, 1.0 / 6.0) : 4.0;
    h *= std::clamp(factor, 0.2, 4.0);
  }
  return q;
}

}  // namespace

Quat integrate(const Quat& q_t0, const AngularVelocity& omega_B, double t0, double t1, double accuracy,
               std::vector<double> kinks) {
  HT_EXPECT(accuracy > 0);
  if (t0 == t1) return q_t0;
  const bool forward = t0 < t1;
  std::erase_if(kinks, [&](double t) { return !(std::min(t0, t1) < t && t < std::max(t0, t1)); });
  std::sort(kinks.begin(), kinks.end());
  if (!forward) std::reverse(kinks.begin(), kinks.end());
  kinks.push_back(t1);
  Quat q = q_t0;
  double from = t0;
  for (const double to : kinks) {
    if (to != from) q = integrate_smooth(q, omega_B, from, to, accuracy / std::abs(t1 - t0));
    from = to;
  }
  return q;
}

}  // namespace halfturn
