#pragma once

#include "format/json_reader.hpp"
#include "ladder/chain.hpp"

namespace halfturn {

/// A chain for machines: {"fits", "stops": [...], "joints": [{"fits", "mismatches", "mends"}]}.
[[nodiscard]] Json chain_json(const ChainRun& run);

}  // namespace halfturn
