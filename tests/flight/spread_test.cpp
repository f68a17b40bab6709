#include "flight/spread.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "body/human.hpp"
#include "flight/simulated.hpp"
#include "rotation/heading.hpp"
#include "shapes.hpp"

using namespace halfturn;

namespace {

/// A jump with one turn: heading is the long-axis momentum times a time over a moment of inertia.
SolveRequest turning_jump(double turn_deg = 360) {
  SolveRequest request;
  request.body = std::make_shared<const HumanBody>(human_body(Athlete{}));
  request.shapes = test::shapes();
  request.shape = FlightShape::upright;
  request.air_time = 0.55;
  request.plan.flips = false;
  request.plan.air_turn_deg = turn_deg;
  request.plan.side = turn_deg < 0 ? -1 : 1;
  return request;
}

SolveRequest full() {
  SolveRequest request;
  request.body = std::make_shared<const HumanBody>(human_body(Athlete{}));
  request.shapes = test::shapes();
  request.effort = TakeoffEffort::running;
  request.air_time = 0.9;
  request.plan.takeoff_phase_deg = 10;
  request.plan.landing_phase_deg = 15;
  request.plan.air_turn_deg = 360;
  return request;
}

constexpr TakeoffSpread none{0, 0, 0, 0, 0};

LandingCounts fly(const SolveRequest& request, const TakeoffSpread& spread, std::size_t flights,
                  const LandingTolerance& tolerance = {}, std::uint64_t seed = 7) {
  const std::optional<LandingSpread> landings = LandingSpread::make(request, spread);
  REQUIRE(landings);
  LandingCounts counts;
  for (std::size_t chunk = 0; chunk * LandingSpread::chunk_size < flights; ++chunk)
    counts += landings->fly_chunk(seed, chunk, flights, tolerance);
  return counts;
}

/// Landings of a solved flight whose momentum errs, each flown by the general integrator down to the floor:
/// neither the tables nor the turning on of the last moments of LandingSpread.
class ExactLandings {
 public:
  /// `pointed`: the body ends in one point between its soles instead of its feet.
  explicit ExactLandings(const SolveRequest& request, bool pointed = false)
      : tree_(human_tree(*request.body)), flight_(*solve_flight(request).flight) {
    constexpr int keys = 300;
    std::vector<ShapeTrack::Key> track;
    for (int i = 0; i <= keys; ++i) {
      const double t = flight_.duration() * i / keys;
      track.push_back({t, flight_.at(t).pose});
    }
    track_ = ShapeTrack(track);
    for (const ContactPoint& contact : request.body->contacts)
      contacts_.push_back({static_cast<std::size_t>(contact.segment), contact.point});
    if (pointed) contacts_ = {{0, Vec3(0, -request.body->leg_length, 0)}};
    const double soon = 0.01;
    takeoff_.com_W = flight_.at(0).com_W;
    takeoff_.com_velocity_W = (flight_.at(soon).com_W - takeoff_.com_W) / soon;
    takeoff_.com_velocity_W.y += 0.5 * standard_gravity * soon;
  }
  [[nodiscard]] double heading_deg(double momentum_error) const {
    SimulatedTakeoff takeoff = takeoff_;
    takeoff.spin = {flight_.at(0).q_WB, (1 + momentum_error) * *flight_.angular_momentum_W()};
    const Flight flown = *make_simulated_flight(tree_, contacts_, track_, takeoff, {}, 1e-6);
    return to_deg(wrap_rad(*heading(flown.orientation(flown.duration())) -
                           *heading(flight_.orientation(flight_.duration()))));
  }

  /// How far the mean of an error and of its opposite lies from no error.
  [[nodiscard]] double bend_deg(double momentum_error) const {
    return 0.5 * (heading_deg(momentum_error) + heading_deg(-momentum_error)) - heading_deg(0);
  }

 private:
  BodyTree tree_;
  Flight flight_;
  ShapeTrack track_;
  std::vector<TreeContact> contacts_;
  SimulatedTakeoff takeoff_;
};

}  // namespace

TEST_CASE("without errors every flight lands as planned") {
  const LandingCounts counts = fly(full(), none, 100);
  CHECK(counts.flights == 100);
  CHECK(counts.controlled == 100);
  CHECK(std::abs(counts.heading_mean_deg()) < 1);
  CHECK(counts.heading_sd_deg() < 1e-6);
  CHECK(std::abs(counts.angle_mean_deg() - 15) < 1);
}

// A spin about the long axis is linear: the turn grows with the momentum, so an error of p percent of the
// momentum is one of p percent of the turn, and the share within a tolerance is that of a normal
// distribution. Its mean is that of the same errors flown by the general integrator, weighed by the normal
// density.
TEST_CASE("linear case: errors of momentum alone make a normal distribution of headings") {
  TakeoffSpread spread = none;
  spread.momentum = 0.05;
  const double sd_deg = 0.05 * 360;
  const LandingTolerance tolerance{to_rad(20), to_rad(15)};
  constexpr std::size_t flights = 400000;
  const LandingCounts counts = fly(turning_jump(), spread, flights, tolerance);
  CHECK(counts.heading_sd_deg() == doctest::Approx(sd_deg).epsilon(0.02));
  const ExactLandings exact(turning_jump());
  double mean = 0, weight = 0;
  for (int i = -40; i <= 40; ++i) {
    const double z = i / 10.0, density = std::exp(-0.5 * z * z);
    mean += density * exact.heading_deg(spread.momentum * z);
    weight += density;
  }
  mean = mean / weight - exact.heading_deg(0);
  const double bias = counts.heading_mean_deg() - fly(turning_jump(), none, 1).heading_mean_deg();
  CHECK(std::abs(bias - mean) < 4 * sd_deg / std::sqrt(static_cast<double>(flights)));
  CHECK(counts.heading_by_deg(TakeoffFactor::momentum) == doctest::Approx(sd_deg).epsilon(0.02));
  CHECK(std::abs(counts.heading_by_deg(TakeoffFactor::air_time)) < 0.3);
  const double expected = std::erf(20 / sd_deg / std::sqrt(2.0));
  const double four_sigma = 4 * std::sqrt(expected * (1 - expected) / flights);
  CHECK(std::abs(static_cast<double>(counts.controlled) / flights - expected) < four_sigma + 0.002);
}

// Why that mean is not zero and grows with the error itself, not with its square: a jump wobbles, so either
// foot can be the lower one, and the lower one touches first. A body that ends in one point bends smoothly.
TEST_CASE("the lower of two feet ends a flight: the mean of opposite errors has a kink") {
  const ExactLandings feet(turning_jump()), point(turning_jump(), true);
  for (const double error : {0.0125, 0.025}) {
    CHECK(feet.bend_deg(2 * error) / feet.bend_deg(error) == doctest::Approx(2).epsilon(0.15));
    CHECK(point.bend_deg(2 * error) / point.bend_deg(error) == doctest::Approx(4).epsilon(0.15));
    CHECK(std::abs(point.bend_deg(error)) < 0.5 * std::abs(feet.bend_deg(error)));
  }
}

TEST_CASE("what is corrected in the air is taken off the errors of momentum") {
  TakeoffSpread spread = none;
  spread.momentum = 0.05;
  spread.correction = 0.75;
  CHECK(fly(turning_jump(), spread, 50000).heading_sd_deg() ==
        doctest::Approx(0.25 * 0.05 * 360).epsilon(0.03));
}

// Turning on at the rate of the landing: one more hundredth of a second adds rate x 0.01 s.
TEST_CASE("a longer flight turns on at the rate it lands with") {
  TakeoffSpread spread = none;
  spread.air_time = 0.01;
  const SolveRequest request = turning_jump();
  const double rate_deg = solve_flight(request).numbers.landing_twist_rate_deg;
  const LandingCounts counts = fly(request, spread, 20000);
  CHECK(counts.heading_by_deg(TakeoffFactor::air_time) == doctest::Approx(0.01 * rate_deg).epsilon(0.03));
}

TEST_CASE("the same seed gives the same bits, whatever the chunks are added up from; another seed others") {
  const std::optional<LandingSpread> landings = LandingSpread::make(full(), {});
  REQUIRE(landings);
  constexpr std::size_t flights = 3 * LandingSpread::chunk_size / 2;
  const LandingCounts first = landings->fly_chunk(5, 0, flights, {});
  const LandingCounts second = landings->fly_chunk(5, 1, flights, {});
  const LandingCounts again = landings->fly_chunk(5, 1, flights, {});
  CHECK(second.flights == LandingSpread::chunk_size / 2);
  CHECK(second.heading_sum == again.heading_sum);
  CHECK(second.headings == again.headings);
  CHECK(landings->fly_chunk(6, 0, flights, {}).heading_sum != first.heading_sum);
  // A takeoff's errors do not depend on how many there are.
  CHECK(landings->fly_chunk(5, 0, LandingSpread::chunk_size, {}).heading_sum == first.heading_sum);
}

// A fit scales the errors of one flight several times; that must be the spread made afresh.
TEST_CASE("a spread with other errors is, to the bit, the one made with them") {
  TakeoffSpread other;
  other.timing = 0.004;
  other.momentum = 0.06;
  for (const double timing : {0.0, 0.02}) {
    TakeoffSpread spread;
    spread.timing = timing;
    const std::optional<LandingSpread> made = LandingSpread::make(full(), spread);
    REQUIRE(made);
    const LandingCounts changed = made->with(other).fly_chunk(5, 0, 2000, {});
    const LandingCounts afresh = fly(full(), other, 2000, {}, 5);
    CHECK(changed.heading_sum == afresh.heading_sum);
    CHECK(changed.angle_squares == afresh.angle_squares);
    CHECK(changed.headings == afresh.headings);
    CHECK(changed.heading_sum != made->fly_chunk(5, 0, 2000, {}).heading_sum);
  }
}

TEST_CASE("mirror law: the other side lands the other way round") {
  TakeoffSpread spread;
  spread.direction = 0;
  const LandingCounts left = fly(turning_jump(360), spread, 5000),
                      right = fly(turning_jump(-360), spread, 5000);
  CHECK(left.controlled == right.controlled);
  CHECK(left.heading_sum == -right.heading_sum);
}

TEST_CASE("bins hold every flight once") {
  const LandingCounts counts = fly(full(), {}, 10000);
  std::int64_t headings = 0, angles = 0;
  for (const std::int64_t n : counts.headings) headings += n;
  for (const std::int64_t n : counts.uprightness) angles += n;
  CHECK(headings + counts.without_heading == counts.flights);
  CHECK(angles == counts.flights);
  CHECK(counts.controlled <= counts.heading_met);
  CHECK(counts.controlled <= counts.upright_met);
  CHECK(counts.controlled > 0);
}

TEST_CASE("more spread, fewer controlled") {
  TakeoffSpread wide;
  wide.momentum = 0.12;
  CHECK(fly(full(), wide, 10000).controlled < fly(full(), {}, 10000).controlled);
}
