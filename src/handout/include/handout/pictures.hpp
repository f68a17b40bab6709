#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "body/pose.hpp"
#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// Several moments of a whole flight in one picture: the first is takeoff, the last is landing, spread from
/// left to right so that none hides another. `count` from 2 to 24.
[[nodiscard]] Scene compose_exposures(const Ladder& ladder, std::size_t rung, const Flight& flight, int count,
                                      const View& view);

/// The floor walk that leads to a rung, as a flight of its own for pictures: upright, the chest turning from
/// where the walk begins to where it ends within `duration` s, `standing` on the floor. Handed on as drawn.
[[nodiscard]] Flight floor_walk_flight(const Rung& rung, const Pose& standing, double duration);

/// PNG bytes of pixels (RGBA, 8 bits each, rows from the top); empty when libpng cannot make them.
[[nodiscard]] std::string png_bytes(int width, int height, const std::vector<std::uint8_t>& rgba);
/// The same in at most 256 colours, opaque: a third of the size, for pages that are sent.
[[nodiscard]] std::string small_png_bytes(int width, int height, const std::vector<std::uint8_t>& rgba);

}  // namespace halfturn
