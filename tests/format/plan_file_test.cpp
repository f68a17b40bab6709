#include "format/plan_file.hpp"

#include <doctest/doctest.h>

#include "format/ladder_json.hpp"
#include "format/vocabulary_file.hpp"

using namespace halfturn;

namespace {

std::string complaint(const std::string& text) {
  const Result<PlanFile> plan = read_plan(text, "plan.json");
  return plan.ok() ? "read" : plan.problem().message();
}

std::string with(const std::string& more) {
  return R"({"format":"halfturn-plan","version":1,"base":"back flip","rungs":[{},{"step_deg":180}])" + more +
         "}";
}

}  // namespace

TEST_CASE("a plan comes back as it was written, byte for byte") {
  PlanFile file;
  file.plan.title = "quotes \" and \\ and \xC3\xBC";
  file.plan.base = "gainer";
  file.plan.side = Side::right;
  file.plan.from_deg = 90;
  file.plan.hold = "landing";
  file.plan.held_heading_deg = -0.1;
  file.plan.mark_deg = 33.25;
  file.plan.timing = "early";
  file.plan.takeoff = "both feet";
  file.plan.setup = "run";
  file.plan.surface = "grass";
  file.plan.shape = "tuck";
  file.plan.floor_turn_deg = 10;
  file.plan.foot_turn_deg = 20;
  file.plan.incline_deg = 1.0 / 3.0;
  file.plan.lean_deg = 5;
  file.plan.kick_leg = "left";
  file.plan.air_time_s = 0.72;
  file.plan.cycle = "2005";
  file.plan.base_cue = "tall";
  file.plan.athlete = "Noor";
  file.plan.walls.back = "the windows";
  file.plan.gate = {2, 20, 0.25, 30, 45, 3, 1, 20};
  file.plan.steps = {{.twist_deg = 90, .cue = "look"},
                     {.takeoff = "step", .setup = "hop", .shape = "straight", .surface = "mat"}};
  file.plan.chain = {{.link = "roundoff"}, {.skill = "back flip", .twist_deg = 180, .side = Side::left}};
  file.view = Json{{"rung", 1}};
  const std::string text = write_plan(file);
  const Result<PlanFile> again = read_plan(text, "plan.json");
  REQUIRE_MESSAGE(again.ok(), complaint(text));
  CHECK(again->plan == file.plan);
  CHECK(write_plan(*again) == text);
}

TEST_CASE("the demo plan reads and makes a ladder") {
  CHECK(make_ladder(demo_plan().plan, built_in_vocabulary(), built_in_difficulty()).ok());
}

TEST_CASE("a bad plan is refused with file, key path and what would be right") {
  CHECK(complaint(with("")) == "read");
  CHECK(complaint("") == "plan.json: is empty, JSON is needed");
  CHECK(complaint(with("").substr(0, 40)).starts_with("plan.json: line 1, column 4"));
  CHECK(complaint("[1]") == "plan.json: an object { } is needed here");
  CHECK(complaint("{\n  \"format\": \"halfturn-plan\",\n  oops\n}") ==
        "plan.json: line 3, column 3: is not valid JSON here");
  CHECK(complaint(R"({"format":"halfturn-plan","version":2})") ==
        "plan.json: version: is 2, made by a newer halfturn; this one reads version 1");
  CHECK(complaint(R"({"format":"other","version":1})") ==
        "plan.json: format: is \"other\", must be \"halfturn-plan\"");
  CHECK(complaint(with(R"(,"sied":"left")")).starts_with("plan.json: unknown key \"sied\"; known are "));
  CHECK(complaint(with(R"(,"note_to_self":"fine")")) == "read");
  CHECK(complaint(with(R"(,"side":"middle")")) ==
        "plan.json: side: is \"middle\", must be one of: left, right");
  CHECK(complaint(with(R"(,"mark_deg":"ten")")) == "plan.json: mark_deg: a number is needed here");
  CHECK(complaint(with(R"(,"mark_deg":1e999)")).starts_with("plan.json: "));
  CHECK(complaint(with(R"(,"mark_deg":NaN)")).starts_with("plan.json: line 1"));
  CHECK(
      complaint(
          R"({"format":"halfturn-plan","version":1,"base":"back flip","rungs":[{},{"step_deg":90},{"step_deg":-90}]})") ==
      "plan.json: rungs[2].step_deg: is -90, must be a whole number of degrees from 1 to 360");
  CHECK(complaint(R"({"format":"halfturn-plan","version":1,"base":"back flip","rungs":[{},{}]})") ==
        "plan.json: rungs[1]: adds no degrees (step_deg) and changes no part");
  CHECK(complaint(R"({"format":"halfturn-plan","version":1,"base":"back flip","rungs":[]})") ==
        "plan.json: rungs: at least the base rung { } is needed");
  CHECK(complaint(R"({"format":"halfturn-plan","version":1,"rungs":[{}]})") == "plan.json: base: is missing");
  CHECK(complaint(std::string(100000, '[')).starts_with("plan.json: "));
  CHECK(complaint("\xff\xfe\x00{").starts_with("plan.json: "));
}

TEST_CASE("a ladder for machines has every key that outside readers rely on") {
  Plan plan;
  plan.base = "cheat kick";
  plan.steps = {{.twist_deg = 180}};
  const Result<Ladder> ladder = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
  REQUIRE(ladder.ok());
  const Json json = ladder_json(*ladder);
  for (const Json& rung : json["rungs"]) {
    for (const char* key : {"index",
                            "name",
                            "aliases",
                            "description",
                            "flip_deg",
                            "twist_deg",
                            "turn_deg",
                            "floor_turn_deg",
                            "air_turn_deg",
                            "foot_turn_deg",
                            "incline_deg",
                            "lean_deg",
                            "start",
                            "takeoff_feet",
                            "kick",
                            "landing",
                            "counted_deg",
                            "forms",
                            "floor_walk",
                            "finish",
                            "gate",
                            "air_time_needed_s",
                            "air_time_margin_s",
                            "difficulty"}) {
      CHECK_MESSAGE(rung.contains(key), key);
    }
    for (const char* key : {"heading_deg", "stance", "feet"}) CHECK_MESSAGE(rung["start"].contains(key), key);
    for (const char* key :
         {"heading_deg", "contact_heading_deg", "contact_angle_deg", "stance", "feet", "kind"}) {
      CHECK_MESSAGE(rung["landing"].contains(key), key);
    }
    for (const char* key : {"leg", "kind", "strike_share"}) CHECK_MESSAGE(rung["kick"].contains(key), key);
    for (const char* key : {"label", "turn_deg", "start", "kick", "landing_feet"}) {
      CHECK_MESSAGE(rung["forms"][0].contains(key), key);
    }
  }
}
