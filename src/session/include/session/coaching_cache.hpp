#pragma once

#include <list>
#include <utility>

#include "session/coaching.hpp"

namespace halfturn {

/// What is told about the flights shown lately, kept as long as a flight stays the same one.
class CoachingCache {
 public:
  /// Of a rung's flight as a FlightCache gives it: another plan has another flight. Stays in its place while
  /// others are asked for, until as many as are kept have been asked for since.
  [[nodiscard]] const Coaching& of(const Ladder& ladder, std::size_t rung, const Flight& flight,
                                   const HumanBody& body, std::string_view whose);

 private:
  std::list<std::pair<Flight, Coaching>> kept_;  // the latest last; a list, so that nothing moves
};

}  // namespace halfturn
