#include "skill/skill.hpp"

#include <doctest/doctest.h>

using namespace halfturn;

namespace {

FlightRow row(double twist_deg, std::optional<double> incline_deg, std::optional<double> onset = {},
              std::optional<double> end = {}) {
  FlightRow result;
  result.twist_deg = twist_deg;
  result.incline_deg = incline_deg;
  result.twist_onset = onset;
  result.twist_end = end;
  return result;
}

}  // namespace

TEST_CASE("rows: linear between, constant beyond, the next row where one is silent") {
  Skill skill;
  skill.rows = {row(0, 10), row(180, 20, 0.25, 0.85), row(360, 32, 0.15, 0.85), row(720, 36, 0.10, 0.90)};
  const auto at = [&](double twist) { return values_at(skill, twist, false, "", ""); };
  CHECK(at(0).incline_deg == 10);
  CHECK(at(90).incline_deg == 15);
  CHECK(at(270).incline_deg == 26);
  CHECK(at(540).incline_deg == 34);
  CHECK(at(1080).incline_deg == 36);
  CHECK(at(0).twist_onset == 0.25);  // the base row has no twist: the next one's
  CHECK(at(90).twist_onset == 0.25);
  CHECK(at(270).twist_onset == doctest::Approx(0.20));
  CHECK(at(900).twist_end == 0.90);
}

TEST_CASE("air times: a setup has its own at the row it names") {
  Skill skill;
  FlightRow base = row(0, 0);
  base.air_time_low_s = 0.55;
  FlightRow full = row(360, 0);
  full.air_time_low_s = 0.80;
  skill.rows = {base, full};
  skill.air_times = {{"roundoff", "", 0, 0.70, 1.0}};
  CHECK(values_at(skill, 0, false, "standing", "mat").air_time_low_s == 0.55);
  CHECK(values_at(skill, 0, false, "roundoff", "mat").air_time_low_s == 0.70);
  CHECK(values_at(skill, 180, false, "roundoff", "mat").air_time_low_s == doctest::Approx(0.75));
  CHECK(values_at(skill, 360, false, "roundoff", "mat").air_time_low_s == 0.80);
}

TEST_CASE("swapping sides exchanges whole words only and twice gives the text back") {
  CHECK(swap_sides("right, left") == "left, right");
  CHECK(swap_sides("left lead") == "right lead");
  CHECK(swap_sides("upright, leftover, bright") == "upright, leftover, bright");
  CHECK(swap_sides(swap_sides("the left wall is right of it")) == "the left wall is right of it");
}

TEST_CASE("finding a skill: names before aliases, any case; near matches for a slip of the pen") {
  Vocabulary vocabulary;
  for (const char* name : {"back flip", "butterfly", "gainer"}) {
    Skill skill;
    skill.name = name;
    vocabulary.skills.push_back(skill);
  }
  vocabulary.skills[0].aliases = {"backflip"};
  CHECK(vocabulary.find("Back Flip") == &vocabulary.skills[0]);
  CHECK(vocabulary.find("backflip") == &vocabulary.skills[0]);
  CHECK(vocabulary.find("flip") == nullptr);
  REQUIRE_FALSE(vocabulary.near_matches("bakc flip").empty());
  CHECK(vocabulary.near_matches("bakc flip").front() == "back flip");
  CHECK(vocabulary.near_matches("butterfy").front() == "butterfly");
  CHECK(vocabulary.near_matches("").empty());
}
