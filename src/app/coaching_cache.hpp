#pragma once

#include <utility>
#include <vector>

#include "session/coaching.hpp"

namespace halfturn {

/// What is told about the flights shown lately, kept as long as a flight stays the same one.
class CoachingCache {
 public:
  /// Of a rung's flight as a FlightCache gives it: another plan has another flight. Stays until the next
  /// call.
  [[nodiscard]] const Coaching& of(const Ladder& ladder, std::size_t rung, const Flight& flight);

 private:
  std::vector<std::pair<Flight, Coaching>> kept_;  // the latest last
};

}  // namespace halfturn
