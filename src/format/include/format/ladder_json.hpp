#pragma once

#include "format/json_reader.hpp"
#include "ladder/finish.hpp"
#include "ladder/ladder.hpp"
#include "ladder/rung_simulation.hpp"

namespace halfturn {

/// A ladder for machines: one object with "rungs"; keys and meanings as `halfturn ladder --json` prints them.
/// `simulations` are added to their rungs.
[[nodiscard]] Json ladder_json(const Ladder& ladder, const std::vector<FinishPlan>& finishes = {},
                               const std::vector<RungSimulation>& simulations = {});

}  // namespace halfturn
