#pragma once

#include <string>

#include "ladder/ladder.hpp"

namespace halfturn {

/// A text of the vocabulary, which is written for the left, for a side.
[[nodiscard]] std::string on_side(const std::string& text, Side side);

/// Sets name, aliases, title and description of a rung from its parts. All numbers and feet must be set.
void name_rung(Rung& rung, const Plan& plan);

/// Sets the floor walk to `rung` from `before` (null for the base).
void write_floor_walk(Rung& rung, const Rung* before, bool holds_start, const Plan& plan);

}  // namespace halfturn
