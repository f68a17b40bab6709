#include "session/playback.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

/// A time this close to a frame, in frames, counts as on it: k / fps * fps may miss k by a rounding.
constexpr double on_frame = 1e-6;
/// Longest wall-clock step taken at once, s: after a stall the figure goes on instead of jumping.
constexpr double longest_step = 0.1;

}  // namespace

int last_frame(double duration, int fps) {
  return static_cast<int>(std::ceil(duration * fps - on_frame));
}

int frame_at(double t, double duration, int fps) {
  if (t >= duration) return last_frame(duration, fps);
  return std::max(0, static_cast<int>(std::floor(t * fps + on_frame)));
}

double time_of_frame(int k, double duration, int fps) {
  return std::clamp(static_cast<double>(k) / fps, 0.0, duration);
}

Playback stepped(Playback playback, int frames, double duration) {
  const double position = playback.t * playback.fps;
  const int last = last_frame(duration, playback.fps);
  // Between two frames a step back lands on the frame just passed, a step on lands on the coming one.
  int from = frame_at(playback.t, duration, playback.fps);
  if (frames < 0 && playback.t < duration && position > from + on_frame) ++from;
  playback.t = time_of_frame(std::clamp(from + frames, 0, last), duration, playback.fps);
  playback.playing = false;
  playback.landed = 0;
  return playback;
}

Ticked ticked(Playback playback, double dt, double duration) {
  dt = std::clamp(dt, 0.0, longest_step);
  if (!playback.playing || dt == 0) return {playback, false};
  if (playback.t < duration) {
    playback.t = std::min(duration, playback.t + playback.rate * dt);
    playback.landed = 0;
    return {playback, false};
  }
  playback.landed = std::min(still_on_landing, playback.landed + dt);
  if (playback.landed < still_on_landing) return {playback, false};
  if (playback.whole_climb) {
    playback.t = 0;
    playback.landed = 0;
    return {playback, true};
  }
  if (playback.loop) {
    playback.t = 0;
    playback.landed = 0;
  } else {
    playback.playing = false;
  }
  return {playback, false};
}

}  // namespace halfturn
