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

/// Facts of the drawn flights of all stages.
struct AllFacts {
  explicit AllFacts(const Session& s) {
    for (const ComparedStage& stage : s.stages) {
      flights.push_back(drawn_flight(stage.now(), embedded_shapes()));
      kept.push_back(coaching_of(*stage.ladder, stage.rung, flights.back()).facts);
    }
    for (std::size_t i = 0; i < kept.size(); ++i) stages.push_back({s.stages[i].now(), kept[i]});
  }
  std::vector<Flight> flights;
  std::vector<FlightFacts> kept;
  std::vector<StageFacts> stages;
};

const Rung& second(const Session& s) {
  REQUIRE(s.stages.size() > 1);
  return s.stages[1].now();
}

std::string row(const std::vector<CompareRow>& rows, const std::string& caption, bool first) {
  const auto found =
      std::find_if(rows.begin(), rows.end(), [&](const CompareRow& r) { return r.caption == caption; });
  REQUIRE(found != rows.end());
  return found->values[first ? 0 : 1];
}

}  // namespace

// Names, axes and leans: the table of drawn flights in design.md, section 4.
TEST_CASE("a full is put beside the corkscrew, and back") {
  Session s = after(session_on("back flip", 360, 180), {ChooseRung{2}, Compare{pair_of(Pairing::axes)}});
  CHECK(s.rung_now().title == "full");
  CHECK(second(s).title == "corkscrew");
  CHECK(second(s).values.incline_deg == 32);
  const AllFacts facts(s);
  const CompareWords words = compare_words(facts.stages, s.plan.walls);
  CHECK(words.lead == "both land facing");
  CHECK(words.wall == "front wall");
  CHECK(words.differs == "differs: axis, takeoff, 0.10 s of air");
  CHECK(stage_words(s.rung_now()) == "on-axis, off two feet");
  CHECK(stage_words(second(s)) == "off-axis, off the left foot");
  const std::vector<CompareRow> table = compare_table(facts.stages, s.plan.walls);
  CHECK(table.size() == 8);
  CHECK(row(table, "most tilt", true) == "0\u00b0");
  CHECK(row(table, "most tilt", false) == "24\u00b0");
  CHECK(row(table, "air time", true) == "0.90 s");
  CHECK(row(table, "momentum |H|", false) == "not simulated");
  // The pair follows the climb, and the plan itself was never touched.
  s = after(std::move(s), {ChooseRung{1}});
  CHECK(s.stages[1].rung == 1);
  CHECK(second(s).title == "gainer half");
  CHECK(s.history.undo.empty());
  s = after(std::move(s), {Compare{std::nullopt}});
  CHECK(s.stages.empty());
}

TEST_CASE("left and right, the next rung, and any rung") {
  Session s = after(sample_session(), {ChooseRung{1}, Compare{pair_of(Pairing::sides)}});
  CHECK(second(s).side == Side::right);
  CHECK(second(s).landing.heading_deg == -90);
  const AllFacts facts(s);
  const CompareWords words = compare_words(facts.stages, s.plan.walls);
  CHECK(words.lead == "they land facing");
  CHECK(words.wall == "left wall and right wall");
  CHECK(words.differs == "differs: side");
  s = after(std::move(s), {Compare{pair_of(Pairing::next)}});
  CHECK(s.stages[1].rung == 2);
  CHECK(s.stages[1].ladder == s.ladder);
  s = after(std::move(s), {ChooseRung{4}});
  CHECK(s.stages[1].rung == 3);  // nothing is above the target
  Comparison any = pair_of(Pairing::rung);
  any.beside[0].rung = 0;
  s = after(std::move(s), {Compare{any}});
  CHECK(s.stages[1].rung == 0);
  // A change of the plan changes the pair with it.
  s = after(std::move(s), {Compare{pair_of(Pairing::sides)}, ChooseTarget{180}});
  CHECK(s.stages[1].ladder->rungs.size() == s.ladder->rungs.size());
}

// Of a kick of 540 the turn in the air is 315, of a 360 it is 225, of a 720 it is 495 (design.md, section 4).
TEST_CASE("the forms of a kick: lighter and heavier by a half turn, from the other stance") {
  Session s = after(session_on("cheat kick", 540, 180), {ChooseRung{1}, Compare{pair_of(Pairing::forms)}});
  const Rung& own = s.rung_now();
  CHECK(own.turn_deg == 540);
  CHECK(own.air_turn_deg == 315);
  const Rung lighter = second(s);
  CHECK(lighter.turn_deg == 360);
  CHECK(lighter.air_turn_deg == 225);
  CHECK(lighter.floor_turn_deg == 135);
  CHECK(lighter.landing.heading_deg == own.landing.heading_deg);
  CHECK(lighter.start.stance != own.start.stance);
  const Flight flight = drawn_flight(lighter, embedded_shapes());
  CHECK(to_deg(flight.at(flight.duration()).angles.twist) == doctest::Approx(225));
  Comparison heavier = pair_of(Pairing::forms);
  heavier.beside[0].form = 2;
  s = after(std::move(s), {Compare{heavier}});
  CHECK(second(s).turn_deg == 720);
  CHECK(second(s).air_turn_deg == 495);
}

TEST_CASE("a pair that does not exist is refused in words") {
  Session s = after(session_on("trampoline back", 360, 180), {Compare{pair_of(Pairing::axes)}});
  CHECK_FALSE(s.look.comparison);
  CHECK(s.notice_is_problem);
  CHECK(s.notice.find("one leg") != std::string::npos);
  s = after(std::move(s), {Compare{pair_of(Pairing::forms)}});
  CHECK_FALSE(s.look.comparison);
  // What was shown before stays.
  s = after(std::move(s), {Compare{pair_of(Pairing::next)}, Compare{pair_of(Pairing::axes)}});
  REQUIRE(s.look.comparison);
  CHECK(s.look.comparison->beside[0].pairing == Pairing::next);
}

TEST_CASE("two cursors: by time, by share, by flip angle") {
  Session s = after(session_on("back flip", 360, 180), {ChooseRung{2}, Compare{pair_of(Pairing::axes)}});
  const Flight full = drawn_flight(s.rung_now(), embedded_shapes());
  const Flight cork = drawn_flight(second(s), embedded_shapes());
  const std::vector<Flight> both{full, cork}, swapped{cork, full};
  REQUIRE(full.duration() > cork.duration());
  s = after(std::move(s), {Seek{0.45}});
  CHECK(compared_times(s, both)[0] == 0.45);
  CHECK(compared_times(s, both)[1] == doctest::Approx(0.45 * cork.duration() / full.duration()));
  Comparison by_time = *s.look.comparison;
  by_time.lock = Lock::time;
  s = after(std::move(s), {Compare{by_time}});
  CHECK(compared_times(s, both)[1] == 0.45);
  CHECK(compared_duration(by_time, both) == full.duration());
  CHECK(compared_duration(by_time, swapped) == full.duration());
  Comparison by_flip = by_time;
  by_flip.lock = Lock::flip_angle;
  s = after(std::move(s), {Compare{by_flip}});
  CHECK(cork.at(compared_times(s, both)[1]).angles.flip ==
        doctest::Approx(full.at(0.45).angles.flip).epsilon(1e-9));
}

TEST_CASE("a comparison and the wall reopen as they were left") {
  Comparison comparison = pair_of(Pairing::sides);
  comparison.lock = Lock::flip_angle;
  comparison.table = true;
  comparison.overlaid = true;
  comparison.source = FlightSource::drawn;
  comparison.beside.push_back({.pairing = Pairing::rung,
                               .rung = 1,
                               .base = "gainer",
                               .side = Side::right,
                               .source = FlightSource::drawn});
  for (const Edit& edit : {Edit(Compare{comparison}), Edit(ShowWall{true})}) {
    const Session s = after(sample_session(), {ChooseRung{2}, edit});
    const Result<PlanFile> file = read_plan(write_plan(plan_file(s)), "plan.json");
    REQUIRE(file);
    const Result<Session> again = open_session(*file, "plan.json", library(), s.settings);
    REQUIRE(again);
    CHECK(again->look == s.look);
    CHECK(again->stages.size() == s.stages.size());
  }
}

TEST_CASE("a comparison of two stages as it was written first is still read") {
  Session s = sample_session();
  restore_view(
      s,
      Json::parse(R"({"beside": {"pair": "sides", "lock": "time", "rung": 0, "form": 1, "table": true}})"));
  REQUIRE(s.look.comparison);
  CHECK(s.look.comparison->beside.size() == 1);
  CHECK(s.look.comparison->beside[0].pairing == Pairing::sides);
  CHECK(s.look.comparison->lock == Lock::time);
  CHECK(s.look.comparison->table);
}

TEST_CASE("up to four stages, each of something not shown yet; taken away one by one") {
  Session s = after(sample_session(), {ChooseRung{2}, AddStage{}});
  CHECK(s.stages.size() == 2);
  s = after(std::move(s), {AddStage{}, AddStage{}});
  REQUIRE(s.stages.size() == 4);
  for (std::size_t i = 0; i < 4; ++i) {
    for (std::size_t k = 0; k < i; ++k)
      CHECK_FALSE(
          (s.stages[i].rung == s.stages[k].rung && s.stages[i].ladder->plan == s.stages[k].ladder->plan));
  }
  s = after(std::move(s), {AddStage{}});
  CHECK(s.stages.size() == 4);
  CHECK(s.notice == "4 stages are the most");
  const std::string third = s.stages[3].now().title;
  s = after(std::move(s), {DropStage{2}});
  REQUIRE(s.stages.size() == 3);
  CHECK(s.stages[2].now().title == third);
  s = after(std::move(s), {DropStage{2}, DropStage{1}});
  CHECK_FALSE(s.look.comparison);
}

TEST_CASE("a stage shows any rung of any base, takeoff and side, drawn or simulated") {
  Session s = after(sample_session(), {ChooseRung{4}, Compare{pair_of(Pairing::next)}, PickStage{1}});
  CHECK(s.sheet == Sheet::stage);
  StageChoice choice{.pairing = Pairing::rung, .rung = 2, .base = "gainer", .side = Side::right};
  choice.source = FlightSource::drawn;
  s = after(std::move(s), {ChangeStage{1, choice}});
  CHECK(s.sheet == Sheet::stage);
  CHECK(second(s).title == "gainer half");
  CHECK(second(s).side == Side::right);
  CHECK(s.stages[1].source == FlightSource::drawn);
  choice.base.clear();
  choice.takeoff = "one leg swinging through";
  choice.rung.reset();
  s = after(std::move(s), {ChangeStage{1, choice}});
  CHECK(second(s).title == "corkscrew");
  // A chosen rung stays while the climb goes on, an open one follows it.
  s = after(std::move(s), {ChooseRung{2}});
  CHECK(second(s).title == "gainer half");
  choice.base = "no such skill";
  s = after(std::move(s), {ChangeStage{1, choice}});
  CHECK(s.notice_is_problem);
  CHECK(second(s).title == "gainer half");
  s = after(std::move(s), {ChangeStage{0, {.source = FlightSource::drawn}}});
  CHECK(s.stages[0].source == FlightSource::drawn);
}

// Headings by hand: quarters to the left from the front wall.
TEST_CASE("the words over three stages name every wall once, and the names tell them apart") {
  Comparison three = pair_of(Pairing::rung);
  three.beside[0].rung = 1;  // back quarter: left wall
  three.beside.push_back({.pairing = Pairing::sides});
  const Session s = after(sample_session(), {ChooseRung{2}, Compare{three}});
  const AllFacts facts(s);
  const CompareWords words = compare_words(facts.stages, s.plan.walls);
  CHECK(words.lead == "they land facing");
  CHECK(words.wall == "back wall and left wall");
  CHECK_FALSE(words.same_wall);
  CHECK(words.differs.find("side") != std::string::npos);
  CHECK(words.differs.find("quarter of turn") != std::string::npos);
  CHECK(stage_name(0, s.stages) == s.rung_now().title + ", left");
  CHECK(stage_name(1, s.stages) == "back quarter");
  CHECK(stage_name(2, s.stages) == s.rung_now().title + ", right");
  const std::vector<CompareRow> table = compare_table(facts.stages, s.plan.walls);
  for (const CompareRow& line : table) CHECK(line.values.size() == 3);
  CHECK(table[0].differs());
}

TEST_CASE("asked for once more a pair ends; of three forms the other comes first") {
  Session s = after(session_on("cheat kick", 540, 180), {ChooseRung{1}});
  std::optional<Comparison> pressed = toggled_pair(s, Pairing::forms);
  REQUIRE(pressed);
  s = after(std::move(s), {Compare{pressed}});
  pressed = toggled_pair(s, Pairing::forms);
  REQUIRE(pressed);
  CHECK(pressed->beside[0].form == 2);
  s = after(std::move(s), {Compare{pressed}});
  CHECK_FALSE(toggled_pair(s, Pairing::forms));
  CHECK(toggled_pair(s, Pairing::sides)->beside[0].pairing == Pairing::sides);
}
