#include "format/ladder_json.hpp"

namespace halfturn {
namespace {

template <class T>
Json or_null(const std::optional<T>& value) {
  return value ? Json(*value) : Json(nullptr);
}

Json start_json(const RungStart& start) {
  return {{"heading_deg", start.heading_deg}, {"stance", start.stance}, {"feet", start.feet}};
}

Json kick_json(const std::optional<RungKick>& kick) {
  if (!kick) return nullptr;
  return {{"leg", kick->leg},
          {"kind", kick->kind},
          {"strike_share", or_null(kick->strike_share)},
          {"strike_heading_deg", kick->strike_heading_deg}};
}

Json forms_json(const std::vector<RungForm>& forms) {
  Json list = Json::array();
  for (const RungForm& form : forms) {
    list.push_back({{"label", form.label},
                    {"turn_deg", form.turn_deg},
                    {"start", start_json(form.start)},
                    {"kick", kick_json(form.kick)},
                    {"landing_feet", form.landing_feet}});
  }
  return list;
}

Json finish_json(const FinishPlan& finish) {
  Json json;
  json["lines"] = Json::array();
  for (const FinishLine& line : finish.lines) {
    json["lines"].push_back(
        {{"part", finish_part_word(line.part)}, {"time_s", or_null(line.time_s)}, {"text", line.text}});
  }
  json["source"] = finish.source;
  json["floor_seen_s"] = Json::array();
  for (const SightSpan& span : finish.floor_seen) json["floor_seen_s"].push_back({span.from_s, span.to_s});
  return json;
}

/// Numbers of a flight are null where no flight of this body lands as planned.
Json simulation_json(const RungSimulation& s) {
  const SolvedNumbers& n = s.solved.numbers;
  const auto of_flight = [&](double value) { return s.solved.flight ? Json(value) : Json(nullptr); };
  Json json;
  json["flight"] = provenance_word(flies_simulated(s) ? Provenance::simulated : Provenance::drawn);
  json["feasible"] = s.solved.feasibility.feasible;
  json["shortfalls"] = s.solved.feasibility.shortfalls;
  json["cautions"] = s.solved.feasibility.cautions;
  json["effort"] = effort_word(s.effort);
  json["air_time_s"] = s.air_time_s;
  json["air_time_is_measured"] = s.air_time_measured;
  json["air_time_needed_s"] = or_null(s.air_time_needed_s);
  json["momentum_needed_kgm2_s"] = n.momentum;
  json["momentum_available_kgm2_s"] = n.momentum_limit;
  json["momentum_of_base_kgm2_s"] = or_null(s.base_momentum);
  json["peak_somersault_rate_rev_s"] = of_flight(n.peak_flip_rate);
  json["peak_twist_rate_rev_s"] = of_flight(n.peak_twist_rate);
  json["greatest_tilt_deg"] = of_flight(n.greatest_tilt_deg);
  json["landing_tilt_deg"] = of_flight(n.landing_tilt_deg);
  json["landing_twist_rate_deg_s"] = of_flight(n.landing_twist_rate_deg);
  json["landing_angle_deg"] = of_flight(n.landing_angle_deg);
  json["heading_error_deg"] = of_flight(n.heading_error_deg);
  json["contact_twist_deg"] = of_flight(n.contact_twist_deg);
  json["momentum_incline_deg"] = of_flight(n.incline_deg);
  json["takeoff_lean_deg"] = of_flight(n.takeoff_lean_deg);
  json["opening_time_s"] = of_flight(n.open_time);
  json["arms"] = Json::array();
  for (const ArmMove& move : s.solved.flight ? s.solved.flight->arm_moves() : std::vector<ArmMove>()) {
    json["arms"].push_back(
        {{"time_s", move.time}, {"arm", move.left ? "left" : "right"}, {"move", move.in ? "in" : "out"}});
  }
  json["finish"] = s.solved.finish;
  json["note"] = "model estimate";
  return json;
}

Json rung_json(const Rung& rung, const std::string& cycle, const FinishPlan* finish,
               const RungSimulation* simulation) {
  Json json;
  json["index"] = rung.index;
  json["name"] = or_null(rung.name);
  json["aliases"] = rung.aliases;
  json["title"] = rung.title;
  json["description"] = rung.description;
  json["discipline"] = rung.skill->discipline;
  json["skill"] = rung.skill->name;
  json["side"] = word(rung.side);
  json["step_deg"] = rung.step_deg;
  json["flip_deg"] = rung.flip_deg;
  json["twist_deg"] = rung.twist_deg;
  json["turn_deg"] = rung.turn_deg;
  json["floor_turn_deg"] = rung.floor_turn_deg;
  json["air_turn_deg"] = rung.air_turn_deg;
  json["foot_turn_deg"] = rung.foot_turn_deg;
  json["incline_deg"] = rung.values.incline_deg;
  json["lean_deg"] = rung.values.lean_deg;
  json["landing_lean_deg"] = rung.values.landing_lean_deg;
  json["takeoff_phase_deg"] = rung.values.takeoff_phase_deg;
  json["landing_phase_deg"] = rung.values.landing_phase_deg;
  json["twist_onset"] = rung.values.twist_onset;
  json["twist_end"] = rung.values.twist_end;
  json["setup"] = rung.setup;
  json["takeoff"] = rung.takeoff;
  json["surface"] = rung.surface;
  json["shape"] = rung.shape;
  json["mark_deg"] = rung.mark_deg;
  json["start"] = start_json(rung.start);
  json["takeoff_feet"] = rung.takeoff_feet;
  json["kick"] = kick_json(rung.kick);
  json["landing"] = {{"heading_deg", rung.landing.heading_deg},
                     {"contact_heading_deg", or_null(rung.landing.contact_heading_deg)},
                     {"contact_angle_deg", rung.landing.contact_angle_deg},
                     {"stance", rung.landing.stance},
                     {"feet", rung.landing.feet},
                     {"kind", rung.landing.kind}};
  json["counted_deg"] = or_null(rung.counted_deg);
  json["forms"] = forms_json(rung.forms);
  json["floor_walk"] = rung.floor_walk;
  json["walk"] = {{"stand_heading_deg", rung.walk_stand_deg},
                  {"turn_deg", rung.walk_turn_deg},
                  {"face_heading_deg", rung.walk_face_deg}};
  json["cue"] = rung.cue;
  json["finish"] = finish == nullptr ? Json(nullptr) : finish_json(*finish);
  json["gate"] = nullptr;
  json["air_time_needed_s"] = rung.air_time_needed_s;
  json["air_time_is_estimate"] = true;
  json["air_time_from"] = rung.air_time_simulated ? "simulation" : "table";
  json["air_time_margin_s"] = or_null(rung.air_time_margin_s);
  json["simulation"] = simulation == nullptr ? Json(nullptr) : simulation_json(*simulation);
  json["difficulty"] = rung.difficulty ? Json{{"value", *rung.difficulty}, {"cycle", cycle}} : Json(nullptr);
  json["warnings"] = rung.warnings;
  return json;
}

}  // namespace

Json ladder_json(const Ladder& ladder, const std::vector<FinishPlan>& finishes,
                 const std::vector<RungSimulation>& simulations) {
  Json json;
  json["base"] = ladder.base->name;
  json["side"] = word(ladder.plan.side);
  json["hold"] = ladder.holds_start ? "start" : "landing";
  json["rungs"] = Json::array();
  for (std::size_t k = 0; k < ladder.rungs.size(); ++k) {
    json["rungs"].push_back(rung_json(ladder.rungs[k], ladder.cycle,
                                      k < finishes.size() ? &finishes[k] : nullptr,
                                      k < simulations.size() ? &simulations[k] : nullptr));
  }
  json["caution"] = ladder_caution;
  return json;
}

}  // namespace halfturn
