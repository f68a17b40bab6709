#pragma once

#include <optional>
#include <vector>

#include "body/pose.hpp"
#include "ladder/ladder.hpp"

namespace halfturn {

/// Flights of the rungs of a ladder, kept as long as its plan stays the same value. Drawn flights take
/// microseconds and are made on asking; `put` takes what a worker has finished for a plan, if it is still the
/// plan.
class FlightCache {
 public:
  explicit FlightCache(ShapeBook shapes) : shapes_(std::move(shapes)) {}

  [[nodiscard]] const Flight& flight(const Ladder& ladder, std::size_t rung);
  /// The drawn one, whatever a worker has put.
  [[nodiscard]] const Flight& drawn(const Ladder& ladder, std::size_t rung);
  void put(const Plan& plan, std::size_t rung, Flight flight);

 private:
  ShapeBook shapes_;
  std::optional<Plan> plan_;
  void keep_for(const Ladder& ladder);
  std::vector<std::optional<Flight>> flights_, drawn_;
};

}  // namespace halfturn
