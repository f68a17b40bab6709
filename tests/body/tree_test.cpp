#include "body/tree.hpp"

#include <doctest/doctest.h>

#include <Eigen/Dense>
#include <cmath>
#include <limits>
#include <random>

#include "body/human.hpp"
#include "body/mass_properties.hpp"
#include "body/pose.hpp"

using namespace halfturn;

namespace {

TreeSegment part(std::string name, std::optional<std::size_t> parent, Vec3 joint, std::string axes,
                 double mass, Vec3 com, Vec3 moments) {
  Mat3 inertia(0);
  for (int i = 0; i < 3; ++i) inertia[i][i] = moments[i];
  return {std::move(name), parent, joint, std::move(axes), mass, com, inertia};
}

/// A trunk, an arm on it and a hand on the arm, with every kind of offset.
std::vector<TreeSegment> three_parts() {
  return {part("trunk", std::nullopt, Vec3(0), "", 5, {0.02, 0.3, -0.01}, {0.4, 0.1, 0.35}),
          part("arm", 0, {0.01, 0.5, 0.2}, "zxy", 2, {0.03, -0.25, 0.02}, {0.05, 0.01, 0.045}),
          part("hand", 1, {0, -0.5, 0.01}, "xz", 1, {0.01, -0.1, 0}, {0.004, 0.003, 0.002})};
}

double uniform(std::mt19937_64& random, double low, double high) {
  return low + (high - low) * double(random() >> 11) * 0x1p-53;
}

double difference(const Mat3& a, const Mat3& b) {
  double greatest = 0;
  for (int i = 0; i < 3; ++i) greatest = std::max(greatest, glm::length(a[i] - b[i]));
  return greatest;
}

std::string place_of_fault(std::vector<TreeSegment> segments) {
  const Result<BodyTree> tree = BodyTree::make(std::move(segments), 0);
  return tree.ok() ? "accepted" : tree.problem().place;
}

}  // namespace

TEST_CASE("two point masses on a hinge have the inertia of the reduced mass") {
  // By hand: reduced mass 3 * 1 / 4 kg, distance 2 m: moment 3 kg m2 across the line, 0 along it.
  std::vector<TreeSegment> segments{part("a", std::nullopt, Vec3(0), "", 3, Vec3(0), Vec3(0)),
                                    part("b", 0, Vec3(0), "z", 1, {2, 0, 0}, Vec3(0))};
  const BodyTree tree = *BodyTree::make(segments, 0);
  const double quarter[] = {pi / 2};
  const double rate[] = {2.0};
  const MassProperties whole = mass_properties(tree, quarter, rate);
  CHECK(glm::length(whole.com - Vec3(0, 0.5, 0)) < 1e-15);
  CHECK(std::abs(whole.inertia[0][0] - 3) < 1e-14);
  CHECK(std::abs(whole.inertia[1][1]) < 1e-14);
  CHECK(std::abs(whole.inertia[2][2] - 3) < 1e-14);
  // The same reduced mass turning at 2 rad/s.
  CHECK(glm::length(whole.relative_angular_momentum - Vec3(0, 0, 6)) < 1e-14);
}

TEST_CASE("momentum of joint motion is the derivative of the segments' places") {
  // Oracle: central differences of places, summed as the definition of angular momentum says.
  std::mt19937_64 random(7);
  for (const std::size_t reference : {0U, 1U, 2U}) {
    const BodyTree tree = *BodyTree::make(three_parts(), reference);
    std::vector<double> angles(5);
    std::vector<double> rates(5);
    for (std::size_t i = 0; i < 5; ++i) {
      angles[i] = uniform(random, -2, 2);
      rates[i] = uniform(random, -3, 3);
    }
    const double h = 1e-5;
    std::vector<double> before = angles;
    std::vector<double> after = angles;
    for (std::size_t i = 0; i < 5; ++i) {
      before[i] -= h * rates[i];
      after[i] += h * rates[i];
    }
    const auto now = segment_places(tree, angles);
    const auto p0 = segment_places(tree, before);
    const auto p1 = segment_places(tree, after);
    Vec3 com(0);
    Vec3 com_velocity(0);
    const auto& parts = tree.segments();
    for (std::size_t i = 0; i < 3; ++i) {
      com += parts[i].mass / 8 * (now[i].origin + now[i].rotation * parts[i].com);
      com_velocity +=
          parts[i].mass / 8 *
          (p1[i].origin + p1[i].rotation * parts[i].com - p0[i].origin - p0[i].rotation * parts[i].com) /
          (2 * h);
    }
    Vec3 momentum(0);
    for (std::size_t i = 0; i < 3; ++i) {
      const Vec3 p = now[i].origin + now[i].rotation * parts[i].com - com;
      const Vec3 v =
          (p1[i].origin + p1[i].rotation * parts[i].com - p0[i].origin - p0[i].rotation * parts[i].com) /
              (2 * h) -
          com_velocity;
      const Mat3 spin = (p1[i].rotation - p0[i].rotation) / (2 * h) * glm::transpose(now[i].rotation);
      const Vec3 rate(spin[1][2], spin[2][0], spin[0][1]);
      const Mat3 inertia = now[i].rotation * parts[i].inertia_about_com * glm::transpose(now[i].rotation);
      momentum += parts[i].mass * glm::cross(p, v) + inertia * rate;
    }
    const MassProperties whole = mass_properties(tree, angles, rates);
    CHECK(glm::length(whole.com - com) < 1e-14);
    CHECK(glm::length(whole.relative_angular_momentum - momentum) < 1e-8);
  }
}

TEST_CASE("the human body as a tree weighs as the human body") {
  std::mt19937_64 random(11);
  const HumanBody body = human_body(Athlete{});
  const BodyTree tree = human_tree(body);
  for (int n = 0; n < 20; ++n) {
    Pose pose;
    Pose rate;
    std::vector<double> angles;
    std::vector<double> rates;
    for (std::size_t s = 1; s < segment_count; ++s) {
      for (const int component : {2, 0, 1}) {
        angles.push_back(pose.angles[s][component] = uniform(random, -2, 2));
        rates.push_back(rate.angles[s][component] = uniform(random, -5, 5));
      }
    }
    const WholeBody human = whole_body(body, pose, rate);
    const MassProperties whole = mass_properties(tree, angles, rates);
    CHECK(glm::length(human.com - whole.com) < 1e-13);
    CHECK(difference(human.inertia, whole.inertia) < 1e-12);
    CHECK(glm::length(human.relative_angular_momentum - whole.relative_angular_momentum) < 1e-12);
  }
}

TEST_CASE("principal axes agree with Eigen, coincident moments included") {
  std::mt19937_64 random(3);
  for (int n = 0; n < 200; ++n) {
    Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
    if (n % 4 == 0) {
      m.diagonal() << 2, 2, 1.0 + n % 8;
    } else {
      for (int i = 0; i < 3; ++i)
        for (int k = 0; k <= i; ++k) m(i, k) = m(k, i) = uniform(random, -1, 1);
    }
    Mat3 ours;
    for (int i = 0; i < 3; ++i)
      for (int k = 0; k < 3; ++k) ours[k][i] = m(i, k);
    const PrincipalAxes axes = principal_axes(ours);
    const Eigen::Vector3d moments = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(m).eigenvalues();
    for (int i = 0; i < 3; ++i) {
      CHECK(std::abs(axes.moments[i] - moments[i]) < 1e-14);
      CHECK(glm::length(ours * axes.axes[i] - axes.moments[i] * axes.axes[i]) < 1e-14);
    }
    CHECK(std::abs(glm::determinant(axes.axes) - 1) < 1e-14);
  }
}

TEST_CASE("a joint track follows its keys") {
  const JointTrack track = JointTrack::from_keys({{0.1, 0.5}, {0.3, 1.5}, {0.4, 1.5}, {0.6, -0.5}});
  CHECK(track.angle(-1) == 0.5);
  CHECK(std::abs(track.angle(0.2) - 1.0) < 1e-15);
  CHECK(std::abs(track.rate(0.2) - 1.875 / 0.2) < 1e-12);  // 15/8 of the mean rate, Flash and Hogan 1985
  CHECK(track.angle(0.35) == 1.5);
  CHECK(track.rate(0.35) == 0);
  CHECK(std::abs(track.angle(9) + 0.5) < 1e-15);
}

TEST_CASE("a body that cannot be is refused at its place") {
  const auto with = [](std::size_t i, auto change) {
    std::vector<TreeSegment> segments = three_parts();
    change(segments[i]);
    return place_of_fault(std::move(segments));
  };
  CHECK(place_of_fault(three_parts()) == "accepted");
  CHECK(place_of_fault({}) == "segments");
  CHECK(with(1, [](TreeSegment& s) { s.mass = -1; }) == "segments[1].mass_kg");
  CHECK(with(1, [](TreeSegment& s) { s.parent = 2; }) == "segments[1].parent");
  CHECK(with(1, [](TreeSegment& s) { s.parent = 1; }) == "segments[1].parent");
  CHECK(with(2, [](TreeSegment& s) { s.parent.reset(); }) == "segments[2].parent");
  CHECK(with(2, [](TreeSegment& s) { s.name = "arm"; }) == "segments[2].name");
  CHECK(with(2, [](TreeSegment& s) { s.axes = "xw"; }) == "segments[2].axes[1]");
  CHECK(with(0, [](TreeSegment& s) { s.axes = "x"; }) == "segments[0].axes");
  CHECK(with(0, [](TreeSegment& s) { s.joint_centre_in_parent.x = 1; }) ==
        "segments[0].joint_centre_in_parent_m");
  CHECK(with(2, [](TreeSegment& s) { s.inertia_about_com[0][1] = 1e-4; }) ==
        "segments[2].inertia_about_com_kgm2");
  CHECK(with(2, [](TreeSegment& s) { s.inertia_about_com[0][0] = -1e-4; }) ==
        "segments[2].inertia_about_com_kgm2");
  CHECK(with(2, [](TreeSegment& s) { s.inertia_about_com[0][0] = 0.0051; }) ==
        "segments[2].inertia_about_com_kgm2");
  CHECK(with(2, [](TreeSegment& s) { s.com.y = std::numeric_limits<double>::quiet_NaN(); }) ==
        "segments[2].com_m");
  std::vector<TreeSegment> weightless = three_parts();
  for (TreeSegment& s : weightless) s.mass = 0;
  CHECK(place_of_fault(weightless) == "segments");
}
