#pragma once

#include <algorithm>
#include <string>

#include "ladder/plan.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// The vocabulary's values of a skill at a twist (unsigned, degrees), with what the plan corrects.
[[nodiscard]] inline FlightValues planned_values(const Plan& plan, const Skill& skill, double twist_deg,
                                                 const std::string& setup, const std::string& surface) {
  FlightValues values = values_at(skill, twist_deg, plan.timing == "early", setup, surface);
  if (plan.incline_deg) values.incline_deg = *plan.incline_deg;
  if (plan.lean_deg) {
    values.lean_deg = *plan.lean_deg;
    values.landing_lean_deg = std::min(values.landing_lean_deg, *plan.lean_deg);
  }
  return values;
}

}  // namespace halfturn
