#include "state_json.hpp"

#include <algorithm>

#include "ladder/attempt_record.hpp"
#include "ladder/flight_facts.hpp"
#include "rotation/heading.hpp"
#include "session/class_board.hpp"
#include "session/words.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr int arc_samples = 48, arc_beads = 9;

Json key_json(const RungKey& key) {
  return {{"skill", key.skill},     {"twist_deg", key.twist_deg},
          {"side", word(key.side)}, {"takeoff", key.takeoff},
          {"surface", key.surface}, {"setup", key.setup},
          {"shape", key.shape},     {"timing", key.early ? "early" : "late"}};
}

/// What the flights say of a rung's air; empty where they are drawn.
std::optional<AirShown> air_of(const Session& s, std::size_t rung) {
  return rung < s.air.size() ? s.air[rung] : std::nullopt;
}

Json answer_json(const Ladder& ladder, std::size_t rung) {
  const AnswerWords words = answer_words(ladder, rung);
  return {{"lead", words.lead}, {"wall", words.wall}, {"turn", words.turn}, {"landing", words.landing}};
}

}  // namespace

Json climb_json(const Session& s) {
  const Ladder& ladder = *s.ladder;
  Json json{{"title", ladder.plan.title}, {"athlete", ladder.plan.athlete}, {"side", word(ladder.plan.side)},
            {"caution", ladder_caution},  {"outcomes", Json::array()},      {"rungs", Json::array()}};
  for (std::size_t i = 0; i < attempt_outcome_words.size(); ++i) {
    const auto outcome = static_cast<AttemptOutcome>(i);
    json["outcomes"].push_back({{"word", word(outcome)}, {"needs_heading", !needs_no_heading(outcome)}});
  }
  const std::vector<GateDemand> demands = gate_demands(ladder);
  for (std::size_t k = 0; k < ladder.rungs.size(); ++k) {
    const Rung& rung = ladder.rungs[k];
    json["rungs"].push_back({{"title", rung.title},
                             {"answer", answer_json(ladder, k)},
                             {"turn_deg", rung.turn_deg},
                             {"heading_deg", rung.landing.heading_deg},
                             {"step_deg", rung.step_deg},
                             {"cue", rung.cue},
                             {"warnings", rung.warnings},
                             {"short_of_air", short_of_air_words(rung, air_of(s, k))},
                             {"forms", rung.forms.size()},
                             {"has_heading", demands[k].has_heading},
                             {"key", key_json(rung_key(ladder, k))}});
  }
  return json;
}

Json gates_json(const std::vector<Gate>& gates) {
  Json json = Json::array();
  for (const Gate& gate : gates) {
    json.push_back({{"controlled", std::min(gate.controlled_in_a_row, gate.needed)},
                    {"needed", gate.needed},
                    {"passed", gate.passed},
                    {"attempts", gate.attempts},
                    {"crashes", gate.crashes},
                    {"reason", gate.reason}});
  }
  return json;
}

Json arc_json(const Rung& rung, const Flight& flight) {
  const double duration = flight.duration();
  const double first = flight.at(0).com_W.y, last = flight.at(duration).com_W.y;
  // Over the line from takeoff to landing, so that both ends are on the ground; 1 at the top.
  std::vector<double> heights;
  double highest = 1e-9;
  for (int i = 0; i <= arc_samples; ++i) {
    const double share = static_cast<double>(i) / arc_samples;
    heights.push_back(flight.at(share * duration).com_W.y - first - (last - first) * share);
    highest = std::max(highest, heights.back());
  }
  for (double& height : heights) height /= highest;
  Json beads = Json::array(), events = Json::array();
  for (int i = 1; i <= arc_beads; ++i) {
    const double share = static_cast<double>(i) / (arc_beads + 1);
    beads.push_back(
        {{"share", share}, {"turned_deg", turned_so_far_deg(rung, flight.at(share * duration), duration)}});
  }
  for (const FlightEvent& event : flight.events()) {
    events.push_back({{"kind", event_word(event.kind)},
                      {"share", event.time / duration},
                      {"words", event_words(event, rung)}});
  }
  return {{"heights", heights}, {"beads", beads}, {"events", events}};
}

std::string maker_words(const Flight& flight, const MadeWords& made) {
  if (flight.provenance() != Provenance::drawn)
    return std::string(provenance_word(flight.provenance())) + ", " + made.whose;
  return made.why_drawn.empty() ? "drawn, not simulated" : made.why_drawn;
}

Json rung_notes_json(const Session& s, const Coaching& coaching) {
  const Rung& now = s.rung_now();
  const std::optional<AirShown> air = air_of(s, s.rung);
  Json finish = Json::array();
  for (const FinishLine& line : coaching.finish.lines)
    finish.push_back({{"part", finish_part_word(line.part)}, {"text", line.text}});
  return {{"description", now.description},
          {"start", "facing " + facing_words(now.start.heading_deg, s.plan.walls) + ", " + now.start.stance +
                        ", feet " + now.start.feet},
          {"floor_walk", now.floor_walk},
          {"air_time_needed_s", air ? air->needed_s : now.air_time_needed_s},
          {"finish_source", coaching.finish.source},
          {"finish", std::move(finish)}};
}

Json now_json(const Session& s, const Flight& flight) {
  const Rung& rung = s.rung_now();
  const double duration = flight.duration();
  const FlightSample now = flight.at(std::min(s.playback.t, duration));
  const double turned = turned_so_far_deg(rung, now, duration);
  return {{"rung", s.rung},
          {"t", s.playback.t},
          {"duration", s.duration},
          {"share", s.duration > 0 ? s.playback.t / s.duration : 0},
          {"frame", frame_at(s.playback.t, s.duration, s.playback.fps)},
          {"last_frame", last_frame(s.duration, s.playback.fps)},
          {"playing", s.playback.playing},
          {"rate", s.playback.rate},
          {"rate_words", rate_words(s.playback.rate)},
          {"turned_deg", turned},
          {"words", progress_words(turned, rung.turn_deg, rung.side)},
          {"camera", static_cast<int>(s.look.camera)},
          {"yaw_deg", to_deg(s.look.offset.yaw)},
          {"zoom", s.look.offset.zoom},
          {"theme", static_cast<int>(s.settings.theme)},
          {"stages", s.stages.size()},
          {"notice", s.notice}};
}

Json compare_json(const Session& s, const std::vector<Flight>& flights) {
  std::vector<FlightFacts> facts;
  for (std::size_t i = 0; i < s.stages.size(); ++i)
    facts.push_back(flight_facts(s.stages[i].now(), flights[i], {}));
  std::vector<StageFacts> told;
  for (std::size_t i = 0; i < s.stages.size(); ++i) told.push_back({s.stages[i].now(), facts[i]});
  CompareWords words = compare_words(told, s.plan.walls);
  // Flights that came as data carry no momentum, which is what these words are told by in the window.
  const auto drawn = [](const Flight& flight) { return flight.provenance() == Provenance::drawn; };
  if (std::any_of(flights.begin(), flights.end(), drawn) &&
      !std::all_of(flights.begin(), flights.end(), drawn))
    words.differs = words.differs == "no difference" ? "differs: one drawn, one simulated"
                                                     : words.differs + ", one drawn, one simulated";
  Json json{{"pairing", pairing_word(s.look.comparison->beside.front().pairing)},
            {"lead", words.lead},
            {"wall", words.wall},
            {"differs", words.differs},
            {"same_wall", words.same_wall},
            {"stages", Json::array()}};
  for (std::size_t i = 0; i < s.stages.size(); ++i) {
    const Rung& rung = s.stages[i].now();
    json["stages"].push_back({{"name", stage_name(i, s.stages)},
                              {"words", stage_words(rung)},
                              {"made", provenance_word(flights[i].provenance())},
                              {"side", word(rung.side)},
                              {"turn_deg", rung.turn_deg},
                              {"heading_deg", rung.landing.heading_deg},
                              {"wall", facing_words(rung.landing.heading_deg, s.plan.walls)}});
  }
  return json;
}

}  // namespace halfturn
