#include "format/athlete_file.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace halfturn;

namespace {
const std::string head = R"({"format":"halfturn-athlete","version":1,)";
}

TEST_CASE("an athlete file is read, and what is written reads back the same to the byte") {
  const Result<Athlete> athlete = read_athlete(
      head +
          R"("name":"A. B.","height_m":1.62,"mass_kg":54.5,"segment_table":"female","twisting_side":"right",
        "skills":["back flip","front"],"air_time_s":0.74,"surface":"spring floor","note":"x"})",
      "a.json");
  REQUIRE(athlete.ok());
  CHECK(athlete->name == "A. B.");
  CHECK(athlete->height_m == 1.62);
  CHECK(athlete->mass_kg == 54.5);
  CHECK(athlete->table == SegmentTableKind::female);
  CHECK_FALSE(athlete->twists_left);
  CHECK(athlete->skills == std::vector<std::string>{"back flip", "front"});
  CHECK(athlete->air_time_s == 0.74);
  CHECK_FALSE(athlete->angular_momentum_kgm2_s.has_value());
  const std::string written = write_athlete(*athlete);
  const Result<Athlete> again = read_athlete(written, "a.json");
  REQUIRE(again.ok());
  CHECK(*again == *athlete);
  CHECK(write_athlete(*again) == written);
}

TEST_CASE("an athlete file's mistakes are named with file and key") {
  struct Mistake {
    const char* rest;
    const char* place;
  };
  for (
      const Mistake& mistake : {
          Mistake{R"("height_m":162,"mass_kg":54,"segment_table":"female","twisting_side":"left"})",
                  "height_m"},
          Mistake{R"("mass_kg":54,"segment_table":"female","twisting_side":"left"})", "height_m"},
          Mistake{R"("height_m":1.6,"mass_kg":"54","segment_table":"female","twisting_side":"left"})",
                  "mass_kg"},
          Mistake{R"("height_m":1.6,"mass_kg":54,"segment_table":"mean","twisting_side":"left"})",
                  "segment_table"},
          Mistake{R"("height_m":1.6,"mass_kg":54,"segment_table":"male","twisting_side":"both"})",
                  "twisting_side"},
          Mistake{
              R"("height_m":1.6,"mass_kg":54,"segment_table":"male","twisting_side":"left","skills":[1]})",
              "skills[0]"},
          Mistake{
              R"("height_m":1.6,"mass_kg":54,"segment_table":"male","twisting_side":"left","air_time_s":74})",
              "air_time_s"},
      }) {
    const Result<Athlete> athlete = read_athlete(head + mistake.rest, "mine.json");
    REQUIRE_FALSE(athlete.ok());
    CHECK(athlete.problem().file == "mine.json");
    CHECK(athlete.problem().place == mistake.place);
  }
}
