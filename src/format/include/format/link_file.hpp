#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "ladder/chain.hpp"

namespace halfturn {

/// Setups and transitions of chains from JSON (format "halfturn-links", version 1). Problems name the key,
/// for instance `links[2].travel_m`.
[[nodiscard]] Result<LinkBook> read_links(std::string_view text, const std::string& file);

/// Those that come with the program (assets/links.json).
[[nodiscard]] const LinkBook& built_in_links();

}  // namespace halfturn
