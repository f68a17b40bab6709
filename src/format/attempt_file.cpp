#include "format/attempt_file.hpp"

#include <fmt/format.h>

#include "attempt_row.hpp"
#include "format/time_text.hpp"

namespace halfturn {
namespace {

/// Parts of a rung that a file may leave out.
struct GivenRung {
  std::optional<std::string> takeoff, surface, setup, shape;
};

std::optional<std::string> complete(RungKey& key, const GivenRung& given, const Vocabulary& vocabulary) {
  const Skill* skill = vocabulary.find(key.skill);
  if (skill != nullptr) key.skill = skill->name;
  if (skill == nullptr && !(given.takeoff && given.surface && given.setup && given.shape)) {
    return fmt::format(
        "\"{}\" is not a skill of the vocabulary; its takeoff, surface, setup and shape must be given",
        key.skill);
  }
  key.takeoff = given.takeoff ? *given.takeoff : skill->takeoff;
  key.surface = given.surface ? *given.surface : skill->surface;
  key.setup = given.setup ? *given.setup : skill->setup;
  if (given.shape) {
    key.shape = *given.shape;
  } else {
    key.shape = key.twist_deg > 0 && !skill->twist_shape.empty() ? skill->twist_shape : skill->shape;
  }
  return std::nullopt;
}

}  // namespace

AttemptRow read_attempt_row(const JsonReader& json, const Vocabulary& vocabulary) {
  json.expect_keys({"id", "athlete", "session", "time", "skill", "twist_deg", "side", "takeoff", "surface",
                    "setup", "shape", "timing", "outcome", "heading_error_deg", "heading_by", "upright_deg",
                    "upright_by", "air_time_s"});
  AttemptRow row;
  AttemptRecord& r = row.record;
  row.id = json.optional_string("id").value_or("");
  row.athlete = json.at("athlete").string();
  row.session = json.optional_string("session").value_or("");
  const std::string time = json.at("time").string();
  if (!json.failed()) {
    const Result<std::int64_t> ms = parse_time(time, "");
    ms ? void(r.time_ms = *ms) : json.at("time").complain(ms.problem().text);
  }
  r.rung.skill = json.at("skill").string();
  r.rung.twist_deg = json.at("twist_deg").number(0, 1440);
  if (const auto side = json.find("side"))
    r.rung.side = side->one_of({"left", "right"}) == "right" ? Side::right : Side::left;
  if (const auto timing = json.find("timing")) r.rung.early = timing->one_of({"late", "early"}) == "early";
  const auto complaint = json.failed()
                             ? std::nullopt
                             : complete(r.rung,
                                        {json.optional_string("takeoff"), json.optional_string("surface"),
                                         json.optional_string("setup"), json.optional_string("shape")},
                                        vocabulary);
  if (complaint) json.at("skill").complain(*complaint);
  const std::string outcome =
      json.at("outcome").one_of({attempt_outcome_words.begin(), attempt_outcome_words.end()});
  r.outcome = attempt_outcome(outcome).value_or(AttemptOutcome::stop);
  r.heading_error_deg = json.optional_number("heading_error_deg", -180, 180);
  r.upright_deg = json.optional_number("upright_deg", 0, 180);
  r.air_time_s = json.optional_number("air_time_s", 0.05, 5);
  const auto measured = [&](const char* key) {
    const auto by = json.find(key);
    return by && by->one_of({"eye", "measurement"}) == "measurement";
  };
  r.heading_measured = measured("heading_by");
  r.upright_measured = measured("upright_by");
  r.note = json.optional_string("note").value_or("");
  if (const auto wrong = attempt_complaint(r); wrong && !json.failed()) json.complain(*wrong);
  return row;
}

Json attempt_json(const AttemptRow& row) {
  const AttemptRecord& r = row.record;
  const auto or_null = [](const auto& value) { return value ? Json(*value) : Json(nullptr); };
  Json json;
  if (!row.id.empty()) json["id"] = row.id;
  json["athlete"] = row.athlete;
  json["session"] = row.session;
  json["time"] = time_text(r.time_ms);
  json["skill"] = r.rung.skill;
  json["twist_deg"] = r.rung.twist_deg;
  json["side"] = word(r.rung.side);
  json["takeoff"] = r.rung.takeoff;
  json["surface"] = r.rung.surface;
  json["setup"] = r.rung.setup;
  json["shape"] = r.rung.shape;
  json["timing"] = r.rung.early ? "early" : "late";
  json["outcome"] = word(r.outcome);
  json["heading_error_deg"] = or_null(r.heading_error_deg);
  json["heading_by"] = r.heading_measured ? "measurement" : "eye";
  json["upright_deg"] = or_null(r.upright_deg);
  json["upright_by"] = r.upright_measured ? "measurement" : "eye";
  json["air_time_s"] = or_null(r.air_time_s);
  json["note"] = r.note;
  return json;
}

Json gate_json(const Gate& gate) {
  Json decided = nullptr;
  if (gate.decided) {
    decided = {{"decision", word(gate.decided->decision)},
               {"time", time_text(gate.decided->time_ms)},
               {"reason", gate.decided->reason}};
  }
  return {{"passed", gate.passed},     {"suggestion", word(gate.suggestion)},
          {"reason", gate.reason},     {"controlled_in_a_row", gate.controlled_in_a_row},
          {"needed", gate.needed},     {"misses_in_a_row", gate.misses_in_a_row},
          {"attempts", gate.attempts}, {"controlled", gate.controlled},
          {"short", gate.short_count}, {"long", gate.long_count},
          {"crashes", gate.crashes},   {"decided", decided}};
}

std::string write_attempts_json(std::span<const AttemptRow> rows) {
  Json json;
  json["format"] = "halfturn-attempts";
  json["version"] = 1;
  json["attempts"] = Json::array();
  for (const AttemptRow& row : rows) json["attempts"].push_back(attempt_json(row));
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

Result<std::vector<AttemptRow>> read_attempts_json(std::string_view text, const std::string& file,
                                                   const Vocabulary& vocabulary) {
  const Result<Json> document = parse_json(text, file);
  if (!document) return document.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader json(&*document, "", &log);
  json.expect_format("halfturn-attempts", 1);
  json.expect_keys({"format", "version", "attempts"});
  std::vector<AttemptRow> rows;
  for (const JsonReader& element : json.at("attempts").elements()) {
    if (log.problem) break;
    rows.push_back(read_attempt_row(element, vocabulary));
  }
  if (log.problem) return *log.problem;
  return rows;
}

}  // namespace halfturn
