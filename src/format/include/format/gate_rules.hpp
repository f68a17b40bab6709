#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "ladder/gate_rules.hpp"

namespace halfturn {

/// Rules of a gate with some of them changed, "needed=2,attempts_cap=8"; names and limits as in a plan file.
[[nodiscard]] Result<GateRules> change_gate_rules(const GateRules& rules, std::string_view changes,
                                                  const std::string& place);

}  // namespace halfturn
