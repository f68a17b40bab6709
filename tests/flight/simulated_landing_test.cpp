#include <doctest/doctest.h>

#include <cmath>
#include <glm/geometric.hpp>
#include <random>

#include "body/human.hpp"
#include "flight/simulated.hpp"

using namespace halfturn;

namespace {

BodyTree human() {
  return human_tree(human_body(Athlete{}));
}

}  // namespace

TEST_CASE("a body that does not turn lands when its lowest point has fallen its height") {
  // By hand: a point 0.9 m under the centre of mass, 0.4 m over the floor, thrown up at 3 m/s.
  const BodyTree tree = human();
  SimulatedTakeoff takeoff;
  const double com_y = 1.3;
  takeoff.com_W = {0, com_y, 0};
  takeoff.com_velocity_W = {1, 3, -0.5};
  const MassProperties whole = mass_properties(tree, std::vector<double>(tree.coordinate_count(), 0.0));
  const std::vector<TreeContact> contacts{{0, whole.com + Vec3(0.1, -0.9, 0)}, {0, whole.com}};
  const Flight flight = *make_simulated_flight(tree, contacts, {}, takeoff, {});
  const double expected = (3 + std::sqrt(9 + 2 * 9.80665 * 0.4)) / 9.80665;
  CHECK(std::abs(flight.duration() - expected) < 1e-12);
  CHECK(glm::length(flight.at(expected).com_W - Vec3(expected, 0.9, -0.5 * expected)) < 1e-11);
  CHECK(flight.events().front().kind == EventKind::takeoff);
  CHECK(flight.events().back().kind == EventKind::landing);
  CHECK(flight.events().back().time == flight.duration());
}

TEST_CASE("a turning body lands where its lowest point meets the surface, as a root") {
  const BodyTree tree = human();
  SimulatedTakeoff takeoff;
  takeoff.com_W = {0, 1.1, 0};
  takeoff.com_velocity_W = {0, 4, 0};
  takeoff.landing_height = 0.25;
  takeoff.spin = {rotation_x(0.05), Vec3(0, 0, 50)};
  const Vec3 com = mass_properties(tree, std::vector<double>(tree.coordinate_count(), 0.0)).com;
  const std::vector<TreeContact> contacts{{0, com + Vec3(0, -0.9, 0.1)}, {0, com + Vec3(0, 0.8, 0)}};
  const Flight flight = *make_simulated_flight(tree, contacts, {}, takeoff, {});
  const auto clearance = [&](double time) {
    const FlightSample sample = flight.at(time);
    double lowest = 1e9;
    for (const TreeContact& contact : contacts)
      lowest = std::min(lowest, (sample.com_W + sample.q_WB * (contact.point - com)).y);
    return lowest - 0.25;
  };
  CHECK(std::abs(clearance(flight.duration())) < 1e-10);
  CHECK(clearance(flight.duration() - 1e-4) > 0);
}

TEST_CASE("any order of reads gives the same bits, and turns are unwrapped") {
  const BodyTree tree = human();
  SimulatedTakeoff takeoff;
  takeoff.com_velocity_W = {0, 6, 0};
  takeoff.spin = {rotation_x(0.12), Vec3(0, 0, 120)};
  const Flight flight = *make_simulated_flight(tree, {}, {}, takeoff, {});
  std::vector<FlightSample> forward;
  for (int k = 0; k <= 200; ++k) forward.push_back(flight.at(flight.duration() * k / 200));
  std::mt19937_64 random(1);
  for (int n = 0; n < 500; ++n) {
    const auto k = random() % 201;
    const FlightSample sample = flight.at(flight.duration() * static_cast<double>(k) / 200);
    CHECK(sample.q_WB == forward[k].q_WB);
    CHECK(sample.omega_B == forward[k].omega_B);
  }
  for (std::size_t k = 1; k < forward.size(); ++k) {
    CHECK(std::abs(forward[k].angles.flip - forward[k - 1].angles.flip) < 0.5);
    CHECK(std::abs(forward[k].angles.twist - forward[k - 1].angles.twist) < 0.5);
  }
  CHECK(forward.back().angles.flip > 2 * pi);   // more than one somersault in the air
  CHECK(forward.back().angles.twist > 2 * pi);  // and, tilted to the right, twists to the left
}

TEST_CASE("the rate is the derivative of the orientation") {
  const BodyTree tree = human();
  SimulatedTakeoff takeoff;
  takeoff.com_velocity_W = {0, 4, 0};
  takeoff.spin = {rotation_x(0.12), Vec3(0, 0, 60)};
  const Flight flight = *make_simulated_flight(tree, {}, {}, takeoff, {}, 1e-10);
  for (const double t : {0.1, 0.33, 0.7}) {
    const double h = 1e-4;
    const Vec3 difference =
        log_rotation(glm::conjugate(flight.orientation(t - h)) * flight.orientation(t + h));
    CHECK(glm::length(difference / (2 * h) - flight.at(t).omega_B) < 1e-5);
  }
}

TEST_CASE("a body that never rises has no flight") {
  SimulatedTakeoff takeoff;
  takeoff.com_W = {0, -1, 0};
  CHECK_FALSE(make_simulated_flight(human(), {}, {}, takeoff, {}).ok());
}
