#pragma once

#include "format/json_reader.hpp"
#include "ladder/gate_rules.hpp"

namespace halfturn {

/// The rules of a gate as a plan file has them; what is left out stays as it is in `rules`.
[[nodiscard]] GateRules read_gate_rules(const JsonReader& json, GateRules rules = {});
[[nodiscard]] Json gate_rules_json(const GateRules& rules);

}  // namespace halfturn
