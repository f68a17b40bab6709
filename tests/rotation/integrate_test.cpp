#include "rotation/integrate.hpp"

#include <doctest/doctest.h>

#include <gsl/gsl_sf_elljac.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "../flight/csv.hpp"
#include "random_rotation.hpp"
#include "rotation/angle_split.hpp"

using namespace halfturn;

namespace {

/// Rates of q = Rz(s) Rx(t) Ry(w) in body axes, by hand from the product rule.
Vec3 rate_of_angles(double tilt, double twist, double somersault_rate, double tilt_rate, double twist_rate) {
  return {-somersault_rate * std::cos(tilt) * std::sin(twist) + tilt_rate * std::cos(twist),
          somersault_rate * std::sin(tilt) + twist_rate,
          somersault_rate * std::cos(tilt) * std::cos(twist) + tilt_rate * std::sin(twist)};
}

/// A motion whose tilt axis itself moves: all three angles in closed form.
Quat angles_at(double t) {
  return compose_angles(0, 6.0 * t + 0.4 * std::sin(5.0 * t), 0.5 * std::sin(3.0 * t), 9.0 * t * t);
}
Vec3 rate_at(double t) {
  return rate_of_angles(0.5 * std::sin(3.0 * t), 9.0 * t * t, 6.0 + 2.0 * std::cos(5.0 * t),
                        1.5 * std::cos(3.0 * t), 18.0 * t);
}

/// Euler's closed form of the free rigid body's rate (Landau and Lifshitz, Mechanics, section 37).
class FreeRate {
 public:
  FreeRate(const Vec3& moments, const Vec3& omega0) : moments_(moments) {
    const Vec3 m = moments * omega0;
    const double square = glm::dot(m, m);
    const double energy2 = glm::dot(m, omega0);
    int order[3] = {0, 1, 2};
    std::sort(order, order + 3, [&](int i, int k) { return moments[i] < moments[k]; });
    b_ = order[1];
    const bool least = energy2 * moments[b_] > square;
    a_ = least ? order[0] : order[2];
    c_ = least ? order[2] : order[0];
    const double ia = moments[a_];
    const double ib = moments[b_];
    const double ic = moments[c_];
    lambda_ = std::sqrt((ib - ia) * (energy2 * ic - square) / (ia * ib * ic));
    parameter_ = (ic - ib) * (square - energy2 * ia) / ((ib - ia) * (energy2 * ic - square));
    amplitude_a_ = std::copysign(std::sqrt(ia * (energy2 * ic - square) / (ic - ia)), m[a_]);
    amplitude_b_ = std::sqrt(ib * (square - energy2 * ia) / (ib - ia));
    amplitude_c_ = std::sqrt(ic * (square - energy2 * ia) / (ic - ia));
    sign_b_ = phase_sign(m);
    start_ = std::ellint_1(std::sqrt(parameter_),
                           std::atan2(m[b_] / (sign_b_ * amplitude_b_), m[c_] / amplitude_c_));
  }
  [[nodiscard]] Vec3 operator()(double t) const {
    double sn = 0;
    double cn = 0;
    double dn = 0;
    gsl_sf_elljac_e(lambda_ * t + start_, parameter_, &sn, &cn, &dn);
    Vec3 m;
    m[a_] = amplitude_a_ * dn;
    m[b_] = sign_b_ * amplitude_b_ * sn;
    m[c_] = amplitude_c_ * cn;
    return m / moments_;
  }

 private:
  /// Sign of sn so that M_c' = M x omega holds with cn' = -sn dn: read off the equation of component c.
  [[nodiscard]] double phase_sign(const Vec3& m) const {
    // M_c' = +-(1/I_b - 1/I_a) M_a M_b, + if (a, b, c) is right-handed; cn' = -lambda sn dn.
    const double handed = (b_ == (a_ + 1) % 3) ? 1.0 : -1.0;
    const double factor = handed * (1.0 / moments_[b_] - 1.0 / moments_[a_]) * m[a_];
    return factor < 0 ? 1.0 : -1.0;
  }
  Vec3 moments_;
  int a_ = 0, b_ = 0, c_ = 0;
  double lambda_ = 0, parameter_ = 0, amplitude_a_ = 0, amplitude_b_ = 0, amplitude_c_ = 0, sign_b_ = 1,
         start_ = 0;
};

}  // namespace

TEST_CASE("a constant rate is integrated to rounding, in any number of steps") {
  std::mt19937_64 random(1);
  for (int n = 0; n < 20; ++n) {
    const Vec3 omega = uniform(random, 0, 20) * random_axis(random);
    const Quat q0 = random_rotation(random);
    const AngularVelocity rate = [&](double) { return omega; };
    const Quat expected = q0 * exp_rotation(omega * 1.7);
    CHECK(angle_between(integrate(q0, rate, 0, 1.7, 1e-12), expected) < 1e-12);
    for (const int steps : {1, 7, 1000})
      CHECK(angle_between(integrate_steps(q0, rate, 0, 1.7, steps), expected) < 1e-12);
  }
}

TEST_CASE("a moving tilt axis is followed, forward and backward") {
  for (const double accuracy : {1e-5, 1e-8, 1e-11}) {
    CHECK(angle_between(integrate(angles_at(0), rate_at, 0, 1, accuracy), angles_at(1)) < accuracy);
    CHECK(angle_between(integrate(angles_at(1), rate_at, 1, 0, accuracy), angles_at(0)) < accuracy);
  }
  CHECK(integrate(angles_at(0.5), rate_at, 0.5, 0.5, 1e-9) == angles_at(0.5));
}

TEST_CASE("halving the step divides the error by 2 to the 6th") {
  const auto error = [](int steps) {
    return angle_between(integrate_steps(angles_at(0), rate_at, 0, 1, steps), angles_at(1));
  };
  for (const int steps : {20, 40, 80}) {
    const double order = std::log2(error(steps) / error(2 * steps));
    CAPTURE(steps);
    CHECK(order > 5.7);
    CHECK(order < 6.6);
  }
}

TEST_CASE("a free rigid body's rate gives its tabled orientation to 1e-9") {
  // Oracle: torque_free_rigid_body.csv, 25 digits; the rate comes from Jacobi's functions in GSL.
  const auto rows = read_table("torque_free_rigid_body.csv");
  for (const auto& set : read_table("torque_free_sets.csv")) {
    CAPTURE(set.at("set"));
    const Vec3 omega0(number(set, "w0x"), number(set, "w0y"), number(set, "w0z"));
    const FreeRate rate(Vec3(number(set, "Ix"), number(set, "Iy"), number(set, "Iz")), omega0);
    CHECK(glm::length(rate(0) - omega0) < 1e-12 * glm::length(omega0) + 1e-12);
    Quat q(number(set, "q0w"), number(set, "q0x"), number(set, "q0y"), number(set, "q0z"));
    double time = 0;
    for (const auto& row : rows) {
      if (row.at("set") != set.at("set")) continue;
      const double next = number(row, "t_s");
      const Vec3 omega(number(row, "wx_rad_s"), number(row, "wy_rad_s"), number(row, "wz_rad_s"));
      REQUIRE(glm::length(rate(next) - omega) < 1e-9);
      q = integrate(q, rate, time, next, 1e-12);
      time = next;
      const Quat expected(number(row, "qw"), number(row, "qx"), number(row, "qy"), number(row, "qz"));
      CHECK(angle_between(q, expected) < 1e-9);
      // The continuous sign, which the table keeps as well.
      CHECK(glm::dot(q, expected) > 0);
    }
  }
}

TEST_CASE("the norm does not drift over a million steps") {
  const Quat q = integrate_steps(angles_at(0), rate_at, 0, 100, 1000000);
  CHECK(std::abs(std::sqrt(glm::dot(q, q)) - 1) < 1e-15);
}

TEST_CASE("mirrored rates give the mirrored rotation to the last bit") {
  const AngularVelocity image = [](double t) {
    const Vec3 omega = rate_at(t);
    return Vec3(-omega.x, -omega.y, omega.z);
  };
  CHECK(integrate(mirrored(angles_at(0)), image, 0, 1, 1e-9) ==
        mirrored(integrate(angles_at(0), rate_at, 0, 1, 1e-9)));
}
