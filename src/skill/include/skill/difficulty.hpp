#pragma once

#include <optional>
#include <string>
#include <vector>

namespace halfturn {

/// Rule for the difficulty of trampoline elements in one FIG cycle, in tenths so that sums stay exact.
struct DifficultyRule {
  std::string cycle;
  std::string source;
  int quarter_somersault = 1, half_twist = 1, completed_somersault = 1, single_straight_or_pike = 1;
};
struct DifficultyTable {
  std::string default_cycle;
  std::vector<DifficultyRule> rules;
  [[nodiscard]] const DifficultyRule* find(const std::string& cycle) const;
};

/// Difficulty of a single somersault landed on the feet; empty unless the twist is whole half twists.
[[nodiscard]] std::optional<double> single_somersault_difficulty(const DifficultyRule& rule, double twist_deg,
                                                                 bool straight_or_pike);

}  // namespace halfturn
