#include "format/athlete_file.hpp"

#include <optional>

#include "format/json_reader.hpp"

namespace halfturn {

Result<Athlete> read_athlete(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader root(&json.value(), "", &log);
  root.expect_keys({"format", "version", "name", "height_m", "mass_kg", "segment_table", "twisting_side",
                    "skills", "air_time_s", "angular_momentum_kgm2_s", "surface", "shoulder_half_width_m"});
  root.expect_format("halfturn-athlete", 1);
  Athlete athlete;
  athlete.name = root.optional_string("name").value_or("");
  athlete.height_m = root.at("height_m").number(0.8, 2.4);
  athlete.mass_kg = root.at("mass_kg").number(15, 200);
  if (root.at("segment_table").one_of({"male", "female"}) == "female")
    athlete.table = SegmentTableKind::female;
  athlete.twists_left = root.at("twisting_side").one_of({"left", "right"}) != "right";
  athlete.skills = root.optional_strings("skills");
  athlete.surface = root.optional_string("surface").value_or("");
  athlete.air_time_s = root.optional_number("air_time_s", 0.1, 3);
  athlete.angular_momentum_kgm2_s = root.optional_number("angular_momentum_kgm2_s", 1, 500);
  athlete.shoulder_half_width_m = root.optional_number("shoulder_half_width_m", 0.08, 0.35);
  if (log.problem) return *log.problem;
  return athlete;
}

std::string write_athlete(const Athlete& athlete) {
  Json json;
  json["format"] = "halfturn-athlete";
  json["version"] = 1;
  json["name"] = athlete.name;
  json["height_m"] = athlete.height_m;
  json["mass_kg"] = athlete.mass_kg;
  json["segment_table"] = segment_table_word(athlete.table);
  json["twisting_side"] = athlete.twists_left ? "left" : "right";
  json["skills"] = athlete.skills;
  json["surface"] = athlete.surface;
  const auto put = [&](const char* key, const std::optional<double>& value) {
    if (value) json[key] = *value;
  };
  put("air_time_s", athlete.air_time_s);
  put("angular_momentum_kgm2_s", athlete.angular_momentum_kgm2_s);
  put("shoulder_half_width_m", athlete.shoulder_half_width_m);
  return json.dump(2) + "\n";
}

}  // namespace halfturn
