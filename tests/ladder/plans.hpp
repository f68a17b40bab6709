#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "format/vocabulary_file.hpp"
#include "ladder/ladder.hpp"

namespace halfturn::test {

/// A plan from a base to a target by equal steps.
inline Plan plan(const std::string& base, double to_deg, double step_deg, Side side = Side::left) {
  Plan plan;
  plan.base = base;
  plan.side = side;
  const Skill* skill = built_in_vocabulary().find(base);
  REQUIRE(skill != nullptr);
  plan.steps = equal_steps(skill->first_deg, to_deg, step_deg);
  return plan;
}

inline Ladder ladder(const Plan& plan) {
  Result<Ladder> result = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
  REQUIRE_MESSAGE(result.ok(), (result.ok() ? "" : result.problem().message()));
  return std::move(result).value();
}

inline Ladder ladder(const std::string& base, double to_deg, double step_deg, Side side = Side::left) {
  return ladder(plan(base, to_deg, step_deg, side));
}

inline std::vector<double> landings(const Ladder& ladder) {
  std::vector<double> headings;
  for (const Rung& rung : ladder.rungs) headings.push_back(rung.landing.heading_deg);
  return headings;
}

inline std::vector<double> starts(const Ladder& ladder) {
  std::vector<double> headings;
  for (const Rung& rung : ladder.rungs) headings.push_back(rung.start.heading_deg);
  return headings;
}

inline std::vector<std::string> stances(const Ladder& ladder) {
  std::vector<std::string> words;
  for (const Rung& rung : ladder.rungs) words.push_back(rung.start.stance);
  return words;
}

}  // namespace halfturn::test
