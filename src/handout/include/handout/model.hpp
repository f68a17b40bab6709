#pragma once

#include <string>

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"

namespace halfturn {

/// A rung's flight as a glTF 2.0 binary file: the figure as a tree of nodes named by segment, its animation
/// (`hz` samples a second, takeoff to landing), the floor dial, and a marker for the landing of every rung.
/// Metres, Y up, X forward; the rotation of node "pelvis" is the orientation of the flight.
[[nodiscard]] std::string gltf_binary(const Ladder& ladder, std::size_t rung, const Flight& flight,
                                      double hz);

}  // namespace halfturn
