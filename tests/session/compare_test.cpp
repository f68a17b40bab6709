#include <algorithm>

#include "format/shape_file.hpp"
#include "sample.hpp"

using namespace halfturn;

namespace {

Session session_on(const std::string& base, double to_deg, double step_deg) {
  PlanFile file;
  file.plan.base = base;
  const Skill* skill = library().vocabulary.find(base);
  REQUIRE(skill != nullptr);
  file.plan.steps = equal_steps(first_deg(file.plan, *skill), to_deg, step_deg);
  file.view = Json::object();
  Result<Session> session = open_session(file, "", library(), {});
  REQUIRE(session);
  return std::move(session).value();
}

Comparison beside(Pairing pairing) {
  Comparison comparison;
  comparison.pairing = pairing;
  return comparison;
}

FlightFacts facts_of(const Ladder& ladder, std::size_t rung) {
  return coaching_of(ladder, rung, drawn_flight(ladder.rungs[rung], embedded_shapes())).facts;
}

std::string row(const std::vector<CompareRow>& rows, const std::string& caption, bool first) {
  const auto found =
      std::find_if(rows.begin(), rows.end(), [&](const CompareRow& r) { return r.caption == caption; });
  REQUIRE(found != rows.end());
  return first ? found->first : found->second;
}

}  // namespace

// Names, axes and leans: the table of drawn flights in design.md, section 4.
TEST_CASE("a full is put beside the corkscrew, and back") {
  Session s = after(session_on("back flip", 360, 180), {ChooseRung{2}, Compare{beside(Pairing::axes)}});
  REQUIRE(s.partner.ladder);
  CHECK(s.rung_now().title == "full");
  CHECK(s.partner.now().title == "corkscrew");
  CHECK(s.partner.now().values.incline_deg == 32);
  const FlightFacts full = facts_of(*s.ladder, 2), cork = facts_of(*s.partner.ladder, 2);
  const CompareWords words = compare_words(s.rung_now(), full, s.partner.now(), cork, s.plan.walls);
  CHECK(words.lead == "both land facing");
  CHECK(words.wall == "front wall");
  CHECK(words.differs == "differs: axis, takeoff, 0.10 s of air");
  CHECK(stage_words(s.rung_now()) == "on-axis, off two feet");
  CHECK(stage_words(s.partner.now()) == "off-axis, off the left foot");
  const std::vector<CompareRow> table =
      compare_table(s.rung_now(), full, s.partner.now(), cork, s.plan.walls);
  CHECK(table.size() == 8);
  CHECK(row(table, "most tilt", true) == "0\u00b0");
  CHECK(row(table, "most tilt", false) == "24\u00b0");
  CHECK(row(table, "air time", true) == "0.90 s");
  CHECK(row(table, "momentum |H|", false) == "not simulated");
  // The pair follows the climb, and the plan itself was never touched.
  s = after(std::move(s), {ChooseRung{1}});
  CHECK(s.partner.rung == 1);
  CHECK(s.partner.now().title == "gainer half");
  CHECK(s.history.undo.empty());
  s = after(std::move(s), {Compare{std::nullopt}});
  CHECK_FALSE(s.partner.ladder);
}

TEST_CASE("left and right, the next rung, and any rung") {
  Session s = after(sample_session(), {ChooseRung{1}, Compare{beside(Pairing::sides)}});
  CHECK(s.partner.now().side == Side::right);
  CHECK(s.partner.now().landing.heading_deg == -90);
  const CompareWords words = compare_words(s.rung_now(), facts_of(*s.ladder, 1), s.partner.now(),
                                           facts_of(*s.partner.ladder, 1), s.plan.walls);
  CHECK(words.lead == "they land facing");
  CHECK(words.wall == "left wall and right wall");
  CHECK(words.differs == "differs: side");
  s = after(std::move(s), {Compare{beside(Pairing::next)}});
  CHECK(s.partner.rung == 2);
  CHECK(s.partner.ladder == s.ladder);
  s = after(std::move(s), {ChooseRung{4}});
  CHECK(s.partner.rung == 3);  // nothing is above the target
  Comparison any = beside(Pairing::rung);
  any.rung = 0;
  s = after(std::move(s), {Compare{any}});
  CHECK(s.partner.rung == 0);
  // A change of the plan changes the pair with it.
  s = after(std::move(s), {Compare{beside(Pairing::sides)}, ChooseTarget{180}});
  CHECK(s.partner.ladder->rungs.size() == s.ladder->rungs.size());
}

// Of a kick of 540 the turn in the air is 315, of a 360 it is 225, of a 720 it is 495 (design.md, section 4).
TEST_CASE("the forms of a kick: lighter and heavier by a half turn, from the other stance") {
  Session s = after(session_on("cheat kick", 540, 180), {ChooseRung{1}, Compare{beside(Pairing::forms)}});
  REQUIRE(s.partner.ladder);
  const Rung& own = s.rung_now();
  CHECK(own.turn_deg == 540);
  CHECK(own.air_turn_deg == 315);
  const Rung lighter = s.partner.now();
  CHECK(lighter.turn_deg == 360);
  CHECK(lighter.air_turn_deg == 225);
  CHECK(lighter.floor_turn_deg == 135);
  CHECK(lighter.landing.heading_deg == own.landing.heading_deg);
  CHECK(lighter.start.stance != own.start.stance);
  const Flight flight = drawn_flight(lighter, embedded_shapes());
  CHECK(to_deg(flight.at(flight.duration()).angles.twist) == doctest::Approx(225));
  Comparison heavier = beside(Pairing::forms);
  heavier.form = 2;
  s = after(std::move(s), {Compare{heavier}});
  CHECK(s.partner.now().turn_deg == 720);
  CHECK(s.partner.now().air_turn_deg == 495);
}

TEST_CASE("a pair that does not exist is refused in words") {
  Session s = after(session_on("trampoline back", 360, 180), {Compare{beside(Pairing::axes)}});
  CHECK_FALSE(s.look.comparison);
  CHECK(s.notice_is_problem);
  CHECK(s.notice.find("one leg") != std::string::npos);
  s = after(std::move(s), {Compare{beside(Pairing::forms)}});
  CHECK_FALSE(s.look.comparison);
  // What was shown before stays.
  s = after(std::move(s), {Compare{beside(Pairing::next)}, Compare{beside(Pairing::axes)}});
  REQUIRE(s.look.comparison);
  CHECK(s.look.comparison->pairing == Pairing::next);
}

TEST_CASE("two cursors: by time, by share, by flip angle") {
  Session s = after(session_on("back flip", 360, 180), {ChooseRung{2}, Compare{beside(Pairing::axes)}});
  const Flight full = drawn_flight(s.rung_now(), embedded_shapes());
  const Flight cork = drawn_flight(s.partner.now(), embedded_shapes());
  REQUIRE(full.duration() > cork.duration());
  s = after(std::move(s), {Seek{0.45}});
  CHECK(compared_times(s, full, cork)[0] == 0.45);
  CHECK(compared_times(s, full, cork)[1] == doctest::Approx(0.45 * cork.duration() / full.duration()));
  Comparison by_time = *s.look.comparison;
  by_time.lock = Lock::time;
  s = after(std::move(s), {Compare{by_time}});
  CHECK(compared_times(s, full, cork)[1] == 0.45);
  CHECK(compared_duration(by_time, full, cork) == full.duration());
  CHECK(compared_duration(by_time, cork, full) == full.duration());
  Comparison by_flip = by_time;
  by_flip.lock = Lock::flip_angle;
  s = after(std::move(s), {Compare{by_flip}});
  CHECK(cork.at(compared_times(s, full, cork)[1]).angles.flip ==
        doctest::Approx(full.at(0.45).angles.flip).epsilon(1e-9));
}

TEST_CASE("a comparison and the wall reopen as they were left") {
  Comparison comparison = beside(Pairing::sides);
  comparison.lock = Lock::flip_angle;
  comparison.table = false;
  for (const Edit& edit : {Edit(Compare{comparison}), Edit(ShowWall{true})}) {
    const Session s = after(sample_session(), {ChooseRung{2}, edit});
    const Result<PlanFile> file = read_plan(write_plan(plan_file(s)), "plan.json");
    REQUIRE(file);
    const Result<Session> again = open_session(*file, "plan.json", library(), s.settings);
    REQUIRE(again);
    CHECK(again->look == s.look);
    CHECK((again->partner.ladder != nullptr) == (s.partner.ladder != nullptr));
  }
}
