#include "format/plan_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "built_in.hpp"
#include "format/file.hpp"
#include "format_embedded.hpp"
#include "gate_rules_json.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_rungs = 2000;
constexpr std::size_t most_chain_items = 60;

bool is_note(const std::string& key) {
  return key.starts_with("note");
}

/// Collects what only people read, wherever it stands, so that it is written back.
void keep_notes(const Json& value, const Json::json_pointer& place, Json& notes) {
  if (value.is_array()) {
    for (std::size_t i = 0; i < value.size(); ++i) keep_notes(value[i], place / i, notes);
  } else if (value.is_object()) {
    for (const auto& [key, member] : value.items()) {
      if (is_note(key)) {
        notes[(place / key).to_string()] = member;
      } else {
        keep_notes(member, place / key, notes);
      }
    }
  }
}

/// A note whose place is no longer there goes with it.
void put_notes(const Json& notes, Json& json) {
  for (const auto& [text, member] : notes.items()) {
    const Json::json_pointer place(text);
    const Json::json_pointer parent = place.parent_pointer();
    if (json.contains(parent) && json.at(parent).is_object()) json.at(parent)[place.back()] = member;
  }
}

Step read_step(const JsonReader& json) {
  json.expect_keys({"step_deg", "takeoff", "setup", "shape", "surface", "cue"});
  Step step;
  step.twist_deg = json.optional_number("step_deg").value_or(0);
  step.takeoff = json.optional_string("takeoff");
  step.setup = json.optional_string("setup");
  step.shape = json.optional_string("shape");
  step.surface = json.optional_string("surface");
  step.cue = json.optional_string("cue").value_or("");
  if (const auto complaint = step_complaint(step); complaint && !json.failed()) {
    json.has("step_deg") ? json.at("step_deg").complain(*complaint)
                         : json.complain("adds no degrees (step_deg) and changes no part");
  }
  return step;
}

Walls read_walls(const JsonReader& json) {
  json.expect_keys({"front", "left", "back", "right"});
  Walls walls;
  const auto name = [&](std::string_view key, std::string& wall) {
    if (const auto text = json.find(key)) wall = text->string();
    if (!json.failed() && (wall.empty() || wall.size() > 60))
      json.at(key).complain("a name of 1 to 60 letters is needed");
  };
  name("front", walls.front);
  name("left", walls.left);
  name("back", walls.back);
  name("right", walls.right);
  return walls;
}

Json step_json(const Step& step) {
  Json json = Json::object();
  if (step.twist_deg != 0) json["step_deg"] = step.twist_deg;
  if (step.takeoff) json["takeoff"] = *step.takeoff;
  if (step.setup) json["setup"] = *step.setup;
  if (step.shape) json["shape"] = *step.shape;
  if (step.surface) json["surface"] = *step.surface;
  if (!step.cue.empty()) json["cue"] = step.cue;
  return json;
}

ChainItem read_chain_item(const JsonReader& json) {
  json.expect_keys({"skill", "twist_deg", "link", "side"});
  ChainItem item;
  item.skill = json.optional_string("skill").value_or("");
  item.link = json.optional_string("link").value_or("");
  item.twist_deg = json.optional_number("twist_deg", 0, greatest_twist_deg).value_or(0);
  if (const auto side = json.find("side"))
    item.side = side->one_of({"left", "right"}) == "right" ? Side::right : Side::left;
  if (!json.failed() && item.skill.empty() == item.link.empty())
    json.complain("one of skill and link is needed, not both");
  return item;
}

Json chain_item_json(const ChainItem& item) {
  Json json = Json::object();
  if (!item.skill.empty()) {
    json["skill"] = item.skill;
    json["twist_deg"] = item.twist_deg;
  } else {
    json["link"] = item.link;
  }
  if (item.side) json["side"] = word(*item.side);
  return json;
}

}  // namespace

Result<PlanFile> read_plan(std::string_view text, const std::string& file) {
  const Result<Json> document = parse_json(text, file);
  if (!document) return document.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader json(&*document, "", &log);
  json.expect_format("halfturn-plan", 1);
  json.expect_keys({"format",         "version",       "title",
                    "athlete",        "base",          "side",
                    "from_deg",       "hold",          "held_heading_deg",
                    "mark_deg",       "timing",        "takeoff",
                    "setup",          "surface",       "shape",
                    "floor_turn_deg", "foot_turn_deg", "incline_deg",
                    "lean_deg",       "kick_leg",      "air_time_s",
                    "cycle",          "walls",         "gate",
                    "rungs",          "chain",         "view"});
  PlanFile result;
  Plan& plan = result.plan;
  plan.title = json.optional_string("title").value_or(plan.title);
  plan.athlete = json.optional_string("athlete").value_or("");
  plan.base = json.at("base").string();
  if (const auto side = json.find("side")) {
    plan.side = side->one_of({"left", "right"}) == "right" ? Side::right : Side::left;
  }
  plan.from_deg = json.optional_number("from_deg");
  if (const auto hold = json.find("hold")) plan.hold = hold->one_of({"start", "landing"});
  plan.held_heading_deg = json.optional_number("held_heading_deg").value_or(0);
  plan.mark_deg = json.optional_number("mark_deg");
  if (const auto timing = json.find("timing")) plan.timing = timing->one_of({"late", "early"});
  plan.takeoff = json.optional_string("takeoff");
  plan.setup = json.optional_string("setup");
  plan.surface = json.optional_string("surface");
  plan.shape = json.optional_string("shape");
  plan.floor_turn_deg = json.optional_number("floor_turn_deg");
  plan.foot_turn_deg = json.optional_number("foot_turn_deg");
  plan.incline_deg = json.optional_number("incline_deg");
  plan.lean_deg = json.optional_number("lean_deg");
  plan.kick_leg = json.optional_string("kick_leg");
  plan.air_time_s = json.optional_number("air_time_s");
  plan.cycle = json.optional_string("cycle").value_or("");
  if (const auto walls = json.find("walls")) plan.walls = read_walls(*walls);
  if (const auto gate = json.find("gate")) plan.gate = read_gate_rules(*gate);
  const std::vector<JsonReader> rungs = json.at("rungs").elements();
  if (rungs.empty()) json.at("rungs").complain("at least the base rung { } is needed");
  if (rungs.size() > most_rungs) json.at("rungs").complain(fmt::format("more than {} rungs", most_rungs));
  for (std::size_t k = 0; k < rungs.size() && !log.problem; ++k) {
    if (k == 0) {
      rungs[0].expect_keys({"cue"});
      plan.base_cue = rungs[0].optional_string("cue").value_or("");
    } else {
      plan.steps.push_back(read_step(rungs[k]));
    }
  }
  if (const auto chain = json.find("chain")) {
    const std::vector<JsonReader> items = chain->elements();
    if (items.size() > most_chain_items) chain->complain(fmt::format("more than {} links", most_chain_items));
    for (const JsonReader& item : items) {
      if (!log.problem) plan.chain.push_back(read_chain_item(item));
    }
  }
  if (const auto view = json.find("view")) {
    if (!view->is_object()) view->complain("an object { } is needed here");
    result.view = (*document)["view"];
  }
  if (log.problem) return *log.problem;
  keep_notes(*document, Json::json_pointer(), result.notes);
  return result;
}

Result<PlanFile> load_plan(const std::string& path) {
  const Result<std::string> text = read_file(path);
  if (!text) return text.problem();
  return read_plan(*text, path);
}

std::string write_plan(const PlanFile& file) {
  const Plan& plan = file.plan;
  Json json;
  json["format"] = "halfturn-plan";
  json["version"] = 1;
  json["title"] = plan.title;
  if (!plan.athlete.empty()) json["athlete"] = plan.athlete;
  json["base"] = plan.base;
  json["side"] = word(plan.side);
  const auto put = [&](const char* key, const auto& value) {
    if (value) json[key] = *value;
  };
  put("from_deg", plan.from_deg);
  put("hold", plan.hold);
  json["held_heading_deg"] = plan.held_heading_deg;
  put("mark_deg", plan.mark_deg);
  json["timing"] = plan.timing;
  put("takeoff", plan.takeoff);
  put("setup", plan.setup);
  put("surface", plan.surface);
  put("shape", plan.shape);
  put("floor_turn_deg", plan.floor_turn_deg);
  put("foot_turn_deg", plan.foot_turn_deg);
  put("incline_deg", plan.incline_deg);
  put("lean_deg", plan.lean_deg);
  put("kick_leg", plan.kick_leg);
  put("air_time_s", plan.air_time_s);
  if (!plan.cycle.empty()) json["cycle"] = plan.cycle;
  json["walls"] = {{"front", plan.walls.front},
                   {"left", plan.walls.left},
                   {"back", plan.walls.back},
                   {"right", plan.walls.right}};
  if (plan.gate != GateRules{}) json["gate"] = gate_rules_json(plan.gate);
  Json rungs = Json::array();
  Json base = Json::object();
  if (!plan.base_cue.empty()) base["cue"] = plan.base_cue;
  rungs.push_back(base);
  for (const Step& step : plan.steps) rungs.push_back(step_json(step));
  json["rungs"] = std::move(rungs);
  if (!plan.chain.empty()) {
    Json chain = Json::array();
    for (const ChainItem& item : plan.chain) chain.push_back(chain_item_json(item));
    json["chain"] = std::move(chain);
  }
  if (!file.view.is_null()) json["view"] = file.view;
  put_notes(file.notes, json);
  // Text that is not UTF-8 is replaced, never thrown over.
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

const PlanFile& demo_plan() {
  static const PlanFile plan = built_in(read_plan(embedded::demo_plan_json, "assets/demo/demo_plan.json"));
  return plan;
}

}  // namespace halfturn
