#include "session/playback.hpp"

#include <doctest/doctest.h>

#include <initializer_list>

using namespace halfturn;

// By hand: a flight of 0.9 s at 60 frames a second has frames 0..54; 0.8 s at 24 has 0..20 (19.2, rounded
// up).
TEST_CASE("the landing is the last frame") {
  CHECK(last_frame(0.9, 60) == 54);
  CHECK(last_frame(0.8, 24) == 20);
  CHECK(frame_at(0.9, 0.9, 60) == 54);
  CHECK(frame_at(0.8, 0.8, 24) == 20);
}

TEST_CASE("stepping to the end and back meets every frame exactly, at every rate") {
  for (const int fps : {24, 25, 30, 60, 100, 120, 240}) {
    for (const double duration : {0.45, 0.7, 0.85, 1.3, 2.0}) {
      CAPTURE(fps);
      CAPTURE(duration);
      Playback p;
      p.fps = fps;
      const int last = last_frame(duration, fps);
      for (int k = 1; k <= last; ++k) {
        p = stepped(p, 1, duration);
        REQUIRE(frame_at(p.t, duration, fps) == k);
        REQUIRE(p.t == (k < last ? static_cast<double>(k) / fps : duration));
      }
      REQUIRE(stepped(p, 1, duration).t == duration);
      for (int k = last - 1; k >= 0; --k) {
        p = stepped(p, -1, duration);
        REQUIRE(p.t == static_cast<double>(k) / fps);
      }
      REQUIRE(stepped(p, -1, duration).t == 0);
    }
  }
}

TEST_CASE("between two frames a step goes to the neighbours") {
  Playback p;
  p.t = 10.4 / 60;
  CHECK(stepped(p, 1, 0.9).t == 11.0 / 60);
  CHECK(stepped(p, -1, 0.9).t == 10.0 / 60);
  p.t = 10.0 / 60;
  CHECK(stepped(p, -1, 0.9).t == 9.0 / 60);
  p.playing = true;
  CHECK_FALSE(stepped(p, 1, 0.9).playing);
}

TEST_CASE("playing moves by rate times wall clock, a stall counts as 0.1 s") {
  Playback p;
  p.playing = true;
  p.rate = 0.25;
  CHECK(ticked(p, 0.04, 0.9).playback.t == doctest::Approx(0.01));
  CHECK(ticked(p, 5, 0.9).playback.t == doctest::Approx(0.025));
  p.playing = false;
  CHECK(ticked(p, 0.04, 0.9).playback.t == 0);
}

TEST_CASE("a loop stands still on the landing for one second") {
  Playback p;
  p.playing = true;
  p.t = 0.9;
  int ticks = 0;
  while (p.t == 0.9) {
    p = ticked(p, 0.05, 0.9).playback;
    ++ticks;
    REQUIRE(ticks < 100);
  }
  CHECK(ticks == doctest::Approx(20).epsilon(0.06));
  CHECK(p.t == 0);
  CHECK(p.playing);
}

TEST_CASE("without a loop it stops; the whole climb goes on to the next rung") {
  Playback p;
  p.playing = true;
  p.t = 0.9;
  p.landed = 0.99;
  p.loop = false;
  const Ticked once = ticked(p, 0.05, 0.9);
  CHECK_FALSE(once.playback.playing);
  CHECK(once.playback.t == 0.9);
  CHECK_FALSE(once.next_rung);
  p.whole_climb = true;
  CHECK(ticked(p, 0.05, 0.9).next_rung);
  CHECK(ticked(p, 0.05, 0.9).playback.t == 0);
}
