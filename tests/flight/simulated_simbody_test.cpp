#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>

#include "body/mass_properties.hpp"
#include "scenarios.hpp"
#include "simbody_scenario.hpp"

using namespace halfturn;

namespace {

/// Where the centre of mass of every segment is and how it is turned, in the world, the whole body's centre
/// of mass being at rest.
std::vector<SegmentPlace> places_in_world(const BodyTree& tree, const JointTracks& tracks,
                                          const SimulatedRotation& flight, double time) {
  std::vector<double> angles;
  for (const JointTrack& track : tracks) angles.push_back(track.angle(time));
  std::vector<SegmentPlace> places = segment_places(tree, angles);
  const Mat3 turn = glm::mat3_cast(flight.orientation(time));
  Vec3 com(0);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const TreeSegment& part = tree.segments()[i];
    places[i] = {turn * places[i].rotation, turn * (places[i].origin + places[i].rotation * part.com)};
    com += part.mass / tree.mass() * places[i].origin;
  }
  for (SegmentPlace& place : places) place.origin -= com;
  return places;
}

/// Kinetic energy from differences of places, J.
double energy_of(const BodyTree& tree, const JointTracks& tracks, const SimulatedRotation& flight,
                 double time) {
  constexpr double dt = 1e-4;
  const auto before = places_in_world(tree, tracks, flight, time - dt);
  const auto after = places_in_world(tree, tracks, flight, time + dt);
  double energy = 0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    const TreeSegment& part = tree.segments()[i];
    const Vec3 v = (after[i].origin - before[i].origin) / (2 * dt);
    const Mat3 between = glm::transpose(before[i].rotation) * after[i].rotation;
    const Vec3 w = log_rotation(glm::quat_cast(between)) / (2 * dt);
    energy += 0.5 * part.mass * glm::dot(v, v) + 0.5 * glm::dot(w, part.inertia_about_com * w);
  }
  return energy;
}

}  // namespace

TEST_CASE("energy changes by the work of the joints and nothing else") {
  // Oracle: the power that Simbody's prescribed joints put in, summed up by Simpson's rule; our energy comes
  // from differences of the segments' places, so from nothing that the integrator computed but orientation.
  const BodyTree tree = human_tree(human_body(Athlete{}));
  for (const scenario::Scenario& scenario : scenario::all()) {
    CAPTURE(scenario.name);
    const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
    const SimulatedRotation ours = *SimulatedRotation::make(
        std::make_shared<const MovingBody>(tree, tracks, scenario.duration), scenario.takeoff, 1e-11);
    constexpr double step = 0.0025;
    std::vector<double> times;
    for (int k = 0; k <= static_cast<int>(std::round(scenario.duration / step)); ++k)
      times.push_back(k * step);
    const Quat& q0 = scenario.takeoff.q_WB;
    const auto theirs =
        simbody::fly(simbody::parts_of(tree), simbody::tracks_of(tracks), {q0.w, q0.x, q0.y, q0.z},
                     simbody::array_of(q0 * ours.rate(0, q0)), times, 1e-9);
    // Our differences need a little room at both ends.
    constexpr std::size_t first = 4;
    double work = 0, most_work = 0, greatest = 0;
    const double start = energy_of(tree, tracks, ours, times[first]);
    for (std::size_t k = first; k + 6 < times.size(); k += 2) {
      work += step / 3 * (theirs[k].joint_power + 4 * theirs[k + 1].joint_power + theirs[k + 2].joint_power);
      const double gained = energy_of(tree, tracks, ours, times[k + 2]) - start;
      most_work = std::max(most_work, std::abs(work));
      greatest = std::max(greatest, std::abs(gained - work));
    }
    CHECK(most_work > 5);  // J: the joints do work in every scenario
    CHECK(greatest < 1e-3 * most_work);
  }
}

TEST_CASE("articulated flights agree with Simbody at every output") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  for (const scenario::Scenario& scenario : scenario::all()) {
    CAPTURE(scenario.name);
    const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
    const auto moving = std::make_shared<const MovingBody>(tree, tracks, scenario.duration);
    const SimulatedRotation ours = *SimulatedRotation::make(moving, scenario.takeoff, 1e-10);
    const Quat& q0 = scenario.takeoff.q_WB;
    const Vec3& h = scenario.takeoff.angular_momentum_W;
    std::vector<double> times;
    for (int k = 0; k <= static_cast<int>(std::round(100 * scenario.duration)); ++k)
      times.push_back(k / 100.0);
    const auto theirs =
        simbody::fly(simbody::parts_of(tree), simbody::tracks_of(tracks), {q0.w, q0.x, q0.y, q0.z},
                     simbody::array_of(q0 * ours.rate(0, q0)), times, 1e-10);
    double worst = 0;
    for (std::size_t k = 0; k < times.size(); ++k) {
      CAPTURE(times[k]);
      const auto& o = theirs[k].orientation;
      const auto& m = theirs[k].momentum;
      const Quat q = ours.orientation(times[k]);
      worst = std::max(worst, angle_between(q, Quat(o[0], o[1], o[2], o[3])));
      // Their momentum is the one that ours keeps, up to their own integration error.
      CHECK(glm::length(Vec3(m[0], m[1], m[2]) - h) < 1e-6);
      // Ours, summed up from the parts' motion and not from the law it was made by.
      std::vector<double> angles;
      std::vector<double> rates;
      for (const JointTrack& track : tracks) {
        angles.push_back(track.angle(times[k]));
        rates.push_back(track.rate(times[k]));
      }
      const MassProperties whole = mass_properties(tree, angles, rates);
      const Vec3 kept = q * (whole.inertia * ours.rate(times[k], q) + whole.relative_angular_momentum);
      CHECK(glm::length(kept - h) < 1e-9);
    }
    CHECK(worst < 1e-8);
  }
}
