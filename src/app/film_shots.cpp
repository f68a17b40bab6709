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

}  // namespace

void FilmShots::add(FilmShot shot) {
  // All words keep over the line at the foot, and so does the flyer.
  const double line = foot_height_px(foot(shot, 0), width_px(shot), view_);
  foot_px_ = std::max(foot_px_, line);
  view_.inset_bottom_px = foot_px_ + (captions_ ? 44 * view_.scale : 0);
  length_ += length_of(shot);
  const bool same = !shots_.empty() && shots_.back().stages[0].ladder == shot.stages[0].ladder;
  walked_.push_back(!shot.walk ? nullptr : same ? walked_.back() : as_walked(*shot.stages[0].ladder));
  shots_.push_back(std::move(shot));
}

std::vector<Scene> FilmShots::at(double t) const {
  std::size_t k = 0;
  while (k + 1 < shots_.size() && t >= length_of(shots_[k])) t -= length_of(shots_[k++]);
  const FilmShot& shot = shots_[k];
  std::vector<Scene> scenes;
  const std::vector<FootPart> parts = foot(shot, t);
  for (std::size_t stage = 0; stage < shot.stages.size(); ++stage) {
    scenes.push_back(shot.walk ? walk_scene(k, t) : flight_scene(shot, stage, t));
    // One line under all stages: each shows its piece of it.
    add_foot(scenes.back(), parts, width_px(shot), static_cast<double>(stage) * view_.width_px, view_);
  }
  return scenes;
}

std::vector<FootPart> FilmShots::foot(const FilmShot& shot, double t) const {
  std::vector<FootPart> parts;
  for (const FilmStage& stage : shot.stages) {
    const double duration = stage.flight.duration();
    parts.push_back(
        {fmt::format("{}{}", parts.empty() ? "" : "beside: ", stage.ladder->rungs[stage.rung].title), false});
    if (shot.walk) {
      parts.push_back({"floor walk", false});
      continue;
    }
    parts.push_back(stage.told);
    parts.push_back({fmt::format("{:.2f} of {:.2f} s",
                                 std::clamp(moment(shot, stage.flight, t), 0.0, duration), duration),
                     false});
  }
  parts.push_back({std::string(short_caution), false});
  return parts;
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
  return scene;
}

Scene FilmShots::flight_scene(const FilmShot& shot, std::size_t index, double t) const {
  const FilmStage& stage = shot.stages[index];
  const Ladder& ladder = *stage.ladder;
  const Rung& rung = ladder.rungs[stage.rung];
  const double time = moment(shot, stage.flight, t), duration = stage.flight.duration();
  Scene scene = compose(ladder, stage.rung, stage.flight, time, view_);
  if (!captions_) return scene;
  const AnswerWords words = answer_words(ladder, stage.rung);
  add_answer(scene, {words.lead, words.wall, words.turn, words.landing}, ladder.plan.side, view_);
  const FlightSample now = stage.flight.at(std::clamp(time, 0.0, duration));
  const std::string progress = time < 0          ? "start"
                               : time > duration ? "landed"
                                                 : progress_words(turned_so_far_deg(rung, now, duration),
                                                                  rung.turn_deg, ladder.plan.side);
  const std::string over =
      shot.stages.size() > 1 ? stage_words(rung) : fmt::format("{} speed", speed_text(shot.speed));
  add_caption(scene, fmt::format("{}: {}", rung.title, progress), over, foot_px_, view_);
  return scene;
}

}  // namespace halfturn
