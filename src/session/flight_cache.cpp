#include "session/flight_cache.hpp"

namespace halfturn {

void FlightCache::keep_for(const Ladder& ladder) {
  if (plan_ && *plan_ == ladder.plan) return;
  plan_ = ladder.plan;
  flights_.assign(ladder.rungs.size(), std::nullopt);
  drawn_ = flights_;
}

const Flight& FlightCache::flight(const Ladder& ladder, std::size_t rung) {
  keep_for(ladder);
  return flights_[rung] ? *flights_[rung] : drawn(ladder, rung);
}

const Flight& FlightCache::drawn(const Ladder& ladder, std::size_t rung) {
  keep_for(ladder);
  std::optional<Flight>& slot = drawn_[rung];
  if (!slot) slot = drawn_flight(ladder.rungs[rung], shapes_);
  return *slot;
}

void FlightCache::put(const Plan& plan, std::size_t rung, Flight flight) {
  if (plan_ && *plan_ == plan && rung < flights_.size()) flights_[rung] = std::move(flight);
}

}  // namespace halfturn
