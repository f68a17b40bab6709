#include <algorithm>
#include <cmath>

#include "apply.hpp"
#include "format/link_file.hpp"

namespace halfturn {
namespace {

/// Whether the cursor is a time that two flights share: it then stands for itself and no share of a flight.
bool locked_by_time(const Session& s) {
  return s.look.comparison && s.look.comparison->lock == Lock::time;
}

}  // namespace

void set_flight_length(Session& s, double duration, bool keep_share) {
  // Of two flights that share a time the longer counts; who knows both tells its length next.
  if (locked_by_time(s) && !keep_share) return;
  if (keep_share && !locked_by_time(s))
    s.playback.t = s.playback.t >= s.duration ? duration : s.playback.t * duration / s.duration;
  s.duration = duration;
  s.playback.t = std::min(s.playback.t, s.duration);
  if (s.playback.t < s.duration) s.playback.landed = 0;
}

void find_chain(Session& s, const Library& library) {
  s.chain = nullptr;
  s.chain_problem.clear();
  s.picked_link = std::min(s.picked_link, std::max<std::size_t>(1, s.plan.chain.size()) - 1);
  if (s.plan.chain.empty()) return;
  Result<ChainRun> run = run_chain(s.plan, library.vocabulary, built_in_links(), library.difficulty);
  if (!run) {
    s.chain_problem = run.problem().text;
    return;
  }
  s.chain = std::make_shared<const ChainRun>(std::move(run).value());
  s.chain_t = std::min(s.chain_t, s.chain->duration());
}

void Applier::operator()(const PickLink& edit) {
  if (edit.link >= s.plan.chain.size()) return;
  s.picked_link = edit.link;
  // The cursor goes along, so that the stage shows what is spoken of.
  if (s.chain) s.chain_t = s.chain->stops[edit.link].start_s;
  s.chain_landed = 0;
}

void Applier::operator()(const AddLink& edit) {
  Plan plan = s.plan;
  const std::size_t at = plan.chain.empty() ? 0 : s.picked_link + 1;
  plan.chain.insert(plan.chain.begin() + static_cast<std::ptrdiff_t>(at), edit.item);
  change_chain(plan, at);
}

void Applier::operator()(const ChangeLink& edit) {
  if (s.plan.chain.empty()) return (*this)(AddLink{edit.item});
  Plan plan = s.plan;
  plan.chain[s.picked_link] = edit.item;
  change_chain(plan, s.picked_link);
}

void Applier::operator()(const RemoveLink&) {
  if (s.plan.chain.empty()) return;
  Plan plan = s.plan;
  plan.chain.erase(plan.chain.begin() + static_cast<std::ptrdiff_t>(s.picked_link));
  change_chain(plan, s.picked_link == 0 ? 0 : s.picked_link - 1);
}

void Applier::operator()(const MoveLink& edit) {
  const auto count = static_cast<std::ptrdiff_t>(s.plan.chain.size());
  const auto from = static_cast<std::ptrdiff_t>(s.picked_link), to = from + edit.by;
  if (from >= count || to < 0 || to >= count) return;
  Plan plan = s.plan;
  std::swap(plan.chain[static_cast<std::size_t>(from)], plan.chain[static_cast<std::size_t>(to)]);
  change_chain(plan, static_cast<std::size_t>(to));
}

void Applier::operator()(const Tick& edit) {
  const double dt = std::clamp(edit.dt, 0.0, 0.1);
  s.motion.camera += dt;
  s.motion.rung += dt;
  s.motion.walk += dt;
  if (s.sheet == Sheet::walk) return walk_on();
  if (s.plays_chain()) return chain_on(dt);
  const Ticked next = ticked(s.playback, dt, s.duration);
  s.playback = next.playback;
  if (next.next_rung) choose_rung(s, (s.rung + 1) % s.ladder->rungs.size());
}

void Applier::operator()(const Seek& edit) {
  if (s.plays_chain()) {
    s.chain_t = std::isfinite(edit.t) ? std::clamp(edit.t, 0.0, s.chain->duration()) : 0;
    s.chain_landed = 0;
    s.playback.playing = false;
    return;
  }
  s.playback.t = std::isfinite(edit.t) ? std::clamp(edit.t, 0.0, s.duration) : 0;
  s.playback.playing = false;
  s.playback.landed = 0;
}

void Applier::operator()(const StepFrames& edit) {
  if (s.plays_chain()) {
    const Playback moved = stepped(chain_playback(), edit.frames, s.chain->duration());
    s.chain_t = moved.t;
    s.chain_landed = 0;
    s.playback.playing = false;
    return;
  }
  s.playback = stepped(s.playback, edit.frames, s.duration);
}

void Applier::operator()(const Play& edit) {
  s.playback.playing = edit.playing;
  s.motion.walk = 0;
  if (s.plays_chain()) {
    if (edit.playing && s.chain_t >= s.chain->duration()) s.chain_t = 0;
    s.chain_landed = 0;
    return;
  }
  if (edit.playing && s.playback.t >= s.duration) s.playback.t = 0;
  s.playback.landed = 0;
}

void Applier::operator()(const ChooseRate& edit) {
  s.playback.rate = std::clamp(edit.rate, slowest_rate, 1.0);
}

void Applier::operator()(const ChooseFps& edit) {
  s.playback.fps = std::clamp(edit.fps, slowest_fps, fastest_fps);
}

void Applier::operator()(const ChooseLoop& edit) {
  s.playback.loop = edit.loop;
  s.playback.whole_climb = edit.whole_climb;
}

void Applier::operator()(const FlightLength& edit) {
  if (edit.duration <= 0 || edit.duration == s.duration) return;
  set_flight_length(s, edit.duration, true);
}

void Applier::change_chain(const Plan& plan, std::size_t picked) {
  change_plan(s, plan, library);
  s.picked_link = picked;
  s.page = PlanPage::all;
  s.focus.clear();
  if (s.chain) s.chain_t = s.chain->stops[std::min(picked, s.chain->stops.size() - 1)].start_s;
  s.chain_landed = 0;
}

Playback Applier::chain_playback() const {
  Playback playback = s.playback;
  playback.t = s.chain_t;
  playback.landed = s.chain_landed;
  playback.whole_climb = false;
  return playback;
}

void Applier::chain_on(double dt) {
  const Playback moved = ticked(chain_playback(), dt, s.chain->duration()).playback;
  s.chain_t = moved.t;
  s.chain_landed = moved.landed;
  s.playback.playing = moved.playing;
}

}  // namespace halfturn
