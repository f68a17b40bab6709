#include <cmath>

#include "format/shape_file.hpp"
#include "plans.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;
using namespace halfturn::test;

namespace {

/// A negated heading, where -180 is written 180.
double mirrored_heading(double heading_deg) {
  return heading_deg == 180 ? 180 : -heading_deg + 0.0;
}

std::string swap_signs(std::string text) {
  for (char& c : text) c = c == '+' ? '-' : c == '-' ? '+' : c;
  return text;
}

}  // namespace

TEST_CASE("law: the right side is the exact mirror of the left") {
  const ShapeBook shapes = embedded_shapes();
  for (const Skill& skill : built_in_vocabulary().skills) {
    for (const double step : {180.0, 77.0}) {
      CAPTURE(skill.name);
      Plan left_plan = plan(skill.name, 1080, step, Side::left);
      left_plan.held_heading_deg = 25;
      Plan right_plan = plan(skill.name, 1080, step, Side::right);
      right_plan.held_heading_deg = -25;
      const Ladder left = ladder(left_plan);
      const Ladder right = ladder(right_plan);
      for (std::size_t k = 0; k < left.rungs.size(); ++k) {
        const Rung& l = left.rungs[k];
        const Rung& r = right.rungs[k];
        CHECK(r.twist_deg == -l.twist_deg);
        CHECK(r.turn_deg == -l.turn_deg);
        CHECK(r.air_turn_deg == -l.air_turn_deg);
        CHECK(r.start.heading_deg == mirrored_heading(l.start.heading_deg));
        CHECK(r.landing.heading_deg == mirrored_heading(l.landing.heading_deg));
        CHECK(*r.landing.contact_heading_deg == mirrored_heading(*l.landing.contact_heading_deg));
        CHECK(r.landing.contact_angle_deg == l.landing.contact_angle_deg);
        CHECK(r.start.stance == swap_signs(swap_sides(l.start.stance)));
        CHECK(r.start.feet == swap_sides(l.start.feet));
        CHECK(r.takeoff_feet == swap_sides(l.takeoff_feet));
        CHECK(r.landing.feet == swap_sides(l.landing.feet));
        CHECK(r.landing.kind == l.landing.kind);
        CHECK(r.floor_walk == swap_signs(swap_sides(l.floor_walk)));
        CHECK(r.name == l.name);
        const Flight left_flight = drawn_flight(l, shapes);
        const Flight right_flight = drawn_flight(r, shapes);
        for (const double share : {0.0, 0.13, 0.5, 0.81, 1.0}) {
          const FlightSample a = left_flight.at(share * left_flight.duration());
          const FlightSample b = right_flight.at(share * right_flight.duration());
          const Quat image = mirrored(a.q_WB);
          CHECK((image.w == b.q_WB.w && image.x == b.q_WB.x && image.y == b.q_WB.y && image.z == b.q_WB.z));
          CHECK(mirrored(a.pose) == b.pose);
          CHECK((b.com_W.x == a.com_W.x && b.com_W.y == a.com_W.y && b.com_W.z == -a.com_W.z));
        }
      }
    }
  }
}

TEST_CASE("law: turning the start heading turns every heading with it") {
  for (const char* base : {"back flip", "aerial", "butterfly"}) {
    const Ladder at_zero = ladder(base, 720, 45);
    Plan turned = plan(base, 720, 45);
    turned.held_heading_deg = 100;
    const Ladder at_100 = ladder(turned);
    for (std::size_t k = 0; k < at_zero.rungs.size(); ++k) {
      CHECK(at_100.rungs[k].landing.heading_deg == wrap_deg(at_zero.rungs[k].landing.heading_deg + 100));
      CHECK(at_100.rungs[k].landing.stance == at_zero.rungs[k].landing.stance);
    }
  }
}

TEST_CASE(
    "law: landing = start + turn and turn = floor + air + foot, exactly, for whole degrees of every step") {
  for (const Skill& skill : built_in_vocabulary().skills) {
    for (int step = 1; step <= 360; step += step < 10 ? 1 : 37) {
      const Ladder made = ladder(skill.name, 1440, step);
      double reached = skill.first_deg;
      for (const Rung& rung : made.rungs) {
        reached += rung.step_deg;
        CHECK(rung.twist_deg == reached);
        CHECK(rung.landing.heading_deg == wrap_deg(rung.start.heading_deg + rung.turn_deg));
        CHECK(rung.floor_turn_deg + rung.air_turn_deg + rung.foot_turn_deg == rung.turn_deg);
        CHECK(rung.landing.heading_deg == std::floor(rung.landing.heading_deg));
      }
      CHECK(reached == 1440);
    }
  }
}

TEST_CASE("law: holding the other end gives the same turns from another place") {
  Plan held = plan("back flip", 720, 90);
  held.hold = "landing";
  held.held_heading_deg = 90;
  const Ladder made = ladder(held);
  for (const Rung& rung : made.rungs) {
    CHECK(rung.landing.heading_deg == 90);
    CHECK(rung.start.heading_deg == wrap_deg(90 - rung.turn_deg));
    if (rung.index > 0) CHECK(rung.walk_turn_deg == -90);
  }
}
