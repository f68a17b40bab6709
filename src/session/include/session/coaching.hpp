#pragma once

#include <array>
#include <cstddef>
#include <string_view>
#include <vector>

#include "body/human.hpp"
#include "ladder/finish.hpp"
#include "ladder/flight_facts.hpp"
#include "ladder/sight.hpp"

namespace halfturn {

/// What a coach is told about a rung beside its picture, read from its flight.
struct Coaching {
  std::array<std::vector<SightSpan>, gaze_count> sight;  ///< when the landing spot is seen, by gaze
  FinishPlan finish;
  FlightFacts facts;
};
/// `body` is the one that flies and `whose` what it is called. Takes milliseconds: to be kept as long as the
/// flight stays the same.
[[nodiscard]] Coaching coaching_of(const Ladder& ladder, std::size_t rung, const Flight& flight,
                                   const HumanBody& body = human_body(Athlete{}),
                                   std::string_view whose = average_adult);

}  // namespace halfturn
