#include "film_shots.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scene/compose.hpp"
#include "session/compare.hpp"
#include "session/words.hpp"

namespace halfturn {
namespace {

constexpr double before_s = 0.7, after_s = 1.4;  // standing at the start and on the landing
constexpr double walk_still_s = 1.2;             // the same of the floor walk

double lead(const FilmShot& shot) {
  return shot.walk ? walk_still_s : before_s;
}
double body(const FilmShot& shot) {
  return shot.stages[0].flight.duration() / shot.speed;
}
double length_of(const FilmShot& shot) {
  return lead(shot) + body(shot) + (shot.walk ? walk_still_s : after_s);
}

/// The moment of a stage's flight, s from takeoff, at a time of the shot: before takeoff and past landing in
/// seconds of the film, between them the share of the flight that the first stage has done.
double moment(const FilmShot& shot, const Flight& flight, double t) {
  if (t < lead(shot)) return shot.walk ? 0 : t - lead(shot);
  const double share = (t - lead(shot)) / body(shot);
  if (share < 1) return share * flight.duration();
  return shot.walk ? flight.duration() : flight.duration() + (t - lead(shot) - body(shot));
}

/// Seen from above; the yellow beam is where the walk ends.
View walk_view(View view, const Rung& rung) {
  view.camera = CameraKind::above;
  view.toggles.traces = false;
  view.beam_heading_deg = rung.walk_face_deg;
  return view;
}

/// The climb as it is walked: nobody kicks, and where the landing is held the floor does not show the turn in
/// the air, which goes the other way.
std::shared_ptr<const Ladder> as_walked(Ladder ladder) {
  for (Rung& rung : ladder.rungs) {
    rung.kick.reset();
    if (!ladder.holds_start) rung.turn_deg = 0;
  }
  return std::make_shared<const Ladder>(std::move(ladder));
}

std::string speed_text(double speed) {
  const double inverse = 1 / speed;
  return speed < 1 && std::abs(inverse - std::round(inverse)) < 1e-9 ? fmt::format("1/{:.0f}", inverse)
                                                                     : fmt::format("{:.3g}", speed);
}

/// A line of words `up` design pixels above the lower edge.
void put(Scene& scene, const View& view, const std::string& text, double up, double size, Weight weight,
         Color color) {
  const double px = view.scale;
  scene.items.emplace_back(Label{text, 40 * px, view.height_px - up * px, size * px, weight, Align::left,
                                 color, palette_of(view.theme).air});
}

}  // namespace

void FilmShots::add(FilmShot shot) {
  length_ += length_of(shot);
  const bool same = !shots_.empty() && shots_.back().stages[0].ladder == shot.stages[0].ladder;
  walked_.push_back(!shot.walk ? nullptr : same ? walked_.back() : as_walked(*shot.stages[0].ladder));
  shots_.push_back(std::move(shot));
}

std::vector<Scene> FilmShots::at(double t) const {
  std::size_t k = 0;
  while (k + 1 < shots_.size() && t >= length_of(shots_[k])) t -= length_of(shots_[k++]);
  const FilmShot& shot = shots_[k];
  if (shot.walk) return {walk_scene(k, t)};
  std::vector<Scene> scenes;
  for (std::size_t stage = 0; stage < shot.stages.size(); ++stage)
    scenes.push_back(flight_scene(shot, stage, t));
  return scenes;
}

Scene FilmShots::walk_scene(std::size_t k, double t) const {
  const FilmShot& shot = shots_[k];
  const FilmStage& stage = shot.stages[0];
  const Rung& rung = stage.ladder->rungs[stage.rung];
  const View view = walk_view(view_, rung);
  Scene scene = compose(*walked_[k], stage.rung, stage.flight, moment(shot, stage.flight, t), view);
  if (!captions_) return scene;
  const WalkWords words = walk_words(*stage.ladder, stage.rung);
  const int step = t < lead(shot) ? 0 : t < lead(shot) + body(shot) ? 1 : 2;
  const Side way = rung.walk_turn_deg == 0  ? stage.ladder->plan.side
                   : rung.walk_turn_deg < 0 ? Side::right
                                            : Side::left;
  add_answer(scene,
             {words.caption, words.title[step], signed_turn_words(rung.walk_turn_deg), words.text[step]}, way,
             view);
  put(scene, view, std::string(ladder_caution), 30, 16, Weight::medium, palette_of(view.theme).dim);
  return scene;
}

Scene FilmShots::flight_scene(const FilmShot& shot, std::size_t index, double t) const {
  const FilmStage& stage = shot.stages[index];
  const Ladder& ladder = *stage.ladder;
  const Rung& rung = ladder.rungs[stage.rung];
  const double time = moment(shot, stage.flight, t), duration = stage.flight.duration();
  Scene scene = compose(ladder, stage.rung, stage.flight, time, view_);
  if (!captions_) return scene;
  const Palette& c = palette_of(view_.theme);
  const AnswerWords words = answer_words(ladder, stage.rung);
  add_answer(scene, {words.lead, words.wall, words.turn, words.landing}, ladder.plan.side, view_);
  const FlightSample now = stage.flight.at(std::clamp(time, 0.0, duration));
  const std::string progress = time < 0          ? "start"
                               : time > duration ? "landed"
                                                 : progress_words(turned_so_far_deg(rung, now, duration),
                                                                  rung.turn_deg, ladder.plan.side);
  put(scene, view_, fmt::format("{}: {}", rung.title, progress), 62, 24, Weight::bold, c.ink);
  // Whoever stands has time to read what holds for all of it.
  if (time < 0 || time > duration) {
    put(scene, view_, std::string(ladder_caution), 30, shot.stages.size() > 1 ? 14 : 16, Weight::medium,
        c.dim);
    return scene;
  }
  const bool drawn = stage.flight.provenance() == Provenance::drawn;
  const std::string air = fmt::format("{:.2f} of {:.2f} s", time, duration);
  // Half a picture has room for half the words; what tells the stages apart goes first.
  put(scene, view_,
      shot.stages.size() > 1
          ? fmt::format("{}; {}, {}", stage_words(rung), air, drawn ? "drawn" : "simulated")
          : fmt::format("{} (estimate), {} speed, {}", air, speed_text(shot.speed),
                        drawn ? "drawn, not simulated" : "simulated"),
      30, 16, Weight::medium, c.dim);
  return scene;
}

}  // namespace halfturn
