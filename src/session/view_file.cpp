#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include "session/session.hpp"

namespace halfturn {
namespace {

constexpr std::array<std::string_view, 4> camera_words{"side", "front", "above", "eyes"};

struct ToggleName {
  const char* name;
  bool Toggles::*toggle;
};
constexpr ToggleName toggle_names[] = {
    {"ghosts", &Toggles::ghosts},         {"traces", &Toggles::traces},
    {"labels", &Toggles::labels},         {"both_sides", &Toggles::both_sides},
    {"landings", &Toggles::landings},     {"flip_axis", &Toggles::flip_axis},
    {"momentum", &Toggles::momentum},     {"long_axis", &Toggles::long_axis},
    {"tilt_wedge", &Toggles::tilt_wedge},
};

/// Reads members that are there and of the right kind; leaves everything else as it is.
class Reader {
 public:
  explicit Reader(const Json& json) : json_(json) {}
  void number(const char* key, double& value, double low, double high) const {
    const Json* member = find(key);
    if (member == nullptr || !member->is_number()) return;
    const double read = member->get<double>();
    if (std::isfinite(read)) value = std::clamp(read, low, high);
  }
  void flag(const char* key, bool& value) const {
    const Json* member = find(key);
    if (member != nullptr && member->is_boolean()) value = member->get<bool>();
  }
  void text(const char* key, std::string& value) const {
    const Json* member = find(key);
    if (member != nullptr && member->is_string()) value = member->get<std::string>();
  }
  /// One of the values 0 to count - 1 by the word for it.
  template <class Value, class Words>
  void word(const char* key, int count, Words&& word_of, Value& value) const {
    const Json* member = find(key);
    if (member == nullptr || !member->is_string()) return;
    for (int i = 0; i < count; ++i) {
      if (member->get<std::string>() == word_of(static_cast<Value>(i))) value = static_cast<Value>(i);
    }
  }
  [[nodiscard]] const Json* find(const char* key) const {
    if (!json_.is_object()) return nullptr;
    const auto member = json_.find(key);
    return member == json_.end() ? nullptr : &*member;
  }

 private:
  const Json& json_;
};

StageChoice stage_choice_of(const Reader& read, std::size_t rungs) {
  StageChoice choice;
  read.word("pair", pairing_count, pairing_word, choice.pairing);
  read.word("flight", planned_source_count, flight_source_word, choice.source);
  double rung = -1, form = 1;
  read.number("rung", rung, 0, static_cast<double>(rungs - 1));
  read.number("form", form, 1, 2);
  if (rung >= 0) choice.rung = static_cast<std::size_t>(rung);
  choice.form = static_cast<std::size_t>(form);
  read.text("base", choice.base);
  read.text("takeoff", choice.takeoff);
  std::string side;
  read.text("side", side);
  for (const Side one : {Side::left, Side::right}) {
    if (side == word(one)) choice.side = one;
  }
  return choice;
}

Comparison comparison_of(const Reader& read, std::size_t rungs) {
  Comparison comparison;
  read.word("lock", lock_count, lock_word, comparison.lock);
  read.word("flight", planned_source_count, flight_source_word, comparison.source);
  read.flag("table", comparison.table);
  read.flag("overlaid", comparison.overlaid);
  const Json* stages = read.find("stages");
  if (stages == nullptr || !stages->is_array() || stages->empty()) {
    // Of two stages only, as it was written first.
    comparison.beside = {stage_choice_of(read, rungs)};
    return comparison;
  }
  comparison.beside.clear();
  for (const Json& stage : *stages) {
    if (comparison.beside.size() + 1 < most_stages)
      comparison.beside.push_back(stage_choice_of(Reader(stage), rungs));
  }
  return comparison;
}

Json stage_json(const StageChoice& choice) {
  Json json{{"pair", pairing_word(choice.pairing)},
            {"form", choice.form},
            {"flight", flight_source_word(choice.source)}};
  if (choice.rung) json["rung"] = *choice.rung;
  if (!choice.base.empty()) json["base"] = choice.base;
  if (!choice.takeoff.empty()) json["takeoff"] = choice.takeoff;
  if (choice.side) json["side"] = word(*choice.side);
  return json;
}

}  // namespace

std::string_view camera_word(CameraKind camera) {
  return camera_words[static_cast<std::size_t>(camera)];
}

Json view_json(const Session& session) {
  Json json;
  json["rung"] = session.rung;
  json["time_s"] = session.playback.t;
  json["flight_s"] = session.duration;
  json["rate"] = session.playback.rate;
  json["frames_per_second"] = session.playback.fps;
  json["playing"] = session.playback.playing;
  json["loop"] = session.playback.loop;
  json["whole_climb"] = session.playback.whole_climb;
  json["camera"] = camera_word(session.look.camera);
  json["gaze"] = gaze_word(session.look.gaze);
  const CameraOffset& offset = session.look.offset;
  json["camera_offset"] = {{"yaw_rad", offset.yaw},
                           {"pitch_rad", offset.pitch},
                           {"pan_right_m", offset.pan_right},
                           {"pan_up_m", offset.pan_up},
                           {"zoom", offset.zoom}};
  Json shown = Json::object();
  for (const ToggleName& entry : toggle_names) shown[entry.name] = session.look.toggles.*entry.toggle;
  json["shown"] = std::move(shown);
  json["curves"] = session.look.curves;
  json["on_the_wall"] = session.look.wall;
  json["chain"] = {
      {"shown", session.sheet == Sheet::chain}, {"time_s", session.chain_t}, {"picked", session.picked_link}};
  // A record is the athlete's and not part of a plan that is handed on.
  if (const auto comparison =
          session.look.comparison ? without_record(*session.look.comparison) : std::nullopt) {
    Json stages = Json::array();
    for (const StageChoice& choice : comparison->beside) stages.push_back(stage_json(choice));
    json["beside"] = {{"stages", std::move(stages)},
                      {"flight", flight_source_word(comparison->source)},
                      {"lock", lock_word(comparison->lock)},
                      {"overlaid", comparison->overlaid},
                      {"table", comparison->table}};
  }
  return json;
}

void restore_view(Session& session, const Json& view) {
  const Reader read(view);
  double rung = static_cast<double>(session.rung);
  read.number("rung", rung, 0, static_cast<double>(session.ladder->rungs.size() - 1));
  session.rung = static_cast<std::size_t>(rung);
  session.duration = drawn_duration(session.rung_now());
  read.number("rate", session.playback.rate, slowest_rate, 1);
  double fps = session.playback.fps;
  read.number("frames_per_second", fps, slowest_fps, fastest_fps);
  session.playback.fps = static_cast<int>(fps);
  read.flag("playing", session.playback.playing);
  read.flag("loop", session.playback.loop);
  read.flag("whole_climb", session.playback.whole_climb);
  read.word("camera", static_cast<int>(camera_words.size()), camera_word, session.look.camera);
  read.word("gaze", gaze_count, gaze_word, session.look.gaze);
  if (const Json* offset = read.find("camera_offset")) {
    const Reader part(*offset);
    part.number("yaw_rad", session.look.offset.yaw, -100, 100);
    part.number("pitch_rad", session.look.offset.pitch, -1.5, 1.5);
    part.number("pan_right_m", session.look.offset.pan_right, -5, 5);
    part.number("pan_up_m", session.look.offset.pan_up, -5, 5);
    part.number("zoom", session.look.offset.zoom, 0.3, 6);
  }
  if (const Json* shown = read.find("shown")) {
    const Reader part(*shown);
    for (const ToggleName& entry : toggle_names) part.flag(entry.name, session.look.toggles.*entry.toggle);
  }
  read.flag("curves", session.look.curves);
  read.flag("on_the_wall", session.look.wall);
  if (const Json* beside = read.find("beside"); beside != nullptr && beside->is_object())
    session.look.comparison = comparison_of(Reader(*beside), session.ladder->rungs.size());
  if (const Json* chain = read.find("chain")) {
    const Reader part(*chain);
    bool shown = false;
    double picked = 0;
    part.flag("shown", shown);
    if (shown) session.sheet = Sheet::chain;
    part.number("time_s", session.chain_t, 0, session.chain ? session.chain->duration() : 0);
    part.number("picked", picked, 0,
                static_cast<double>(std::max<std::size_t>(1, session.plan.chain.size()) - 1));
    session.picked_link = static_cast<std::size_t>(picked);
  }
  constexpr double longest_flight = 5;  // s
  const bool shares_time = session.look.comparison && session.look.comparison->lock == Lock::time;
  double length = session.duration;
  read.number("flight_s", length, 1e-3, longest_flight);
  // Of flights that share a time the longer counts, which is not known here.
  read.number("time_s", session.playback.t, 0, shares_time ? longest_flight : length);
  // The flight that was left may have been simulated and of another length: the cursor keeps its share.
  if (!shares_time && length != session.duration)
    session.playback.t =
        session.playback.t >= length ? session.duration : session.playback.t * session.duration / length;
}

}  // namespace halfturn
