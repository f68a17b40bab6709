#include "ladder/finish.hpp"

#include <algorithm>
#include <memory>

#include "format/shape_file.hpp"
#include "plans.hpp"

using namespace halfturn;

namespace {

FinishPlan finish(const Ladder& ladder, std::size_t rung) {
  const Flight flight = drawn_flight(ladder.rungs[rung], embedded_shapes());
  const Side side = ladder.rungs[rung].side;
  return finish_plan(ladder, rung, flight, landing_sight(human_body(Athlete{}), flight, Gaze::neutral, side));
}

std::vector<const FinishLine*> lines_of(const FinishPlan& plan, FinishPart part) {
  std::vector<const FinishLine*> found;
  for (const FinishLine& line : plan.lines) {
    if (line.part == part) found.push_back(&line);
  }
  return found;
}

bool says(const FinishPlan& plan, FinishPart part, std::string_view words) {
  const auto lines = lines_of(plan, part);
  return std::any_of(lines.begin(), lines.end(),
                     [&](const FinishLine* line) { return line->text.find(words) != std::string::npos; });
}

/// A flight whose twist comes down short of the plan and still turns.
class ShortOfTwist final : public Flight::Maker {
 public:
  explicit ShortOfTwist(Flight whole) : whole_(std::move(whole)) {}
  [[nodiscard]] FlightSample sample(double time) const override {
    FlightSample sample = whole_.at(time);
    sample.angles.twist *= 340.0 / 360.0;
    return sample;
  }

 private:
  Flight whole_;
};

}  // namespace

TEST_CASE("the way the flip carries on landing") {
  // Back 180, front 0, side 90, turned back by the twist.
  CHECK(carry_deg(test::ladder("back flip", 0, 180).rungs[0]) == 180);
  CHECK(carry_deg(test::ladder("back flip", 180, 180).rungs[1]) == 0);
  CHECK(std::abs(carry_deg(test::ladder("front flip", 180, 180).rungs[1])) == 180);
  CHECK(carry_deg(test::ladder("side flip", 0, 180).rungs[0]) == 90);
  CHECK(carry_deg(test::ladder("side flip", 0, 180, Side::right).rungs[0]) == -90);
}

TEST_CASE("a back half to the left, worked by hand") {
  // Start facing the front wall, half left: back wall; a quarter less: left wall; a quarter more: right wall.
  // The flip goes on backward, which is forward for a chest turned half round.
  const FinishPlan plan = finish(test::ladder("back flip", 360, 180), 1);
  CHECK(
      says(plan, FinishPart::in_the_air, "You come down on both feet, facing the back wall, without seeing"));
  CHECK(says(plan, FinishPart::short_turn, "A quarter short, you face the left wall, side on"));
  CHECK(says(plan, FinishPart::long_turn, "A quarter long, you face the right wall, side on"));
  CHECK(says(plan, FinishPart::way_out, "Flipped too far, you fall forward"));
  CHECK(says(plan, FinishPart::way_out, "Not flipped enough, you fall back"));
  CHECK(says(plan, FinishPart::way_out, "Do not turn: stay in the back flip and land facing the front wall"));
  CHECK(says(plan, FinishPart::way_out, "back to the base, the back flip"));
  CHECK(says(plan, FinishPart::mats, "0.5 m behind you"));
  CHECK(says(plan, FinishPart::mats, "on your right: you turn left"));
}

TEST_CASE("the full falls back on the half, and its flip carries backward") {
  const FinishPlan plan = finish(test::ladder("back flip", 360, 180), 2);
  CHECK(says(plan, FinishPart::way_out, "Stop at the back half and land facing the back wall"));
  CHECK(says(plan, FinishPart::way_out, "back to rung 1, the back half"));
  CHECK(says(plan, FinishPart::way_out, "Flipped too far, you fall back"));
  CHECK(says(plan, FinishPart::in_the_air, "keep your eyes on the place where you land"));
  // Lowering an arm of the twisting side turns a backward flip that way (torque-free motion).
  CHECK(says(plan, FinishPart::in_the_air, "Drop your left arm"));
  CHECK(says(finish(test::ladder("front flip", 360, 180), 2), FinishPart::in_the_air, "Drop your right arm"));
}

TEST_CASE("what is left on the feet is read from the flight") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  const Flight whole = drawn_flight(ladder.rungs[2], embedded_shapes());
  CHECK(says(finish_plan(ladder, 2, whole, {}), FinishPart::on_the_feet, "Nothing more to turn"));
  const Flight less(std::make_shared<ShortOfTwist>(whole), Provenance::simulated, whole.duration(),
                    whole.events(), whole.flip_axis_W(), std::nullopt);
  CHECK(says(finish_plan(ladder, 2, less, {}), FinishPart::on_the_feet,
             "About 20 degrees of the turn to go: let your feet finish it to the left"));
  // An aerial turns its last quarter on the foot (common practice).
  CHECK(says(finish(test::ladder("aerial", 0, 90), 0), FinishPart::on_the_feet,
             "Turn the last quarter left on the left foot; you end facing the back wall"));
}

TEST_CASE("the moves of a solved flight are told by arm and moment") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  const Flight with_arms(std::make_shared<ShortOfTwist>(flight), Provenance::simulated, flight.duration(),
                         flight.events(), flight.flip_axis_W(), std::nullopt,
                         {{0.70, false, false}, {0.15, true, true}});
  const FinishPlan plan = finish_plan(ladder, 2, with_arms, {});
  const auto lines = lines_of(plan, FinishPart::in_the_air);
  const auto at = [&](double time) {
    return std::find_if(lines.begin(), lines.end(),
                        [&](const FinishLine* line) { return line->time_s == time; });
  };
  REQUIRE(at(0.15) != lines.end());
  CHECK((*at(0.15))->text == "Bring in your left arm: that starts the turn.");
  REQUIRE(at(0.70) != lines.end());
  // The first arm out is the opening: by the blend of the full (.12 to .85 of 0.90 s, of 340 degrees) 23 of
  // 360 degrees are to go at 0.70 s.
  CHECK((*at(0.70))->text.starts_with("Take out your right arm with about 25 degrees of the turn to go"));
  CHECK(std::none_of(lines.begin(), lines.end(),
                     [](const FinishLine* line) { return line->text.starts_with("Open your arms"); }));
}

TEST_CASE("the way out is decided before the first thing that makes the turn") {
  // Who sees that the jump is low needs 0.2 s to act on it (simple visual reaction).
  int with_a_moment = 0;
  for (const char* base : {"back flip", "front flip", "gainer", "webster", "side flip", "aerial"}) {
    for (const double air : {0.6, 0.8, 1.0, 1.4}) {
      Plan plan = test::plan(base, 540, 90);
      plan.air_time_s = air;
      const Ladder ladder = test::ladder(plan);
      for (std::size_t k = 1; k < ladder.rungs.size(); ++k) {
        CAPTURE(ladder.rungs[k].title);
        const Flight flight = drawn_flight(ladder.rungs[k], embedded_shapes());
        const FinishPlan finish = finish_plan(ladder, k, flight, {});
        double turns = flight.duration();
        for (const FlightEvent& event : flight.events()) {
          if (event.kind == EventKind::arm_drop) turns = std::min(turns, event.time);
        }
        for (int i = 0; i <= 1000; ++i) {
          const double t = flight.duration() * i / 1000;
          if (std::abs(to_deg(flight.at(t).angles.twist)) > 5) turns = std::min(turns, t);
        }
        const auto out = lines_of(finish, FinishPart::way_out);
        REQUIRE_FALSE(out.empty());
        if (!out.front()->time_s) {
          CHECK(out.front()->text.starts_with("Low or slow off the floor?"));
          continue;
        }
        ++with_a_moment;
        CHECK(out.front()->text.starts_with("Not high enough by now?"));
        CHECK(*out.front()->time_s <= turns - 0.199);
      }
    }
  }
  CHECK(with_a_moment > 5);
}

TEST_CASE("a simulated flight's arm decides when the way out is") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  const Flight drawn = drawn_flight(ladder.rungs[1], embedded_shapes());
  const auto with_arm_at = [&](double time) {
    const Flight flight(std::make_shared<ShortOfTwist>(drawn), Provenance::simulated, drawn.duration(), {},
                        drawn.flip_axis_W(), std::nullopt, {{time, true, true}});
    return *lines_of(finish_plan(ladder, 1, flight, {}), FinishPart::way_out).front();
  };
  CHECK_FALSE(with_arm_at(0.05).time_s);
  REQUIRE(with_arm_at(0.31).time_s);
  CHECK(*with_arm_at(0.31).time_s == doctest::Approx(0.11));
}

TEST_CASE("whose flight a finish is read from is said") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  const Flight drawn = drawn_flight(ladder.rungs[1], embedded_shapes());
  CHECK(finish_plan(ladder, 1, drawn, {}).source.find("the drawn flight, 0.85 s long") != std::string::npos);
  const Flight simulated(std::make_shared<ShortOfTwist>(drawn), Provenance::simulated, drawn.duration(), {},
                         drawn.flip_axis_W(), std::nullopt);
  CHECK(finish_plan(ladder, 1, simulated, {}).source.find("a simulated flight of an average adult") !=
        std::string::npos);
  CHECK(finish_plan(ladder, 1, simulated, {}, "Ana").source.find("of Ana,") != std::string::npos);
}

TEST_CASE("lines come by part, then by time, within the flight, in the second person") {
  for (const Skill& skill : built_in_vocabulary().skills) {
    const Ladder ladder = test::ladder(skill.name, skill.first_deg + 360, 90);
    for (const Rung& rung : ladder.rungs) {
      CAPTURE(rung.title);
      const auto k = static_cast<std::size_t>(rung.index);
      const FinishPlan plan = finish(ladder, k);
      const double end = drawn_duration(rung);
      for (std::size_t i = 0; i < plan.lines.size(); ++i) {
        const FinishLine& line = plan.lines[i];
        if (line.time_s) CHECK(*line.time_s >= 0);
        if (line.time_s) CHECK(*line.time_s <= end);
        CHECK(line.text.find('\n') == std::string::npos);
        CHECK(line.text.back() == '.');
        if (i > 0) CHECK(plan.lines[i - 1].part <= line.part);
        if (i > 0 && line.part == FinishPart::in_the_air && plan.lines[i - 1].part == line.part)
          CHECK(*plan.lines[i - 1].time_s <= *line.time_s);
      }
      for (const FinishPart part :
           {FinishPart::in_the_air, FinishPart::on_the_feet, FinishPart::way_out, FinishPart::mats})
        CHECK_FALSE(lines_of(plan, part).empty());
      if (rung.air_turn_deg != 0) CHECK(lines_of(plan, FinishPart::short_turn).size() == 1);
    }
  }
}

TEST_CASE("a right twister reads the mirror image of every line") {
  for (const Skill& skill : built_in_vocabulary().skills) {
    const Ladder left = test::ladder(skill.name, skill.first_deg + 360, 45);
    const Ladder right = test::ladder(skill.name, skill.first_deg + 360, 45, Side::right);
    for (std::size_t k = 0; k < left.rungs.size(); ++k) {
      const FinishPlan one = finish(left, k), other = finish(right, k);
      REQUIRE(one.lines.size() == other.lines.size());
      for (std::size_t i = 0; i < one.lines.size(); ++i) {
        CAPTURE(one.lines[i].text);
        // Times inside the texts are rounded to a hundredth of a second of found edges: words only.
        const auto words = [](std::string text) {
          std::erase_if(text, [](char c) { return c >= '0' && c <= '9'; });
          return text;
        };
        CHECK(words(swap_sides(one.lines[i].text)) == words(other.lines[i].text));
      }
    }
  }
}

TEST_CASE("steps under 30 degrees are not left to the eye") {
  CHECK(says(finish(test::ladder("back flip", 30, 15), 1), FinishPart::mats, "cannot be judged by eye"));
  CHECK_FALSE(
      says(finish(test::ladder("back flip", 90, 45), 1), FinishPart::mats, "cannot be judged by eye"));
}
