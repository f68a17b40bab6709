#include "format/vocabulary_file.hpp"

#include <doctest/doctest.h>

#include "format/json_reader.hpp"

using namespace halfturn;

namespace {

Json own_skill() {
  return Json::parse(R"({
    "name": "wall flip", "discipline": "tricking", "description": "backward flip off a wall", "stem": "wall flip",
    "rotation": "flip", "flip_toward_deg": 180, "takeoff": "step", "takeoff_feet": "left", "start_feet": "left ahead",
    "travel": "backward", "travel_m": 0.8, "setup": "run", "surface": "mat", "shape": "tuck", "shapes": ["tuck"],
    "hold": "start",
    "rows": [{"twist_deg": 0, "air_time_low_s": 0.5, "air_time_high_s": 0.7, "landing_feet": "both"},
             {"twist_deg": 360, "twist_onset": 0.2, "twist_end": 0.8}],
    "names": [{"twist_deg": 360, "name": "wall full"}]})");
}

std::string complaint(const Json& skill) {
  const Json file = {{"format", "halfturn-vocabulary"}, {"version", 1}, {"skills", {skill}}};
  const Result<Vocabulary> vocabulary = read_vocabulary(file.dump(), "own.json", built_in_vocabulary());
  return vocabulary.ok() ? "read" : vocabulary.problem().message();
}

/// The complaint after one change of the good skill above.
template <class Change>
std::string complaint_after(Change change) {
  Json skill = own_skill();
  change(skill);
  return complaint(skill);
}

}  // namespace

TEST_CASE("a coach's own file adds skills to the built-in ones and may replace one") {
  Json file = {
      {"format", "halfturn-vocabulary"}, {"version", 1}, {"takeoffs", {"cannon"}}, {"skills", {own_skill()}}};
  Json changed = own_skill();
  changed["name"] = "gainer";
  changed["takeoff"] = "cannon";
  file["skills"].push_back(changed);
  const Result<Vocabulary> vocabulary = read_vocabulary(file.dump(), "own.json", built_in_vocabulary());
  REQUIRE(vocabulary.ok());
  CHECK(vocabulary->skills.size() == built_in_vocabulary().skills.size() + 1);
  CHECK(vocabulary->find("wall flip") != nullptr);
  CHECK(vocabulary->find("gainer")->takeoff == "cannon");
}

TEST_CASE("the built-in vocabulary has the skills that coaches start from") {
  for (const char* name :
       {"straight jump", "back flip", "front flip", "side flip", "aerial", "gainer", "webster", "butterfly",
        "cheat kick", "pop kick", "trampoline back", "trampoline front"}) {
    CHECK_MESSAGE(built_in_vocabulary().find(name) != nullptr, name);
  }
}

TEST_CASE("a vocabulary that contradicts itself is refused with its place") {
  CHECK(complaint(own_skill()) == "read");
  CHECK(complaint_after([](Json& s) {
          s["takeoff"] = "cannon";
        }).starts_with("own.json: skills[0].takeoff: is \"cannon\", must be one of"));
  CHECK(complaint_after([](Json& s) { s["shape"] = "pike"; }) ==
        "own.json: skills[0].shapes: must contain the default \"pike\"");
  CHECK(complaint_after([](Json& s) { s["rows"][1]["twist_deg"] = 0; }) ==
        "own.json: skills[0].rows[1].twist_deg: rows must go up in twist");
  CHECK(complaint_after([](Json& s) { s["rows"][1]["twist_end"] = 0.1; }) ==
        "own.json: skills[0].rows[1].twist_onset: the twist must start before it ends; give both");
  CHECK(complaint_after([](Json& s) { s["rows"][0]["air_time_high_s"] = 0.4; }) ==
        "own.json: skills[0].rows[0].air_time_low_s: the low end must be below the high end; give both");
  CHECK(complaint_after([](Json& s) { s["names"].push_back(s["names"][0]); }) ==
        "own.json: skills[0].names[1]: a second name for 360 degrees");
  CHECK(complaint_after([](Json& s) { s.erase("flip_toward_deg"); }) ==
        "own.json: skills[0].rotation: a flip needs flip_toward_deg");
  CHECK(complaint_after([](Json& s) {
          s["kicks"] = {{{"turn_deg", 360}, {"leg", "left"}, {"kind", "inside"}, {"landing_feet", "left"}}};
        }) == "own.json: skills[0].kicks: a flip has no counted kick; the rotation must be \"upright\"");
  CHECK(complaint_after([](Json& s) { s["counted_name"] = "{:d}"; }) ==
        "own.json: skills[0].counted_name: must hold {} once, for the number");
  CHECK(complaint_after([](Json& s) {
          s["colour"] = "red";
        }).starts_with("own.json: skills[0]: unknown key \"colour\""));
  CHECK(complaint_after([](Json& s) { s["travel_m"] = -1; }) ==
        "own.json: skills[0].travel_m: is -1, must be between 0 and 10");
  const Json twice = {
      {"format", "halfturn-vocabulary"}, {"version", 1}, {"skills", {own_skill(), own_skill()}}};
  CHECK(read_vocabulary(twice.dump(), "own.json", built_in_vocabulary()).problem().message() ==
        "own.json: skills[1].name: a second skill named \"wall flip\"");
}
