#include "rotation/quaternion.hpp"

#include <doctest/doctest.h>

#include <Eigen/Geometry>
#include <cmath>

#include "random_rotation.hpp"

using namespace halfturn;

namespace {

Eigen::Quaterniond eigen(const Quat& q) {
  return {q.w, q.x, q.y, q.z};
}
Eigen::Vector3d eigen(const Vec3& v) {
  return {v.x, v.y, v.z};
}
double distance(const Quat& a, const Eigen::Quaterniond& b) {
  return std::min((eigen(a).coeffs() - b.coeffs()).norm(), (eigen(a).coeffs() + b.coeffs()).norm());
}
Vec3 mirrored_turn(const Vec3& v) {
  return {-v.x, -v.y, v.z};
}

}  // namespace

TEST_CASE("exp agrees with Eigen's AngleAxis at every angle") {
  std::mt19937_64 random(1);
  for (const double angle : {0.0, 1e-300, 1e-20, 1e-12, 1e-9, 1.9e-4, 2.1e-4, 0.1, 1.0, 3.0, pi - 1e-9, pi,
                             pi + 1e-9, 6.0, 2 * pi, 20.0}) {
    for (int n = 0; n < 20; ++n) {
      const Vec3 axis = random_axis(random);
      const Quat q = exp_rotation(angle * axis);
      const Eigen::Quaterniond expected(Eigen::AngleAxisd(angle, eigen(axis)));
      CHECK((eigen(q).coeffs() - expected.coeffs()).norm() < 4e-15);
      CHECK(std::abs(eigen(q).norm() - 1) < 4e-16);
    }
  }
  CHECK(exp_rotation(Vec3(0)) == Quat(1, 0, 0, 0));
}

TEST_CASE("log undoes exp from 0 to pi, to the last digits of small angles too") {
  std::mt19937_64 random(2);
  for (const double angle :
       {1e-300, 1e-20, 1e-10, 0.9e-9, 1.1e-9, 1e-4, 0.5, 2.0, 3.1, pi - 1e-6, pi - 1e-12}) {
    for (int n = 0; n < 20; ++n) {
      const Vec3 v = angle * random_axis(random);
      CHECK(glm::length(log_rotation(exp_rotation(v)) - v) < 1e-15 * std::max(angle, 1e-300) + 4e-16 * angle);
      const Eigen::AngleAxisd expected(eigen(exp_rotation(v)));
      if (angle > 1e-4)
        CHECK(std::abs(glm::length(log_rotation(exp_rotation(v))) - expected.angle()) < 4e-15);
    }
  }
  CHECK(log_rotation(Quat(1, 0, 0, 0)) == Vec3(0));
}

TEST_CASE("q and -q are one orientation") {
  std::mt19937_64 random(3);
  for (int n = 0; n < 200; ++n) {
    const Quat q = random_rotation(random);
    const Quat r = random_rotation(random);
    CHECK(log_rotation(q) == log_rotation(-q));
    CHECK(angle_between(q, r) == angle_between(-q, r));
    CHECK(angle_between(slerp(q, r, 0.3), slerp(-q, r, 0.3)) < 1e-15);
  }
  // Exactly half a turn: either axis is right, one is chosen.
  for (const Quat& q : {Quat(0, 1, 0, 0), Quat(0, 0, 1, 0), Quat(0, 0, 0, 1), Quat(0, 0.6, 0, -0.8)}) {
    CHECK(log_rotation(q) == log_rotation(-q));
    CHECK(std::abs(glm::length(log_rotation(q)) - pi) < 1e-15);
  }
}

TEST_CASE("composition turns vectors as Eigen does, first the right factor") {
  std::mt19937_64 random(4);
  for (int n = 0; n < 200; ++n) {
    const Quat q = random_rotation(random);
    const Quat r = random_rotation(random);
    const Vec3 v = random_axis(random);
    const Vec3 ours = (q * r) * v;
    const Eigen::Vector3d theirs = eigen(q) * (eigen(r) * eigen(v));
    CHECK((eigen(ours) - theirs).norm() < 1e-15);
  }
  // By hand: a quarter turn to the left about up takes forward (X) to the left (-Z).
  CHECK(glm::length(rotation_y(pi / 2) * Vec3(1, 0, 0) - Vec3(0, 0, -1)) < 1e-15);
  // Backward somersault lifts the toes: forward goes up.
  CHECK(glm::length(rotation_z(pi / 2) * Vec3(1, 0, 0) - Vec3(0, 1, 0)) < 1e-15);
}

TEST_CASE("slerp agrees with Eigen") {
  std::mt19937_64 random(5);
  for (int n = 0; n < 500; ++n) {
    const Quat q = random_rotation(random);
    const Quat r = random_rotation(random);
    const double u = uniform(random, 0, 1);
    CHECK(distance(slerp(q, r, u), eigen(q).slerp(u, eigen(r))) < 2e-15);
  }
}

TEST_CASE("squad passes through its knots with one rate on both sides") {
  std::mt19937_64 random(6);
  for (int n = 0; n < 50; ++n) {
    Quat knots[5];
    knots[0] = random_rotation(random);
    for (int k = 1; k < 5; ++k) knots[k] = knots[k - 1] * exp_rotation(0.8 * random_axis(random));
    const auto before = [&](double u) { return squad(knots[0], knots[1], knots[2], knots[3], u); };
    const auto after = [&](double u) { return squad(knots[1], knots[2], knots[3], knots[4], u); };
    CHECK(angle_between(before(0), knots[1]) < 1e-14);
    CHECK(angle_between(before(1), knots[2]) < 1e-14);
    const double h = 1e-5;
    const Vec3 left = log_rotation(glm::conjugate(before(1 - h)) * before(1)) / h;
    const Vec3 right = log_rotation(glm::conjugate(after(0)) * after(h)) / h;
    CHECK(glm::length(left - right) < 1e-3);
  }
}

TEST_CASE("left and right mirror to the last bit") {
  std::mt19937_64 random(7);
  for (int n = 0; n < 500; ++n) {
    const Quat q = random_rotation(random);
    const Quat r = random_rotation(random);
    const Vec3 v = 2.0 * random_axis(random);
    CHECK(mirrored(q) * mirrored(r) == mirrored(q * r));
    CHECK(exp_rotation(mirrored_turn(v)) == mirrored(exp_rotation(v)));
    CHECK(log_rotation(mirrored(q)) == mirrored_turn(log_rotation(q)));
    CHECK(slerp(mirrored(q), mirrored(r), 0.37) == mirrored(slerp(q, r, 0.37)));
    CHECK(angle_between(mirrored(q), mirrored(r)) == angle_between(q, r));
  }
}
