#pragma once

#include <optional>
#include <string>

#include "ladder/rung_spread.hpp"

namespace halfturn {

/// What is asked about the landings of a rung.
struct SpreadQuestion {
  TakeoffSpread spread;
  std::size_t flights = 20000;
  std::uint64_t seed = 1;
  double threshold = 0.8;  ///< share of controlled landings that a next step must reach
};

/// A step from a rung whose landings would still be controlled often enough.
struct NextStep {
  double step_deg = 0;
  std::string title;
  bool side_on = false;  ///< lands facing square to the flip
  RungSpread spread;
};

/// How a rung would land when takeoffs vary, and what could come next: estimates of a model.
struct SpreadAnswer {
  RungSimulation simulation;
  std::optional<RungSpread> landings;  ///< empty: there is no flight to vary
  /// The factor whose usual error moves the landing most, against what the landing allows.
  TakeoffFactor most_sensitive = TakeoffFactor::air_time;
  /// The largest that is controlled often enough; empty as well where the rung itself is not.
  std::optional<NextStep> next;
};
[[nodiscard]] SpreadAnswer answer_spread(const Ladder& ladder, std::size_t rung, const Flyer& flyer,
                                         const SpreadQuestion& question, const Vocabulary& vocabulary,
                                         const DifficultyTable& difficulty, const ShareOut& share_out);

}  // namespace halfturn
