#include "session/words.hpp"

#include "rotation/heading.hpp"
#include "sample.hpp"

using namespace halfturn;

// Words as the design of the interface gives them (common practice: a back flip with a half twist lands
// blind).
TEST_CASE("the answer") {
  const Session s = sample_session();
  const AnswerWords half = answer_words(*s.ladder, 2);
  CHECK(half.lead == "lands facing");
  CHECK(half.wall == "back wall");
  CHECK(half.turn == "half left");
  CHECK(half.landing == "lands blind, on two feet");
  CHECK(answer_words(*s.ladder, 0).landing == "sees the floor, on two feet");
  CHECK(answer_words(*s.ladder, 1).wall == "left wall");
  Plan plan = s.plan;
  plan.side = Side::right;
  const Session right = after(s, {ChoosePlan{plan}});
  CHECK(answer_words(*right.ladder, 1).wall == "right wall");
  CHECK(answer_words(*right.ladder, 2).turn == "half right");
}

TEST_CASE("air that is short is said") {
  Plan plan = sample_session().plan;
  plan.air_time_s = 0.5;
  const Session s = after(sample_session(), {ChoosePlan{plan}});
  // The low end of the table: 0.55 s for a back flip, 0.80 s for a full (design.md, section 4).
  CHECK(short_of_air_words(s.ladder->rungs.front()) == "0.05 s of air short");
  CHECK(short_of_air_words(s.ladder->rungs.back()) == "0.30 s of air short");
  // What the simulated flight says of the body that flies comes before what is usual.
  CHECK(short_of_air_words(s.ladder->rungs.back(), AirShown{0.6, 0.02}).empty());
  CHECK(short_of_air_words(sample_session().ladder->rungs.back(), AirShown{0.9, -0.04}) ==
        "0.04 s of air short");
  CHECK(short_of_air_words(sample_session().ladder->rungs.back()).empty());
}

TEST_CASE("progress") {
  CHECK(progress_words(90, 180, Side::left) == "quarter left so far, quarter to go");
  CHECK(progress_words(-90, -180, Side::right) == "quarter right so far, quarter to go");
  CHECK(progress_words(0, 180, Side::left) == "not turned yet, half left to go");
  CHECK(progress_words(180, 180, Side::left) == "half left, all of it");
  CHECK(progress_words(137, 360, Side::left) == "135\u00b0 left so far, 225\u00b0 to go");
  CHECK(progress_words(0, 0, Side::left) == "no turn to make");
  CHECK(progress_words(3, 180, Side::left) == "not turned yet, half left to go");
  CHECK(progress_words(177, 180, Side::left) == "half left, all of it");
  CHECK(progress_words(-2, -3, Side::right) == "2\u00b0 right so far, 1\u00b0 to go");
}

TEST_CASE("the turn so far ends on the landing before the feet turn") {
  const Session s = after(sample_session(), {ChooseBase{"aerial"}});
  const ShapeBook shapes;
  for (const Rung& rung : s.ladder->rungs) {
    const Flight flight = drawn_flight(rung, shapes);
    const double end = chest_heading_deg(rung, flight.at(flight.duration()), flight.duration());
    CHECK(std::abs(wrap_deg(end + rung.foot_turn_deg - rung.landing.heading_deg)) < 1e-9);
  }
}

TEST_CASE("the floor walk in three cards") {
  const WalkWords walk = walk_words(*sample_session().ladder, 2);
  CHECK(walk.caption == "floor walk, back quarter to back half");
  CHECK(walk.title[0] == "Stand as you landed:");
  CHECK(walk.text[0] == "facing the left wall.");
  CHECK(walk.title[1] == "Turn a quarter left,");
  CHECK(walk.text[1] == "the way you twist.");
  CHECK(walk.title[2] == "You face the back wall.");
  CHECK(walk.text[2] == "That is your next landing.");
  CHECK(walk.sum == "From the start it is now a half turn left.");
  CHECK(walk.note == "In the air you do the whole half at once.");
}

TEST_CASE("rates") {
  CHECK(rate_words(1) == "1");
  CHECK(rate_words(0.25) == "1/4");
  CHECK(rate_words(1.0 / 16) == "1/16");
}

// Arithmetic on a clock whose 12 is the start: an hour is 30 degrees, left is back from 12.
TEST_CASE("turns in degrees and on the clock") {
  CHECK(signed_turn_words(180, TurnUnit::degrees) == "180\u00b0 left");
  CHECK(signed_turn_words(-450, TurnUnit::degrees) == "450\u00b0 right");
  CHECK(signed_turn_words(90, TurnUnit::clock) == "left to 9 o'clock");
  CHECK(signed_turn_words(-90, TurnUnit::clock) == "right to 3 o'clock");
  CHECK(signed_turn_words(180, TurnUnit::clock) == "left to 6 o'clock");
  CHECK(signed_turn_words(45, TurnUnit::clock) == "left to 10:30");
  CHECK(signed_turn_words(-15, TurnUnit::clock) == "right to 12:30");
  CHECK(signed_turn_words(360, TurnUnit::clock) == "once round left to 12 o'clock");
  CHECK(signed_turn_words(900, TurnUnit::clock) == "2 times round left to 6 o'clock");
  CHECK(signed_turn_words(17, TurnUnit::clock) == "17 degrees left");
  CHECK(signed_turn_words(0, TurnUnit::clock) == "no turn");
  CHECK(progress_words(93, 180, Side::left, TurnUnit::degrees) == "93\u00b0 of 180\u00b0 left");
  CHECK(progress_words(-93, -180, Side::right, TurnUnit::clock) == "now at 3 o'clock, lands at 6 o'clock");
  CHECK(clock_words(-352.5) == "12 o'clock");
}
