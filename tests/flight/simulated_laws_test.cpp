#include <doctest/doctest.h>

#include <boost/numeric/odeint.hpp>
#include <cmath>
#include <glm/geometric.hpp>

#include "body/mass_properties.hpp"
#include "csv.hpp"
#include "flight/shape_table.hpp"
#include "rotation/angle_split.hpp"
#include "rotation/heading.hpp"
#include "scenarios.hpp"

using namespace halfturn;

namespace {

std::shared_ptr<const MovingBody> moving(const BodyTree& tree, const JointTracks& tracks, double duration) {
  return std::make_shared<const MovingBody>(tree, tracks, duration);
}

BodyTree rigid(const Vec3& moments) {
  TreeSegment segment;
  segment.name = "body";
  segment.mass = 1;
  for (int i = 0; i < 3; ++i) segment.inertia_about_com[i][i] = moments[i];
  return *BodyTree::make({segment}, 0);
}

std::vector<double> angles_at(const JointTracks& tracks, double time) {
  std::vector<double> angles;
  for (const JointTrack& track : tracks) angles.push_back(track.angle(time));
  return angles;
}
std::vector<double> rates_at(const JointTracks& tracks, double time) {
  std::vector<double> rates;
  for (const JointTrack& track : tracks) rates.push_back(track.rate(time));
  return rates;
}

}  // namespace

TEST_CASE("an axially symmetric body turns as the two closed-form turns say, for ten seconds") {
  // Closed form (any text on the symmetric top): q(t) = exp(H t / A) q0 exp(y (1/C - 1/A) M_y t).
  const double a = 12;
  const double c = 1.2;
  for (const double tilt_deg : {0.0, 3.0, 6.379, 40.0}) {
    const Vec3 h(5, -7, 60);
    const Quat q0 = rotation_x(to_rad(tilt_deg));
    const SimulatedRotation rotation =
        *SimulatedRotation::make(moving(rigid({a, c, a}), {}, 10), {q0, h}, 1e-11);
    const double spin = (1 / c - 1 / a) * (glm::conjugate(q0) * h).y;
    for (const double t : {0.1, 1.0, 3.3, 7.7, 10.0}) {
      const Quat expected = exp_rotation(h * (t / a)) * q0 * exp_rotation(Vec3(0, spin * t, 0));
      CHECK(angle_between(rotation.orientation(t), expected) < 1e-10);
    }
  }
}

TEST_CASE("twists per somersault are (A/C - 1) sin(tilt) on an axially symmetric body") {
  // references: Yeadon 1993; A = 12, C = 1.2 and 6.379 degrees give one twist a somersault (1.000).
  for (const auto& [tilt_deg, twists] : {std::pair{6.379, 1.0}, std::pair{10.0, 1.5628}}) {
    const double turn = 2 * pi * 12 / 60;  // seconds for one somersault
    const SimulatedRotation rotation = *SimulatedRotation::make(
        moving(rigid({12, 1.2, 12}), {}, turn), {rotation_x(to_rad(tilt_deg)), Vec3(0, 0, 60)}, 1e-9);
    double twist = 0;
    double before = 0;
    for (const Quat& q : rotation.orientations()) {
      const double now = split_angles(q, 0).twist;
      twist += wrap_rad(now - before);
      before = now;
    }
    CHECK(std::abs(twist / (2 * pi) - twists) < 1e-4);
    CHECK(std::abs(twist / (2 * pi) - 9 * std::sin(to_rad(tilt_deg))) < 1e-8);
  }
}

TEST_CASE("arms that move alike give no tilt and no twist") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  const JointTracks tracks = scenario::tracks_of(tree, {{"upper_arm_right x", {{0.1, -160}, {0.4, -20}}},
                                                        {"upper_arm_left x", {{0.1, 160}, {0.4, 20}}}});
  const SimulatedRotation rotation =
      *SimulatedRotation::make(moving(tree, tracks, 1), {Quat(1, 0, 0, 0), Vec3(0, 0, 60)}, 1e-9);
  for (const Quat& q : rotation.orientations()) {
    CHECK(std::abs(q.x) < 1e-12);
    CHECK(std::abs(q.y) < 1e-12);
  }
}

TEST_CASE("a mirrored motion gives the mirrored flight") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  for (const scenario::Scenario& scenario : scenario::all()) {
    CAPTURE(scenario.name);
    const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
    JointTracks image(tracks.size());
    for (std::size_t s = 1; s < segment_count; ++s) {
      const auto other = static_cast<std::size_t>(other_side(static_cast<Segment>(s)));
      for (std::size_t a = 0; a < 3; ++a) {
        JointTrack track = tracks[3 * (s - 1) + a];
        if (a > 0) {  // the axes are z, x, y
          track.start = -track.start;
          for (auto& blend : track.blends) blend.by = -blend.by;
        }
        image[3 * (other - 1) + a] = track;
      }
    }
    const Vec3 h = scenario.takeoff.angular_momentum_W;
    const SimulatedRotation one =
        *SimulatedRotation::make(moving(tree, tracks, scenario.duration), scenario.takeoff, 1e-8);
    const SimulatedRotation other =
        *SimulatedRotation::make(moving(tree, image, scenario.duration),
                                 {mirrored(scenario.takeoff.q_WB), Vec3(-h.x, -h.y, h.z)}, 1e-8);
    REQUIRE(one.times() == other.times());
    for (std::size_t k = 0; k < one.times().size(); ++k)
      CHECK(angle_between(mirrored(one.orientations()[k]), other.orientations()[k]) < 1e-11);
  }
}

TEST_CASE("the error falls with the eighth power of the step") {
  // Oracle: the closed form of the symmetric top, under a tilt that makes it twist fast.
  const Vec3 h(0, 0, 60);
  const Quat q0 = rotation_x(0.3);
  const MovingBody body(rigid({12, 1.5, 12}), {}, 1.0);
  const double spin = (1 / 1.5 - 1.0 / 12) * (glm::conjugate(q0) * h).y;
  const Quat expected = exp_rotation(h / 12.0) * q0 * exp_rotation(Vec3(0, spin, 0));
  const auto error_and_steps = [&](double accuracy) {
    const ShapeTable table(body, {q0, h}, accuracy);
    return std::pair{angle_between(table.fly({q0, h}), expected), double(table.step_count())};
  };
  const auto [coarse, few] = error_and_steps(1e-4);
  const auto [fine, many] = error_and_steps(1e-8);
  const double order = std::log(coarse / fine) / std::log(many / few);
  CHECK(order > 7.5);
  CHECK(order < 9.5);
}

TEST_CASE("energy changes only while joints move") {  // by how much: simulated_simbody_test.cpp
  const BodyTree tree = human_tree(human_body(Athlete{}));
  const scenario::Scenario tuck = scenario::all()[2];
  const JointTracks tracks = scenario::tracks_of(tree, tuck.moves);
  const SimulatedRotation rotation =
      *SimulatedRotation::make(moving(tree, tracks, tuck.duration), tuck.takeoff, 1e-11);
  const auto energy = [&](double t) {
    const Vec3 omega = rotation.rate(t, rotation.orientation(t));
    return 0.5 * glm::dot(omega, mass_properties(tree, angles_at(tracks, t)).inertia * omega);
  };
  CHECK(std::abs(energy(0.04) - energy(0.0)) < 1e-8);
  CHECK(std::abs(energy(0.85) - energy(0.36)) < 1e-8);
  CHECK(std::abs(energy(1.3) - energy(1.21)) < 1e-8);
  CHECK(energy(0.5) > 1.5 * energy(0.0));  // pulling in does work
}

TEST_CASE("a general ODE solver gives the same flight, whichever segment is the reference") {
  // Oracle: Boost.odeint's 8th-order Fehlberg method on the plain quaternion equation, body weighed by
  // mass_properties from the tree's own root.
  using Vector = std::array<double, 4>;
  namespace odeint = boost::numeric::odeint;
  for (const std::size_t reference : {0U, 2U, 9U}) {
    const BodyTree base = human_tree(human_body(Athlete{}));
    const BodyTree tree = *BodyTree::make(base.segments(), reference);
    for (const scenario::Scenario& scenario : scenario::all()) {
      CAPTURE(scenario.name);
      const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
      const Vec3 h = scenario.takeoff.angular_momentum_W;
      const auto derivative = [&](const Vector& y, Vector& dy, double t) {
        const Quat q(y[0], y[1], y[2], y[3]);
        const MassProperties whole = mass_properties(tree, angles_at(tracks, t), rates_at(tracks, t));
        const Vec3 omega =
            glm::inverse(whole.inertia) * (glm::conjugate(q) * h - whole.relative_angular_momentum);
        const Quat rate = q * Quat(0, 0.5 * omega.x, 0.5 * omega.y, 0.5 * omega.z);
        dy = {rate.w, rate.x, rate.y, rate.z};
      };
      const Quat& q0 = scenario.takeoff.q_WB;
      Vector y{q0.w, q0.x, q0.y, q0.z};
      const SimulatedRotation ours =
          *SimulatedRotation::make(moving(tree, tracks, scenario.duration), scenario.takeoff, 1e-10);
      // Equal steps that end on all keys: the method's own error estimate does not see the corners there.
      constexpr double step = 1.0 / 400;
      odeint::runge_kutta_fehlberg78<Vector> stepper;
      double time = 0;
      for (int k = 1; k <= 4; ++k) {
        const auto steps = static_cast<std::size_t>(std::round(scenario.duration / 4 / step));
        time = odeint::integrate_n_steps(stepper, derivative, y, time, step, steps);
        CHECK(angle_between(ours.orientation(time), Quat(y[0], y[1], y[2], y[3])) < 1e-10);
      }
    }
  }
}
