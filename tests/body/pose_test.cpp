#include "body/pose.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <glm/geometric.hpp>

using namespace halfturn;

namespace {

Pose scattered_pose() {
  Pose pose;
  for (std::size_t s = 1; s < segment_count; ++s) {
    const double n = static_cast<double>(s);
    pose.angles[s] = Vec3(std::sin(1.7 * n), std::cos(2.3 * n), std::sin(0.9 * n + 1));
  }
  return pose;
}

void check_near(const Vec3& found, const Vec3& expected, double tolerance) {
  CAPTURE(found.x);
  CAPTURE(found.y);
  CAPTURE(found.z);
  CHECK(glm::length(found - expected) < tolerance);
}

}  // namespace

TEST_CASE("parents come before children and every limb has its other side") {
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    CHECK((segment == Segment::pelvis ? parent_of(segment) == segment : parent_of(segment) < segment));
    CHECK(other_side(other_side(segment)) == segment);
    CHECK(parent_of(other_side(segment)) == other_side(parent_of(segment)));
    const bool left = segment_name(segment).ends_with("_left");
    CHECK(segment_name(other_side(segment)).ends_with("_right") == left);
  }
}

// Directions by hand from the convention X forward, Y up, Z right; an arm or thigh hangs along -Y.
TEST_CASE("signs of the joint angles") {
  const Vec3 hanging(0, -1, 0);
  Pose pose;
  pose[Segment::upper_arm_left] = Vec3(0, 0, to_rad(90));
  check_near(joint_rotation(pose, Segment::upper_arm_left) * hanging, Vec3(1, 0, 0), 1e-15);  // forward
  pose[Segment::upper_arm_left] = Vec3(to_rad(90), 0, 0);
  check_near(joint_rotation(pose, Segment::upper_arm_left) * hanging, Vec3(0, 0, -1),
             1e-15);  // out to the left
  pose[Segment::head] = Vec3(0, to_rad(90), 0);
  check_near(joint_rotation(pose, Segment::head) * Vec3(1, 0, 0), Vec3(0, 0, -1),
             1e-15);  // looks to the left
  pose[Segment::thorax] = Vec3(0, 0, to_rad(-30));
  CHECK((joint_rotation(pose, Segment::thorax) * Vec3(0, 1, 0)).x == doctest::Approx(0.5));  // bends forward
}

// Grood and Suntay sequence as ISB recommends (Wu et al. 2002): flexion about the parent's z is the outermost
// turn.
TEST_CASE("sequence of the joint angles is z, x, y") {
  Pose pose;
  pose[Segment::thigh_left] = Vec3(to_rad(30), to_rad(45), to_rad(90));
  // Hand computation for the foot end of the thigh: y leaves it, x by 30 takes it to (0, -cos 30, -sin 30),
  // z by 90 turns -Y to +X.
  check_near(joint_rotation(pose, Segment::thigh_left) * Vec3(0, -1, 0), Vec3(std::sqrt(0.75), 0, -0.5),
             1e-15);
}

TEST_CASE("mirror law: twice is the same to the last bit, and rotations are mirrored") {
  const Pose pose = scattered_pose();
  const Pose image = mirrored(pose);
  CHECK(mirrored(image) == pose);
  CHECK(image != pose);
  for (std::size_t s = 1; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    // A mirrored rotation applied to a mirrored vector is the mirrored result.
    const Vec3 v(0.3, -0.8, 0.5);
    const Vec3 turned = joint_rotation(pose, segment) * v;
    const Vec3 image_turned = joint_rotation(image, other_side(segment)) * Vec3(v.x, v.y, -v.z);
    check_near(image_turned, Vec3(turned.x, turned.y, -turned.z), 1e-14);
  }
}

TEST_CASE("shape track holds its ends and blends with minimum jerk") {
  CHECK(ShapeTrack().at(3.0) == Pose());
  Pose bent;
  bent[Segment::shank_left].z = -1;
  const ShapeTrack track({{0.2, Pose()}, {0.6, bent}});
  CHECK(track.at(-1) == Pose());
  CHECK(track.at(0.2) == Pose());
  CHECK(track.at(0.6) == bent);
  CHECK(track.at(9) == bent);
  // 10 s^3 - 15 s^4 + 6 s^5 at s = 1/4 is 53/512 (Flash and Hogan 1985, by hand).
  CHECK(track.at(0.3)[Segment::shank_left].z == doctest::Approx(-53.0 / 512.0).epsilon(1e-12));
  CHECK(mirrored(track).at(0.3)[Segment::shank_right].z == track.at(0.3)[Segment::shank_left].z);
}

TEST_CASE("two keys at one moment are a jump") {
  Pose bent;
  bent[Segment::head].y = 1;
  const ShapeTrack track({{0.0, Pose()}, {0.5, Pose()}, {0.5, bent}});
  CHECK(track.at(0.499) == Pose());
  CHECK(track.at(0.5) == bent);
}

TEST_CASE("movements take their own segments to their targets and add up where they overlap") {
  Pose down, out;
  down[Segment::upper_arm_left].x = 0.2;
  down[Segment::upper_arm_right].x = -0.2;
  out[Segment::upper_arm_left].x = 1.2;
  Pose up;
  up[Segment::upper_arm_left].x = 3.0;
  up[Segment::upper_arm_right].x = -3.0;
  const ShapeTrack track(
      up, {{left_arm, 0.1, 0.3, down}, {right_arm, 0.4, 0.6, down}, {left_arm, 0.2, 0.4, out}});
  CHECK(track.at(0) == up);
  CHECK(track.at(0.35)[Segment::upper_arm_right].x == -3.0);
  CHECK(track.at(1)[Segment::upper_arm_left].x == doctest::Approx(1.2).epsilon(1e-14));
  CHECK(track.at(1)[Segment::upper_arm_right].x == doctest::Approx(-0.2).epsilon(1e-14));
  // At 0.25 the first movement is at s = 3/4 (459/512 done) and the second at 1/4 (53/512): 10 s^3 - 15 s^4 +
  // 6 s^5.
  CHECK(track.at(0.25)[Segment::upper_arm_left].x ==
        doctest::Approx(3.0 - 2.8 * 459 / 512 + 1.0 * 53 / 512).epsilon(1e-13));
  CHECK(track.corners() == std::vector<double>{0.0, 0.1, 0.2, 0.3, 0.4, 0.6});
  for (const double t : {0.15, 0.25, 0.33, 0.5}) {
    const double step = 1e-6;
    for (const ShapeTrack& any : {track, ShapeTrack({{0.1, up}, {0.6, down}})}) {
      const double slope =
          (any.at(t + step)[Segment::upper_arm_left].x - any.at(t - step)[Segment::upper_arm_left].x) /
          (2 * step);
      CHECK(any.rate(t)[Segment::upper_arm_left].x == doctest::Approx(slope).epsilon(1e-7));
      CHECK(mirrored(mirrored(any)).at(t) == any.at(t));
      CHECK(mirrored(any).at(t) == mirrored(any.at(t)));
    }
  }
}
