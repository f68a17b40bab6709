#pragma once

#include <cstddef>

#include "ladder/ladder.hpp"

namespace halfturn {

/// The ladder with one rung done in another of its forms: the same kick and landing from another stance, with
/// the turn, air time and values of that turn. `form` is an index of the rung's forms; its title says which.
[[nodiscard]] Ladder ladder_in_form(const Ladder& ladder, std::size_t rung, std::size_t form);

}  // namespace halfturn
