#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "flight/flight.hpp"

namespace halfturn {

/// One rung of a plan as a body flew it elsewhere.
struct FlownRung {
  std::optional<Flight> flight;  ///< simulated; empty: it stays drawn
  std::string why_drawn;         ///< "drawn: air time: ..."; empty with a flight
  /// Of a controlled landing, s; empty: not known.
  std::optional<double> air_time_needed_s;
  std::optional<double> air_time_margin_s;  ///< measured less needed; empty without a measured air time
};

/// The flights of a plan's rungs, for where they cannot be solved.
struct FlownPlan {
  std::string whose;  ///< what the body is called in a sentence, "an average adult"
  std::vector<FlownRung> rungs;
};

/// Reads flights (format "halfturn-flights", version 1, assets/schema/halfturn-flights.schema.json). Problems
/// name the key path, for instance `rungs[2].flight.orientation[17]`.
[[nodiscard]] Result<FlownPlan> read_flights(std::string_view text, const std::string& file);

/// Their text, sampled at `hz` or a little more often: orientation to 1e-6, angular velocity to 1e-4 rad/s,
/// other angles to 1e-5 rad, path to 1e-5 m, so that read_flights gives flights within 5e-6 rad at the
/// samples and as sampled_flight says between them. What would tell the athlete's mass or height is left out.
[[nodiscard]] std::string write_flights(const FlownPlan& plan, double hz = 60);

}  // namespace halfturn
