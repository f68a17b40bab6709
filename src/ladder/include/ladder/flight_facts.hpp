#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "ladder/sight.hpp"

namespace halfturn {

/// What a coach compares two flights by.
struct FlightFacts {
  double air_time_s = 0;
  std::optional<double> momentum;           ///< |H|, kg m2/s; empty for a drawn flight, which has none
  double greatest_lean_deg = 0;             ///< of the long axis out of the plane of the flip
  double peak_twist_rate_deg_s = 0;         ///< about the long axis, unsigned
  double turn_left_at_landing_deg = 0;      ///< of the whole turn, unsigned; below 0: turned too far
  double upside_down_s = 0;                 ///< time with the head lower than the hips
  std::optional<double> floor_seen_from_s;  ///< the landing in sight for good; empty: not before contact
};
/// Peaks are looked for 480 times a flight; times are exact to 0.1 ms.
[[nodiscard]] FlightFacts flight_facts(const Rung& rung, const Flight& flight,
                                       const std::vector<SightSpan>& sight);

/// How the cursors of two stages belong together.
enum class Lock : unsigned char { time, share, flip_angle };
inline constexpr int lock_count = 3;
[[nodiscard]] std::string_view lock_word(Lock lock);

/// The moment of `stage`, s, that belongs to the moment t of `lead`: the same time, the same share of the
/// flight, or the same flip angle; clamped to the flight. Flights without a flip go by share instead.
[[nodiscard]] double locked_time(double t, const Flight& lead, const Flight& stage, Lock lock);

}  // namespace halfturn
