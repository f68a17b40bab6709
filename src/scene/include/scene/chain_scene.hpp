#pragma once

#include <optional>
#include <vector>

#include "flight/flight.hpp"
#include "ladder/chain.hpp"
#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// The chain as a picture: its path over the floor with feet and facing at every joint, and the athlete at
/// `time_s` from its start, clamped to it. `flights` are those of its skills, by stop; setups and transitions
/// are walked. The room is as long as the path asks for.
[[nodiscard]] Scene compose_chain(const ChainRun& run, const std::vector<std::optional<Flight>>& flights,
                                  double time_s, const Walls& walls, const View& view);

}  // namespace halfturn
