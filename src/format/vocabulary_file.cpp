#include "format/vocabulary_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "built_in.hpp"
#include "format/json_reader.hpp"
#include "format_embedded.hpp"

namespace halfturn {
namespace {

void add_new(std::vector<std::string>& list, const std::vector<std::string>& more) {
  for (const std::string& item : more) {
    if (std::find(list.begin(), list.end(), item) == list.end()) list.push_back(item);
  }
}

const std::vector<std::string>& feet_words() {
  static const std::vector<std::string> words = {"both",        "left",        "right",
                                                 "left, right", "right, left", "bed"};
  return words;
}

FlightRow read_row(const JsonReader& json) {
  json.expect_keys({"twist_deg", "incline_deg", "lean_deg", "landing_lean_deg", "takeoff_phase_deg",
                    "landing_phase_deg", "twist_onset", "twist_end", "early_twist_onset", "early_twist_end",
                    "air_time_low_s", "air_time_high_s", "floor_turn_deg", "foot_turn_deg", "landing_feet"});
  FlightRow row;
  row.twist_deg = json.at("twist_deg").number(0, 1440);
  row.incline_deg = json.optional_number("incline_deg", 0, 90);
  row.lean_deg = json.optional_number("lean_deg", 0, 90);
  row.landing_lean_deg = json.optional_number("landing_lean_deg", 0, 90);
  row.takeoff_phase_deg = json.optional_number("takeoff_phase_deg", 0, 90);
  row.landing_phase_deg = json.optional_number("landing_phase_deg", 0, 90);
  row.twist_onset = json.optional_number("twist_onset", 0, 1);
  row.twist_end = json.optional_number("twist_end", 0, 1);
  row.early_twist_onset = json.optional_number("early_twist_onset", 0, 1);
  row.early_twist_end = json.optional_number("early_twist_end", 0, 1);
  row.air_time_low_s = json.optional_number("air_time_low_s", 0.05, 5);
  row.air_time_high_s = json.optional_number("air_time_high_s", 0.05, 5);
  row.floor_turn_deg = json.optional_number("floor_turn_deg", 0, 360);
  row.foot_turn_deg = json.optional_number("foot_turn_deg", 0, 360);
  if (const auto feet = json.find("landing_feet")) row.landing_feet = feet->one_of(feet_words());

  const auto ordered = [&](const std::optional<double>& low, const std::optional<double>& high,
                           const char* key, const char* text) {
    if (low.has_value() != high.has_value() || (low && *low >= *high)) json.at(key).complain(text);
  };
  if (json.failed()) return row;
  if (row.twist_onset || row.twist_end) {
    ordered(row.twist_onset, row.twist_end, row.twist_onset ? "twist_onset" : "twist_end",
            "the twist must start before it ends; give both");
  }
  if (row.early_twist_onset || row.early_twist_end) {
    ordered(row.early_twist_onset, row.early_twist_end,
            row.early_twist_onset ? "early_twist_onset" : "early_twist_end",
            "the twist must start before it ends; give both");
  }
  if (row.air_time_low_s || row.air_time_high_s) {
    ordered(row.air_time_low_s, row.air_time_high_s,
            row.air_time_low_s ? "air_time_low_s" : "air_time_high_s",
            "the low end must be below the high end; give both");
  }
  return row;
}

SkillName read_name(const JsonReader& json) {
  json.expect_keys({"twist_deg", "name", "aliases", "timing"});
  SkillName name;
  name.twist_deg = json.at("twist_deg").number(0, 1440);
  name.name = json.at("name").string();
  name.aliases = json.optional_strings("aliases");
  if (const auto timing = json.find("timing")) name.timing = timing->one_of({"early", "late"});
  return name;
}

KickRow read_kick(const JsonReader& json) {
  json.expect_keys({"turn_deg", "leg", "kind", "landing_feet"});
  KickRow kick;
  kick.turn_deg = json.at("turn_deg").number(0, 1440);
  kick.kick.leg = json.at("leg").one_of({"left", "right"});
  kick.kick.kind = json.at("kind").one_of({"inside", "outside"});
  kick.landing_feet = json.at("landing_feet").one_of(feet_words());
  return kick;
}

AirTimes read_air_times(const JsonReader& json, const Vocabulary& words) {
  json.expect_keys({"setup", "surface", "twist_deg", "low_s", "high_s"});
  AirTimes times;
  if (const auto setup = json.find("setup")) times.setup = setup->one_of(words.setups);
  if (const auto surface = json.find("surface")) times.surface = surface->one_of(words.surfaces);
  times.twist_deg = json.at("twist_deg").number(0, 1440);
  times.low_s = json.at("low_s").number(0.05, 5);
  times.high_s = json.at("high_s").number(0.05, 5);
  if (!json.failed() && times.low_s >= times.high_s) json.at("low_s").complain("must be below high_s");
  return times;
}

/// Complains where the parts of a skill contradict each other.
void check_skill(const JsonReader& json, const Skill& skill) {
  if (json.failed()) return;
  if (skill.name.empty()) return json.at("name").complain("must not be empty");
  if (skill.rows.empty()) return json.at("rows").complain("at least the base row is needed");
  for (std::size_t i = 1; i < skill.rows.size(); ++i) {
    if (skill.rows[i].twist_deg <= skill.rows[i - 1].twist_deg) {
      return json.at("rows").elements()[i].at("twist_deg").complain("rows must go up in twist");
    }
  }
  for (std::size_t i = 1; i < skill.kicks.size(); ++i) {
    if (skill.kicks[i].turn_deg <= skill.kicks[i - 1].turn_deg) {
      return json.at("kicks").elements()[i].at("turn_deg").complain("rows must go up in turn");
    }
  }
  const auto has = [&](auto member) {
    return std::any_of(skill.rows.begin(), skill.rows.end(),
                       [&](const FlightRow& row) { return (row.*member).has_value(); });
  };
  if (!has(&FlightRow::air_time_low_s)) return json.at("rows").complain("no row gives an air time");
  if (skill.kicks.empty() && !has(&FlightRow::landing_feet))
    return json.at("rows").complain("no row gives landing_feet");
  if (skill.rotation == Rotation::upright && has(&FlightRow::incline_deg)) {
    return json.at("rotation").complain("an upright skill has no flip axis to incline");
  }
  if (skill.rotation == Rotation::flip && !skill.kicks.empty()) {
    return json.at("kicks").complain("a flip has no counted kick; the rotation must be \"upright\"");
  }
  if (skill.rotation == Rotation::flip && !json.has("flip_toward_deg")) {
    return json.at("rotation").complain("a flip needs flip_toward_deg");
  }
  for (const std::string* shape : {&skill.shape, &skill.twist_shape}) {
    if (!shape->empty() &&
        std::find(skill.shapes.begin(), skill.shapes.end(), *shape) == skill.shapes.end()) {
      return json.at("shapes").complain(fmt::format("must contain the default \"{}\"", *shape));
    }
  }
  std::set<std::pair<double, std::string>> rotations;
  for (std::size_t i = 0; i < skill.names.size(); ++i) {
    const SkillName& name = skill.names[i];
    if (!rotations.emplace(name.twist_deg, name.timing).second) {
      return json.at("names").elements()[i].complain(
          fmt::format("a second name for {} degrees", name.twist_deg));
    }
  }
}

Skill read_skill(const JsonReader& json, const Vocabulary& words) {
  json.expect_keys({"name",       "aliases",         "discipline", "description",   "stem",
                    "rotation",   "flip_toward_deg", "takeoff",    "also_takeoffs", "takeoff_feet",
                    "start_feet", "travel",          "travel_m",   "setup",         "surface",
                    "shape",      "twist_shape",     "shapes",     "hold",          "turn_beyond_twist_deg",
                    "first_deg",  "counted_name",    "rows",       "air_times",     "names",
                    "kicks"});
  Skill skill;
  skill.name = json.at("name").string();
  skill.aliases = json.optional_strings("aliases");
  skill.discipline = json.at("discipline").string();
  skill.description = json.at("description").string();
  skill.stem = json.at("stem").string();
  skill.rotation =
      json.at("rotation").one_of({"flip", "upright"}) == "flip" ? Rotation::flip : Rotation::upright;
  skill.flip_toward_deg = json.optional_number("flip_toward_deg", -180, 180).value_or(0);
  skill.takeoff = json.at("takeoff").one_of(words.takeoffs);
  if (const auto also = json.find("also_takeoffs")) {
    for (const JsonReader& takeoff : also->elements())
      skill.also_takeoffs.push_back(takeoff.one_of(words.takeoffs));
  }
  skill.takeoff_feet = json.at("takeoff_feet").one_of(feet_words());
  skill.start_feet =
      json.at("start_feet").one_of({"side by side", "left ahead", "right ahead", "of the stance"});
  skill.travel = json.at("travel").one_of({"in place", "forward", "backward", "left", "right"});
  skill.travel_m = json.at("travel_m").number(0, 10);
  skill.setup = json.at("setup").one_of(words.setups);
  skill.surface = json.at("surface").one_of(words.surfaces);
  skill.shape = json.at("shape").string();
  skill.twist_shape = json.optional_string("twist_shape").value_or("");
  skill.shapes = json.at("shapes").strings();
  skill.hold = json.at("hold").one_of({"start", "landing"});
  skill.turn_beyond_twist_deg = json.optional_number("turn_beyond_twist_deg", 0, 360).value_or(0);
  skill.first_deg = json.optional_number("first_deg", 0, 1440).value_or(0);
  skill.counted_name = json.optional_string("counted_name").value_or("");
  const std::size_t braces = skill.counted_name.find_first_of("{}");
  if (braces != std::string::npos &&
      (skill.counted_name.compare(braces, 2, "{}") != 0 ||
       skill.counted_name.find_first_of("{}", braces + 2) != std::string::npos)) {
    json.at("counted_name").complain("must hold {} once, for the number");
  }
  for (const JsonReader& row : json.at("rows").elements()) skill.rows.push_back(read_row(row));
  if (const auto times = json.find("air_times")) {
    for (const JsonReader& entry : times->elements()) skill.air_times.push_back(read_air_times(entry, words));
  }
  if (const auto names = json.find("names")) {
    for (const JsonReader& name : names->elements()) skill.names.push_back(read_name(name));
  }
  if (const auto kicks = json.find("kicks")) {
    for (const JsonReader& kick : kicks->elements()) skill.kicks.push_back(read_kick(kick));
  }
  check_skill(json, skill);
  return skill;
}

}  // namespace

Result<Vocabulary> read_vocabulary(std::string_view text, const std::string& file, Vocabulary base) {
  const Result<Json> document = parse_json(text, file);
  if (!document) return document.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader json(&*document, "", &log);
  json.expect_format("halfturn-vocabulary", 1);
  json.expect_keys({"format", "version", "setups", "takeoffs", "surfaces", "skills"});
  Vocabulary vocabulary = std::move(base);
  add_new(vocabulary.setups, json.optional_strings("setups"));
  add_new(vocabulary.takeoffs, json.optional_strings("takeoffs"));
  add_new(vocabulary.surfaces, json.optional_strings("surfaces"));
  std::set<std::string> seen;
  if (!log.problem) {
    for (const JsonReader& entry : json.at("skills").elements()) {
      Skill skill = read_skill(entry, vocabulary);
      if (log.problem) break;
      if (!seen.insert(skill.name).second) {
        entry.at("name").complain(fmt::format("a second skill named \"{}\"", skill.name));
        break;
      }
      const auto same = std::find_if(vocabulary.skills.begin(), vocabulary.skills.end(),
                                     [&](const Skill& known) { return known.name == skill.name; });
      if (same != vocabulary.skills.end()) {
        *same = std::move(skill);
      } else {
        vocabulary.skills.push_back(std::move(skill));
      }
    }
  }
  if (log.problem) return *log.problem;
  return vocabulary;
}

Result<DifficultyTable> read_difficulty(std::string_view text, const std::string& file) {
  const Result<Json> document = parse_json(text, file);
  if (!document) return document.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader json(&*document, "", &log);
  json.expect_format("halfturn-difficulty", 1);
  json.expect_keys({"format", "version", "default_cycle", "rules"});
  DifficultyTable table;
  table.default_cycle = json.at("default_cycle").string();
  for (const JsonReader& entry : json.at("rules").elements()) {
    entry.expect_keys({"cycle", "source", "quarter_somersault_tenths", "half_twist_tenths",
                       "completed_somersault_tenths", "single_straight_or_pike_tenths"});
    DifficultyRule rule;
    rule.cycle = entry.at("cycle").string();
    rule.source = entry.at("source").string();
    rule.quarter_somersault = entry.at("quarter_somersault_tenths").integer(0, 100);
    rule.half_twist = entry.at("half_twist_tenths").integer(0, 100);
    rule.completed_somersault = entry.at("completed_somersault_tenths").integer(0, 100);
    rule.single_straight_or_pike = entry.at("single_straight_or_pike_tenths").integer(0, 100);
    table.rules.push_back(std::move(rule));
  }
  if (!log.problem && table.find(table.default_cycle) == nullptr) {
    json.at("default_cycle").complain(fmt::format("there is no rule for \"{}\"", table.default_cycle));
  }
  if (log.problem) return *log.problem;
  return table;
}

const Vocabulary& built_in_vocabulary() {
  static const Vocabulary vocabulary =
      built_in(read_vocabulary(embedded::vocabulary_json, "assets/vocabulary.json"));
  return vocabulary;
}

const DifficultyTable& built_in_difficulty() {
  static const DifficultyTable table =
      built_in(read_difficulty(embedded::difficulty_json, "assets/difficulty.json"));
  return table;
}

}  // namespace halfturn
