#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/athlete.hpp"
#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "ladder/sight.hpp"

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
  std::vector<FinishLine> lines;      ///< by part, then by time
  std::string source;                 ///< whose flight it is read from, and how long that is: a sentence
  std::vector<SightSpan> floor_seen;  ///< when the landing spot is seen with the head held as it is
  friend bool operator==(const FinishPlan&, const FinishPlan&) = default;
};

/// The finish of a rung read from its flight: `sight` is when the landing spot is seen (landing_sight),
/// `whose` the body that flies, as in "an average adult"; a drawn flight is nobody's.
[[nodiscard]] FinishPlan finish_plan(const Ladder& ladder, std::size_t rung, const Flight& flight,
                                     const std::vector<SightSpan>& sight,
                                     std::string_view whose = average_adult);

/// The way the flip carries the athlete on landing, degrees to the left of the chest: 0 forward, 180
/// backward.
[[nodiscard]] double carry_deg(const Rung& rung);

}  // namespace halfturn
