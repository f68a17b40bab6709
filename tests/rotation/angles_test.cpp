#include <doctest/doctest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <vector>

#include "random_rotation.hpp"
#include "rotation/angle_split.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;

TEST_CASE("somersault, tilt and twist come back from their rotation") {
  std::mt19937_64 random(1);
  for (int n = 0; n < 500; ++n) {
    const double heading0 = uniform(random, -pi, pi);
    const double somersault = uniform(random, -pi, pi);
    const double tilt = uniform(random, to_rad(-88), to_rad(88));
    const double twist = uniform(random, -pi, pi);
    const AngleSplit split = split_angles(compose_angles(heading0, somersault, tilt, twist), heading0);
    CHECK_FALSE(split.ill_conditioned);
    // Conditioning worsens as 1 / cos(tilt).
    const double slack = 1e-14 / std::cos(tilt);
    CHECK(std::abs(wrap_rad(split.somersault - somersault)) < slack);
    CHECK(std::abs(split.tilt - tilt) < slack);
    CHECK(std::abs(wrap_rad(split.twist - twist)) < slack);
  }
}

TEST_CASE("the split is Eigen's intrinsic z-x-y sequence") {
  std::mt19937_64 random(2);
  for (int n = 0; n < 200; ++n) {
    const double s = uniform(random, -pi, pi);
    const double t = uniform(random, -1.4, 1.4);
    const double w = uniform(random, -pi, pi);
    const Eigen::Quaterniond expected = Eigen::AngleAxisd(s, Eigen::Vector3d::UnitZ()) *
                                        Eigen::AngleAxisd(t, Eigen::Vector3d::UnitX()) *
                                        Eigen::AngleAxisd(w, Eigen::Vector3d::UnitY());
    const Quat q = compose_angles(0, s, t, w);
    CHECK((expected.coeffs() - Eigen::Vector4d(q.x, q.y, q.z, q.w)).norm() < 1e-15);
    // Eigen's angles: the same rotation, though its tilt may leave [-90, 90].
    const Eigen::Vector3d angles = expected.toRotationMatrix().eulerAngles(2, 0, 1);
    const AngleSplit split = split_angles(q, 0);
    CHECK(angle_between(compose_angles(0, angles[0], angles[1], angles[2]),
                        compose_angles(0, split.somersault, split.tilt, split.twist)) < 1e-14);
  }
}

TEST_CASE("near 90 degrees of tilt the split says so, and tilt itself stays right") {
  for (const double sign : {-1.0, 1.0}) {
    for (const double tilt_deg : {89.5, 89.999, 90.0}) {
      const AngleSplit split = split_angles(compose_angles(0.3, 1.0, to_rad(sign * tilt_deg), -0.4), 0.3);
      CHECK(split.ill_conditioned);
      CHECK(std::abs(to_deg(split.tilt) - sign * tilt_deg) < 1e-6);
    }
    CHECK_FALSE(split_angles(compose_angles(0, 1, to_rad(sign * 88.9), 2), 0).ill_conditioned);
  }
}

TEST_CASE("heading is the compass direction of an upright chest and undefined upside down") {
  for (const double degrees : {-179.0, -90.0, -1.0, 0.0, 45.0, 90.0, 179.0, 180.0}) {
    CHECK(std::abs(to_deg(*heading(rotation_y(to_rad(degrees)))) - degrees) < 1e-12);
  }
  // Leaning in any direction by the shortest way leaves the heading: q = lean * upright.
  std::mt19937_64 random(3);
  for (int n = 0; n < 200; ++n) {
    const double direction = uniform(random, -pi, pi);
    const double facing = uniform(random, -pi, pi);
    const Vec3 level(std::cos(direction), 0, std::sin(direction));
    const double lean = uniform(random, 0, to_rad(178.9));
    const Quat q = rotation_about(level, lean) * rotation_y(facing);
    REQUIRE(heading(q).has_value());
    CHECK(std::abs(wrap_rad(*heading(q) - facing)) < 1e-12);
    CHECK(std::abs(wrap_rad(*heading(-q) - facing)) < 1e-12);
    CHECK(std::abs(angle_from_vertical(q) - lean) < 1e-14);
    CHECK_FALSE(heading(rotation_about(level, to_rad(179.1)) * rotation_y(facing)).has_value());
    CHECK_FALSE(heading(rotation_about(level, pi) * rotation_y(facing)).has_value());
  }
}

TEST_CASE("angles wrap to the half-open turn and whole degrees stay whole") {
  CHECK(wrap_deg(-180) == 180);
  CHECK(wrap_deg(180) == 180);
  CHECK(wrap_deg(540) == 180);
  CHECK(wrap_deg(-541) == 179);
  CHECK(wrap_deg(720) == 0);
  CHECK_FALSE(std::signbit(wrap_deg(-360)));
}

TEST_CASE("minimum jerk has its published values and its inverse") {
  // Flash and Hogan 1985: 10 s^3 - 15 s^4 + 6 s^5; by hand at a quarter: 0.103515625; greatest rate 15/8.
  CHECK(minimum_jerk(0.25) == 0.103515625);
  CHECK(minimum_jerk(0.5) == 0.5);
  CHECK(minimum_jerk_rate(0.5) == 1.875);
  CHECK(minimum_jerk(-1) == 0);
  CHECK(minimum_jerk(2) == 1);
  CHECK(minimum_jerk_rate(1) == 0);
  for (double value = 0; value <= 1; value += 1.0 / 64)
    CHECK(std::abs(minimum_jerk(minimum_jerk_inverse(value)) - value) < 1e-14);
}

TEST_CASE("splits and headings mirror to the last bit") {
  std::mt19937_64 random(4);
  for (int n = 0; n < 500; ++n) {
    const Quat q = random_rotation(random);
    const double heading0 = uniform(random, -pi, pi);
    const AngleSplit one = split_angles(q, heading0);
    const AngleSplit other = split_angles(mirrored(q), -heading0);
    CHECK(other.somersault == one.somersault);
    CHECK(other.tilt == -one.tilt);
    CHECK(other.twist == -one.twist);
    const auto facing = heading(q);
    const auto image = heading(mirrored(q));
    REQUIRE(facing.has_value() == image.has_value());
    if (facing) CHECK(*image == -*facing);
    CHECK(compose_angles(-0.3, 1.1, -0.2, -0.7) == mirrored(compose_angles(0.3, 1.1, 0.2, 0.7)));
  }
}
