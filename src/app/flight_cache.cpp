#include "flight_cache.hpp"

namespace halfturn {

const Flight& FlightCache::flight(const Ladder& ladder, std::size_t rung) {
  if (!plan_ || *plan_ != ladder.plan) {
    plan_ = ladder.plan;
    flights_.assign(ladder.rungs.size(), std::nullopt);
  }
  std::optional<Flight>& slot = flights_[rung];
  if (!slot) slot = drawn_flight(ladder.rungs[rung], shapes_);
  return *slot;
}

void FlightCache::put(const Plan& plan, std::size_t rung, Flight flight) {
  if (plan_ && *plan_ == plan && rung < flights_.size()) flights_[rung] = std::move(flight);
}

}  // namespace halfturn
