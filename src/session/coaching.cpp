#include "session/coaching.hpp"

namespace halfturn {

Coaching coaching_of(const Ladder& ladder, std::size_t rung, const Flight& flight, const HumanBody& body,
                     std::string_view whose) {
  Coaching coaching;
  for (std::size_t i = 0; i < coaching.sight.size(); ++i)
    coaching.sight[i] = landing_sight(body, flight, static_cast<Gaze>(i), ladder.rungs[rung].side);
  const std::vector<SightSpan>& neutral = coaching.sight[static_cast<std::size_t>(Gaze::neutral)];
  coaching.finish = finish_plan(ladder, rung, flight, neutral, whose);
  coaching.facts = flight_facts(ladder.rungs[rung], flight, neutral);
  return coaching;
}

}  // namespace halfturn
