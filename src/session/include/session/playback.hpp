#pragma once

namespace halfturn {

/// Where the cursor stands in a flight and how it moves. The wall clock only moves `t`.
struct Playback {
  double t = 0;        ///< s from takeoff, [0, duration of the flight]
  double rate = 0.25;  ///< share of real time, 1/16 to 1
  bool playing = false;
  int fps = 60;  ///< frames of the scrub a second, 24 to 240
  bool loop = true;
  bool whole_climb = false;  ///< every rung, one after the other
  double landed = 0;         ///< s stood still on the landing so far, wall clock, [0, still_on_landing]
  friend bool operator==(const Playback&, const Playback&) = default;
};

inline constexpr double still_on_landing = 1.0;  ///< s, wall clock, before a loop starts again
inline constexpr int slowest_fps = 24, fastest_fps = 240;
inline constexpr double slowest_rate = 1.0 / 16.0;

/// Number of the last frame: the landing. Frames count from 0, the takeoff.
[[nodiscard]] int last_frame(double duration, int fps);
/// The frame shown at t, [0, last_frame].
[[nodiscard]] int frame_at(double t, double duration, int fps);
/// Time of frame k: k / fps, at most the duration. No drift: always from the whole number.
[[nodiscard]] double time_of_frame(int k, double duration, int fps);

/// The cursor moved by whole frames, stopped at both ends; stops playing.
[[nodiscard]] Playback stepped(Playback playback, int frames, double duration);

/// The cursor after `dt` s of wall clock (at most 0.1 is taken), and whether the next rung's turn has come.
struct Ticked {
  Playback playback;
  bool next_rung = false;
};
[[nodiscard]] Ticked ticked(Playback playback, double dt, double duration);

}  // namespace halfturn
