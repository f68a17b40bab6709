#include "sample.hpp"
#include "session/words.hpp"

using namespace halfturn;

// Back flip to a full in quarters: 90, 90, 90, 90; every split by hand.
TEST_CASE("a step is split into 45, 30 or any number of degrees, and back by undo") {
  Session s = after(sample_session(), {SplitStep{2, 30}});
  CHECK(steps_of(s) == std::vector<double>{90, 30, 30, 30, 90, 90});
  s = after(std::move(s), {Undo{}, SplitStep{2, 45}});
  CHECK(steps_of(s) == std::vector<double>{90, 45, 45, 90, 90});
  s = after(std::move(s), {Undo{}, SplitStep{4, 40}});
  CHECK(steps_of(s) == std::vector<double>{90, 90, 90, 40, 40, 10});
  CHECK(s.ladder->rungs.back().twist_deg == 360);
  s = after(std::move(s), {Undo{}});
  CHECK(steps_of(s) == std::vector<double>{90, 90, 90, 90});
}

TEST_CASE("the climb keeps its place when a step below is removed") {
  // Unlike steps, so that every rung has another twist: 90, 180, 360, 405 of a back flip.
  PlanFile file;
  file.plan.base = "back flip";
  for (const double step : {90.0, 90.0, 180.0, 45.0}) file.plan.steps.emplace_back().twist_deg = step;
  Result<Session> opened = open_session(file, "", library(), {});
  REQUIRE(opened);
  const Session s = after(std::move(opened).value(), {ChooseRung{3}});
  // The rung two above the removed step is one place further down; what is looked at is still the third step.
  const Session above = after(s, {RemoveStep{1}});
  CHECK(above.rung == 2);
  CHECK(above.rung_now().twist_deg == 270);
  // Below the removed step nothing moves; at the removed step the next one takes its place.
  CHECK(after(s, {RemoveStep{4}}).rung == 3);
  CHECK(after(s, {RemoveStep{3}}).rung == 3);
  // At the top the place below is all there is.
  CHECK(after(s, {ChooseRung{4}, RemoveStep{1}}).rung == 3);
}

TEST_CASE("the climb keeps its place when a step below is split, and the last part keeps what else changes") {
  PlanFile file;
  file.plan.base = "back flip";
  file.plan.steps = equal_steps(0, 360, 180);
  file.plan.steps[0].cue = "tall first";
  file.plan.steps[1].takeoff = "one leg swinging through";
  Result<Session> opened = open_session(file, "", library(), {});
  REQUIRE(opened);
  Session s = after(std::move(opened).value(), {ChooseRung{2}});
  const std::string title = s.rung_now().title;
  s = after(std::move(s), {SplitStep{1, 60}});
  CHECK(steps_of(s) == std::vector<double>{60, 60, 60, 180});
  CHECK(s.rung == 4);
  CHECK(s.rung_now().title == title);
  CHECK(s.plan.steps[2].cue == "tall first");
  CHECK(s.plan.steps[0].cue.empty());
  s = after(std::move(s), {SplitStep{4, 100}});
  CHECK(steps_of(s) == std::vector<double>{60, 60, 60, 100, 80});
  CHECK_FALSE(s.plan.steps[3].takeoff.has_value());
  CHECK(s.plan.steps[4].takeoff.has_value());
}

TEST_CASE("a split that is none is refused in words") {
  Session s = after(sample_session(), {SplitStep{1, 90}});
  CHECK(steps_of(s).size() == 4);
  CHECK(s.notice_is_problem);
  CHECK(s.history.undo.empty());
}

TEST_CASE("two parts that change at once are warned of as soon as they do") {
  Plan plan = sample_session().plan;
  plan.steps[1].takeoff = "one leg swinging through";
  Session s = after(sample_session(), {ChoosePlan{plan}});
  CHECK(s.notice_is_problem);
  CHECK(s.notice.find("2 parts change at once: twist, takeoff") != std::string::npos);
  // Said once, not with every change after it.
  s = after(std::move(s), {WriteCue{1, "eyes on the front wall"}});
  CHECK(s.notice.empty());
  CHECK(s.ladder->rungs[1].cue == "eyes on the front wall");
  s = after(std::move(s), {WriteCue{0, "stand it"}});
  CHECK(s.ladder->rungs[0].cue == "stand it");
  s = after(std::move(s), {Undo{}, Undo{}});
  CHECK(s.ladder->rungs[1].cue.empty());
}

TEST_CASE("the floor walk plays card after card up to the target, turning by the step of each rung") {
  Session s = after(sample_session(), {ChooseRung{3}, ShowSheet{Sheet::walk}, Play{true}});
  CHECK(s.walk_card == 0);
  CHECK(walked_deg(s) == 0);
  const auto wait = [&](double seconds) {
    for (double t = 0; t < seconds - 1e-9; t += 0.1) s = after(std::move(s), {Tick{0.1}});
  };
  const double flown = s.playback.t;
  for (int k = 0; k < 30 && s.walk_card == 0; ++k) wait(0.1);
  CHECK(s.walk_card == 1);
  // Half of the time makes half of the turn: a minimum-jerk blend is symmetric (Flash & Hogan 1985).
  wait(walk_change / 2);
  CHECK(walked_deg(s) == doctest::Approx(45));
  wait(walk_change);
  CHECK(walked_deg(s) == doctest::Approx(90));
  wait(2 * walk_card_time);
  CHECK(s.rung == 4);
  CHECK(s.playback.t / s.duration == doctest::Approx(flown / s.duration));
  wait(5 * walk_card_time);
  CHECK(s.rung == 4);
  CHECK(s.walk_card == 2);
  CHECK_FALSE(s.playback.playing);
}
