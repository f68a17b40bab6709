#include "skill/difficulty.hpp"

#include <cmath>

namespace halfturn {

const DifficultyRule* DifficultyTable::find(const std::string& cycle) const {
  for (const DifficultyRule& rule : rules) {
    if (rule.cycle == cycle) return &rule;
  }
  return nullptr;
}

std::optional<double> single_somersault_difficulty(const DifficultyRule& rule, double twist_deg,
                                                   bool straight_or_pike) {
  const double half_twists = std::abs(twist_deg) / 180.0;
  if (half_twists != std::floor(half_twists)) return std::nullopt;
  int tenths = 4 * rule.quarter_somersault + rule.completed_somersault;
  tenths += static_cast<int>(half_twists) * rule.half_twist;
  if (half_twists == 0 && straight_or_pike) tenths += rule.single_straight_or_pike;
  return tenths / 10.0;
}

}  // namespace halfturn
