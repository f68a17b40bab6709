#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "body/mass_properties.hpp"
#include "scenarios.hpp"
#include "simbody_scenario.hpp"

using namespace halfturn;

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
