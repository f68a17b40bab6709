#include "session/stage_view.hpp"

#include <algorithm>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double ghost_in_flight = 0.35, ghost_fade = 0.25;  // opacity; s

/// Ghosts are full until takeoff, fade in flight and come back on landing.
double ghost_opacity(double t, double duration, bool reduced_motion) {
  if (t <= 0 || t >= duration) return 1;
  if (reduced_motion) return ghost_in_flight;
  return 1 - (1 - ghost_in_flight) * std::min(1.0, t / ghost_fade);
}

}  // namespace

View stage_view(const Session& s, double scale, int width_px, int height_px) {
  View view;
  view.theme = s.settings.theme;
  view.camera = s.look.camera;
  view.offset = s.look.offset;
  view.gaze = s.look.gaze;
  view.toggles = s.look.toggles;
  view.width_px = width_px;
  view.height_px = height_px;
  view.scale = scale;
  if (const SpreadShown* spread = s.spread_now()) view.rose = rose_of(s.rung_now(), *spread->answer);
  for (const GateShown& gate : s.gates) view.passed.push_back(gate.passed);
  if (!s.settings.reduced_motion && s.motion.camera < camera_change) {
    view.between = CameraChange{s.motion.camera_from, s.motion.offset_from,
                                minimum_jerk(s.motion.camera / camera_change), s.motion.gaze_from};
  }
  return view;
}

StageShot stage_shot(const Session& s, double duration_s, double duration_before_s, View view) {
  StageShot shot{s.rung, false, 0, std::move(view)};
  const bool still = s.settings.reduced_motion;
  // For the first half of a rung change the old sign fades out over the old rung, then the new one in.
  if (!still && s.motion.rung < rung_change && s.motion.rung_from < s.ladder->rungs.size()) {
    const double from = s.ladder->rungs[s.motion.rung_from].landing.heading_deg;
    const double turn = wrap_deg(s.rung_now().landing.heading_deg - from);
    if (turn != 0) shot.view.beam_heading_deg = from + turn * minimum_jerk(s.motion.rung / rung_change);
    const double half = rung_change / 2;
    shot.shows_before = s.motion.rung < half;
    if (shot.shows_before) shot.rung = s.motion.rung_from;
    shot.view.sign_opacity = shot.shows_before ? 1 - s.motion.rung / half : s.motion.rung / half - 1;
  }
  const double duration = shot.shows_before ? duration_before_s : duration_s;
  shot.time = s.duration > 0 ? s.playback.t / s.duration * duration : 0;
  shot.view.ghost_opacity = ghost_opacity(shot.time, duration, still);
  // Past contact the athlete stands up on the landing.
  if (s.playback.landed > 0) shot.time = duration + s.playback.landed;
  return shot;
}

StageShot pane_shot(const Session& s, const Ladder& ladder, std::size_t rung, double duration_s,
                    double time_s, View view) {
  StageShot shot{rung, false, time_s, std::move(view)};
  shot.view.toggles.both_sides = false;
  shot.view.ghost_opacity = ghost_opacity(time_s, duration_s, s.settings.reduced_motion);
  if (&ladder != s.ladder.get()) shot.view.passed.clear();
  if (&ladder != s.ladder.get() || rung != s.rung) shot.view.rose.reset();
  return shot;
}

}  // namespace halfturn
