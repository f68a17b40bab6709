#include "flight/sampled.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <memory>

#include "flight/solve.hpp"
#include "shapes.hpp"

using namespace halfturn;

namespace {

/// A flip with a twist in it, flown by an average adult's body.
Flight solved(double twist_deg, double air_time) {
  SolveRequest request;
  Athlete athlete;
  request.body = std::make_shared<const HumanBody>(human_body(athlete));
  request.shapes = test::shapes();
  request.effort = TakeoffEffort::running;
  request.air_time = air_time;
  request.plan.takeoff_phase_deg = 10;
  request.plan.landing_phase_deg = 15;
  request.plan.air_turn_deg = twist_deg;
  request.plan.twist_onset = 0.1;
  request.plan.twist_end = 0.85;
  const SolvedFlight answer = solve_flight(request);
  REQUIRE(answer.flight.has_value());
  return *answer.flight;
}

Flight resampled(const Flight& flight, double hz) {
  return sampled_flight(samples_of(flight, hz), flight.provenance(), flight.events(), flight.flip_axis_W(),
                        flight.arm_moves());
}

struct Apart {
  double orientation = 0, rate = 0, joint = 0, path = 0, angles = 0;
};
Apart apart(const Flight& a, const Flight& b) {
  Apart most;
  for (int i = 0; i <= 2000; ++i) {
    const FlightSample x = a.at(a.duration() * i / 2000), y = b.at(a.duration() * i / 2000);
    most.orientation = std::max(most.orientation, angle_between(x.q_WB, y.q_WB));
    most.rate = std::max(most.rate, glm::length(x.omega_B - y.omega_B));
    most.path = std::max(most.path, glm::length(x.com_W - y.com_W));
    for (std::size_t s = 0; s < segment_count; ++s)
      most.joint = std::max(most.joint, glm::length(x.pose.angles[s] - y.pose.angles[s]));
    most.angles =
        std::max({most.angles, std::abs(x.angles.flip - y.angles.flip),
                  std::abs(x.angles.lean - y.angles.lean), std::abs(x.angles.twist - y.angles.twist)});
    CHECK(angle_between(b.orientation(a.duration() * i / 2000), y.q_WB) == 0);
  }
  return most;
}

/// Turns at a constant rate in body axes: exp is the closed form.
class Steady final : public Flight::Maker {
 public:
  explicit Steady(const Vec3& omega_B) : omega_B_(omega_B) {}
  [[nodiscard]] FlightSample sample(double time) const override {
    FlightSample s;
    s.time = time;
    s.q_WB = rotation_y(0.3) * exp_rotation(time * omega_B_);
    s.omega_B = omega_B_;
    s.com_W = {1.5 * time, 1 + 4 * time - 0.5 * 9.80665 * time * time, 0};
    return s;
  }

 private:
  Vec3 omega_B_;
};

}  // namespace

TEST_CASE("at its samples a sampled flight is the flight, bit for bit") {
  const Flight flight = solved(720, 0.95);
  const std::vector<FlightSample> samples = samples_of(flight, 60);
  CHECK(samples.size() == static_cast<std::size_t>(std::ceil(60 * flight.duration() - 1e-9)) + 1);
  CHECK(samples.front().time == 0);
  CHECK(samples.back().time == flight.duration());
  const Flight again = resampled(flight, 60);
  CHECK(again.duration() == flight.duration());
  for (const FlightSample& s : samples) {
    const FlightSample read = again.at(s.time);
    CHECK(read.q_WB == s.q_WB);
    CHECK(read.com_W == s.com_W);
    CHECK(read.omega_B == s.omega_B);
    CHECK(read.pose == s.pose);
    CHECK(read.angles.twist == s.angles.twist);
  }
}

TEST_CASE("between samples at 60 Hz a sampled flight stays within its stated bounds") {
  for (const auto& [twist_deg, air_time] :
       {std::pair{0.0, 0.8}, {180.0, 0.8}, {360.0, 0.85}, {720.0, 0.95}}) {
    CAPTURE(twist_deg);
    const Flight flight = solved(twist_deg, air_time);
    const Apart most = apart(flight, resampled(flight, 60));
    MESSAGE(twist_deg, " deg: orientation ", most.orientation, " rate ", most.rate, " joint ", most.joint,
            " path ", most.path, " angles ", most.angles);
    CHECK(most.orientation < 2e-4);
    CHECK(most.joint < 0.005);
    CHECK(most.path < 1e-9);
    CHECK(most.angles < 0.002);
  }
}

TEST_CASE("the error of the orientation falls with the fourth power of the step") {
  const Flight flight = solved(360, 0.85);
  const double coarse = apart(flight, resampled(flight, 60)).orientation;
  const double fine = apart(flight, resampled(flight, 240)).orientation;
  // 4^4 = 256 where the flight is smooth; its arms start with a bend.
  CHECK(fine < coarse / 50);
}

TEST_CASE("a steady turn is kept to rounding, however few the samples") {
  const Vec3 omega_B(3, -9, 4);
  const Flight steady(std::make_shared<const Steady>(omega_B), Provenance::simulated, 0.6, {}, Vec3(0, 0, 1),
                      std::nullopt);
  const Apart most = apart(steady, resampled(steady, 10));
  CHECK(most.orientation < 1e-13);
  CHECK(most.rate < 1e-11);
  CHECK(most.path < 1e-13);
}

TEST_CASE("a sampled flight says the same in any order of reads") {
  const Flight flight = resampled(solved(360, 0.85), 60);
  std::vector<Quat> on, back;
  for (int i = 0; i <= 300; ++i) on.push_back(flight.at(flight.duration() * i / 300).q_WB);
  for (int i = 300; i >= 0; --i) back.push_back(flight.at(flight.duration() * i / 300).q_WB);
  std::reverse(back.begin(), back.end());
  CHECK(on == back);
}
