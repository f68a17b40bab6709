#pragma once

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// The picture as data: a pure function of plan, time and camera. `flight` is the flight of
/// `ladder.rungs[rung]`; `time` in s from takeoff: below 0 the athlete stands at the start, past the duration
/// stands on the landing.
[[nodiscard]] Scene compose(const Ladder& ladder, std::size_t rung, const Flight& flight, double time,
                            const View& view);

/// The named camera for a rung and moment, with the coach's offset applied.
[[nodiscard]] Camera camera_for(const Ladder& ladder, std::size_t rung, const FlightSample& now,
                                const View& view);

}  // namespace halfturn
