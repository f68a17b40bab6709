#pragma once

#include <string>
#include <vector>

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// Another flyer over the same dial: see-through, in a colour of its own, under its name.
struct Companion {
  const Rung& rung;
  const Flight& flight;
  double time = 0;  ///< s of its flight
  std::string name;
};
/// As many as there are colours for.
inline constexpr std::size_t most_companions = 3;

/// The picture as data: a pure function of plan, time and camera. `flight` is the flight of
/// `ladder.rungs[rung]`; `time` in s from takeoff: below 0 the athlete stands at the start, past the duration
/// stands on the landing.
[[nodiscard]] Scene compose(const Ladder& ladder, std::size_t rung, const Flight& flight, double time,
                            const View& view, const std::vector<Companion>& companions = {});

/// The named camera for a rung and moment, with the coach's offset applied. `now` is counted from the middle
/// of the picture, as sample_in_picture gives it.
[[nodiscard]] Camera camera_for(const Ladder& ladder, std::size_t rung, const FlightSample& now,
                                const View& view);

/// The athlete as drawn at `time`, s: standing before and after the flight, metres from the dial's centre,
/// which is on the floor under the middle of the flight.
[[nodiscard]] FlightSample sample_in_picture(const Rung& rung, const Flight& flight, double time);
/// Where that centre is in the flight's own coordinates, m.
[[nodiscard]] Vec3 flight_middle_W(const Flight& flight);

/// The words that make a picture explain itself, top left.
struct AnswerText {
  std::string lead;     ///< "lands facing"
  std::string wall;     ///< "back wall"
  std::string turn;     ///< "half left"
  std::string landing;  ///< "lands blind, on two feet"
};
void add_answer(Scene& scene, const AnswerText& words, Side side, const View& view);

}  // namespace halfturn
