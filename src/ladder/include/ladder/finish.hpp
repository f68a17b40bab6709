#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfturn {

/// What a line of a finish plan is about, in the order in which they are read.
enum class FinishPart { in_the_air, on_the_feet, short_turn, long_turn, way_out, mats };
[[nodiscard]] std::string_view finish_part_word(FinishPart part);

/// One line of a plan to finish a rung: what to do, in the second person.
struct FinishLine {
  FinishPart part = FinishPart::in_the_air;
  std::optional<double> time_s;  ///< s from takeoff; empty: no single moment
  std::string text;
  friend bool operator==(const FinishLine&, const FinishLine&) = default;
};

/// How to end a rung, known before anything starts. Estimates, as the flight they are read from.
struct FinishPlan {
  std::vector<FinishLine> lines;  ///< by part, then by time
  friend bool operator==(const FinishPlan&, const FinishPlan&) = default;
};

}  // namespace halfturn
