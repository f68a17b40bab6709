#pragma once

#include "panels/layout.hpp"

namespace halfturn {

/// Height at the top of each of two stages that its title covers, design pixels; 0 where a pane is too low
/// for one and the table names the stages instead.
[[nodiscard]] double pane_words_height(const Layout& layout);

}  // namespace halfturn
