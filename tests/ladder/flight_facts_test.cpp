#include "ladder/flight_facts.hpp"

#include <cmath>

#include "format/shape_file.hpp"
#include "plans.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;

namespace {

struct Flown {
  Ladder ladder;
  Flight flight;
  [[nodiscard]] const Rung& rung() const { return ladder.rungs.back(); }
};

Flown flown(const char* base, double to_deg) {
  Ladder ladder = test::ladder(base, to_deg, 180);
  Flight flight = drawn_flight(ladder.rungs.back(), embedded_shapes());
  return {std::move(ladder), std::move(flight)};
}

}  // namespace

TEST_CASE("facts of drawn flights in closed form") {
  // Back flip: the flip runs evenly from 10 to 340 degrees, upside down between 90 and 270.
  const Flown back = flown("back flip", 0);
  const FlightFacts flip = flight_facts(back.rung(), back.flight, {});
  CHECK(flip.air_time_s == drawn_duration(back.rung()));
  CHECK(flip.upside_down_s == doctest::Approx(flip.air_time_s * 180.0 / 330.0).epsilon(1e-4));
  CHECK(flip.peak_twist_rate_deg_s == doctest::Approx(0).epsilon(1e-9));
  CHECK(flip.greatest_lean_deg == 0);
  CHECK_FALSE(flip.momentum.has_value());
  // Full: a minimum-jerk blend is fastest half way, at 15/8 of its mean rate; on-axis the flip turns square
  // to the long axis and adds nothing.
  const Flown full = flown("back flip", 360);
  const FlightFacts twist = flight_facts(full.rung(), full.flight, {{0.1, 0.3}, {0.5, 0.85}});
  const double window = (0.85 - 0.12) * twist.air_time_s;
  CHECK(twist.peak_twist_rate_deg_s == doctest::Approx(15.0 / 8.0 * 360 / window).epsilon(1e-4));
  CHECK(twist.turn_left_at_landing_deg == doctest::Approx(0).epsilon(1e-9));
  CHECK(twist.floor_seen_from_s == 0.5);
  // A corkscrew leans 24 degrees; an aerial leaves a quarter for the foot.
  const Flown cork = flown("gainer", 360);
  CHECK(flight_facts(cork.rung(), cork.flight, {}).greatest_lean_deg == doctest::Approx(24));
  const Flown aerial = flown("aerial", 0);
  CHECK(flight_facts(aerial.rung(), aerial.flight, {}).turn_left_at_landing_deg == doctest::Approx(90));
}

TEST_CASE("stages are locked by time, by share and by flip angle") {
  const Flown full = flown("back flip", 360), cork = flown("gainer", 360), front = flown("front flip", 0);
  const double a = full.flight.duration(), b = cork.flight.duration();
  REQUIRE(a > b);
  CHECK(locked_time(0.4, full.flight, cork.flight, Lock::time) == 0.4);
  CHECK(locked_time(a, full.flight, cork.flight, Lock::time) == b);
  CHECK(locked_time(0.25 * a, full.flight, cork.flight, Lock::share) == doctest::Approx(0.25 * b));
  for (const double share : {0.0, 0.13, 0.5, 0.77, 1.0}) {
    const double t = share * a;
    const double there = locked_time(t, full.flight, cork.flight, Lock::flip_angle);
    // Both flips run evenly from 10 degrees to 345: the same share is the same angle.
    CHECK(there == doctest::Approx(share * b).epsilon(1e-9));
    // A front flip ends at 340: 10 + u 330 = 10 + share 335.
    const double u = std::min(1.0, share * 335.0 / 330.0);
    CHECK(locked_time(t, full.flight, front.flight, Lock::flip_angle) ==
          doctest::Approx(u * front.flight.duration()).epsilon(1e-9));
  }
}

TEST_CASE("a lock there and back again is the same moment, whatever the lock") {
  const Flown one = flown("gainer", 180), other = flown("back flip", 360);
  for (const Lock lock : {Lock::share, Lock::flip_angle}) {
    for (int k = 1; k < 20; ++k) {
      const double t = one.flight.duration() * k / 20;
      const double there = locked_time(t, one.flight, other.flight, lock);
      CHECK(locked_time(there, other.flight, one.flight, lock) == doctest::Approx(t).epsilon(1e-9));
    }
  }
  // Without a flip there is no angle to go by: the share is taken.
  const Flown jump = flown("straight jump", 360);
  CHECK(locked_time(0.3, one.flight, jump.flight, Lock::flip_angle) ==
        doctest::Approx(0.3 / one.flight.duration() * jump.flight.duration()));
}
