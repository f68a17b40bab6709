#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "ladder/attempt_record.hpp"
#include "ladder/gate_rules.hpp"

namespace halfturn {

/// What a rung asks of a landing.
struct GateDemand {
  double tolerance_deg = 30;  ///< greatest heading error when measured
  /// The same by eye: measured from the last station, a rung at least the smallest step by eye above the one
  /// before. Empty: this rung is no station, only a measurement passes it.
  std::optional<double> eye_tolerance_deg = 30;
  std::optional<int> next_station;  ///< rung that is gated by eye instead, if there is one above
  bool has_heading = true;          ///< false where the rung has no planned contact heading
  double greatest_angle_deg = 15;   ///< trunk from vertical at first contact
};
/// By rung of a ladder, by the rules of its plan.
[[nodiscard]] std::vector<GateDemand> gate_demands(const Ladder& ladder);

enum class Verdict : std::uint8_t {
  counts,    ///< controlled: on the feet, heading and trunk as planned, something in hand
  almost,    ///< as planned with nothing in hand: begins a new row, is no miss
  unjudged,  ///< the heading was not seen, or by eye where that is too coarse: begins a new row, is no miss
  neutral,   ///< a planned stop: leaves the row as it is
  miss,
  crash,
};
[[nodiscard]] Verdict judge(const AttemptRecord& attempt, const GateDemand& demand);

enum class Suggestion : std::uint8_t { start, repeat, move_on, split, back };
[[nodiscard]] std::string_view word(Suggestion suggestion);

/// A decision of the coach beside the gate. It holds until the next crash on its rung.
struct OverrideRecord {
  RungKey rung;
  std::int64_t time_ms = 0;
  Suggestion decision = Suggestion::move_on;
  std::string reason;
  friend bool operator==(const OverrideRecord&, const OverrideRecord&) = default;
};

/// Where one rung stands. A pass ends with a crash or with as many misses in a row as split a step.
struct Gate {
  int controlled_in_a_row = 0, needed = 3;
  int misses_in_a_row = 0;
  int attempts = 0, controlled = 0, short_count = 0, long_count = 0, crashes = 0;
  bool passed = false;
  Suggestion suggestion = Suggestion::start;
  /// Where a crash on the rung above leads back to: controlled landings here since it.
  std::optional<int> since_crash_above;
  std::string reason;  ///< in words, for instance "2 of 3 in a row; next one decides"
  std::optional<OverrideRecord> decided;
};

/// The gate of every rung of a ladder from one athlete's attempts and the coach's decisions, each oldest
/// first; those of other rungs, sides, takeoffs and surfaces are left out. Suggests, never forces.
[[nodiscard]] std::vector<Gate> gates(const Ladder& ladder, std::span<const AttemptRecord> attempts,
                                      std::span<const OverrideRecord> overrides = {});

/// The rung to work on: back below a crash, else the lowest that is neither passed nor decided nor, below one
/// that was tried, never tried itself; the target when there is none.
[[nodiscard]] std::size_t suggested_rung(std::span<const Gate> gates);
/// "next: rung 2, back full (1 of 3 in a row)": that rung with the reason.
[[nodiscard]] std::string suggestion_words(const Ladder& ladder, std::span<const Gate> gates);

}  // namespace halfturn
