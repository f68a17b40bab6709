// The rule of measuring on flights in closed form: what goes in must come out.
#include <doctest/doctest.h>

#include <cmath>

#include "measure/measures.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using record_maker::back_twist;
using record_maker::drawn;

TEST_CASE("an on-axis back flip has the flip between its phases and the twist of its parameters") {
  // Design section 3: the flip runs linearly from the takeoff phase to 360 less the landing phase.
  for (const double side : {1.0, -1.0}) {
    for (const double twist : {0.0, 90.0, 180.0, 360.0, 540.0, 720.0, 1080.0}) {
      CAPTURE(twist);
      CAPTURE(side);
      DrawnParameters p = back_twist(twist, side);
      p.start_heading_deg = 35;
      const FlightMeasures m = measure_flight(drawn(p, 0.9));
      REQUIRE(m.somersault_deg);
      CHECK(std::abs(*m.somersault_deg - 335) < 1e-6);
      CHECK(std::abs(*m.twist_deg - side * twist) < 1e-6);
      CHECK(std::abs(std::abs(*m.flip_toward_deg) - 180) < 1e-6);
      CHECK(std::abs(m.landing_angle_deg - 15) < 1e-6);
      CHECK(std::abs(m.greatest_tilt_deg) < 1e-6);
      // On-axis the landing faces the start turned by the twist (design section 4, last column of the table).
      CHECK(std::abs(wrap_deg(*m.landing_heading_deg - 35 - side * twist)) < 1e-6);
    }
  }
}

TEST_CASE("a front flip is negative and keeps its twist") {
  DrawnParameters p = back_twist(540);
  p.flip_toward_deg = 0;
  const FlightMeasures m = measure_flight(drawn(p, 0.9));
  CHECK(std::abs(*m.somersault_deg + 335) < 1e-6);
  CHECK(std::abs(*m.twist_deg - 540) < 1e-6);
  CHECK(std::abs(*m.flip_toward_deg) < 1e-6);
}

TEST_CASE("a side flip is a whole somersault without twist") {
  for (const double toward : {90.0, -90.0}) {
    DrawnParameters p = back_twist(0);
    p.flip_toward_deg = toward;
    const FlightMeasures m = measure_flight(drawn(p, 0.6));
    CHECK(std::abs(*m.somersault_deg - 335) < 1e-6);
    CHECK(std::abs(*m.twist_deg) < 1e-6);
    CHECK(std::abs(*m.flip_toward_deg - toward) < 1e-6);
  }
}

TEST_CASE("an upright turn has no somersault and the turn of its parameters") {
  DrawnParameters p;
  p.flips = false;
  p.air_turn_deg = 495;
  p.floor_turn_deg = 225;
  p.lean_deg = p.landing_lean_deg = 12;
  const FlightMeasures m = measure_flight(drawn(p, 0.7));
  CHECK(!m.flips);
  CHECK(!m.flip_toward_deg);
  // The lean is fixed in the world and the same at both ends; the rest of the turn is the twist.
  CHECK(std::abs(*m.twist_deg - 495) < 1e-6);
  CHECK(std::abs(m.landing_angle_deg - 12) < 1e-6);
}

TEST_CASE("the twist begins when the minimum-jerk blend has made a twentieth") {
  // 10 s^3 - 15 s^4 + 6 s^5 = 0.05 at s = 0.189255 (bisection in a calculator); window 0.12 to 0.85.
  const FlightMeasures m = measure_flight(drawn(back_twist(360), 1.0));
  CHECK(std::abs(*m.twist_onset_s - (0.12 + 0.73 * 0.189255)) < 0.001);
}

TEST_CASE("peak rates are those of the closed form") {
  // The blend is steepest in its middle: 1.875 times the mean. The flip runs evenly.
  const FlightMeasures m = measure_flight(drawn(back_twist(360), 0.9));
  CHECK(std::abs(m.peak_twist_rate_deg_s - 1.875 * 360 / (0.73 * 0.9)) < 0.5);
  CHECK(std::abs(m.peak_somersault_rate_deg_s - 335 / 0.9) < 1e-6);
  CHECK(std::abs(m.landing_twist_rate_deg_s) < 1e-9);
}

TEST_CASE("measures mirror exactly in size") {
  for (const double incline : {0.0, 20.0, 32.0}) {
    DrawnParameters left = back_twist(360), right = back_twist(360, -1);
    left.incline_deg = right.incline_deg = incline;
    left.lean_deg = right.lean_deg = 0.7 * incline;
    const FlightMeasures a = measure_flight(drawn(left, 0.8)), b = measure_flight(drawn(right, 0.8));
    CHECK(std::abs(*a.somersault_deg - *b.somersault_deg) < 1e-9);
    CHECK(std::abs(*a.twist_deg + *b.twist_deg) < 1e-9);
    CHECK(std::abs(a.greatest_tilt_deg + b.greatest_tilt_deg) < 1e-9);
    CHECK(std::abs(*a.landing_heading_deg + *b.landing_heading_deg) < 1e-9);
  }
}

TEST_CASE("contact headings of off-axis flights are those of the design's table") {
  // Design section 4: corkscrew 15.45 and -7.09, gainer half 15.54 and 175.59.
  struct Row {
    double twist, incline, lean, landing_lean, angle, heading;
  };
  for (const Row& row : {Row{360, 32, 24, 8, 15.45, -7.09}, Row{180, 20, 14, 6, 15.54, 175.59}}) {
    DrawnParameters p = back_twist(row.twist);
    p.incline_deg = row.incline;
    p.lean_deg = row.lean;
    p.landing_lean_deg = row.landing_lean;
    const FlightMeasures m = measure_flight(drawn(p, 0.75));
    CHECK(std::abs(*m.landing_heading_deg - row.heading) < 0.01);
    CHECK(std::abs(m.landing_angle_deg - row.angle) < 0.01);
  }
}
