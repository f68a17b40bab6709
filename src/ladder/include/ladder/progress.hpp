#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "ladder/gate.hpp"

namespace halfturn {

/// Range of a rate that the counts leave open, both in [0, 1].
struct RateInterval {
  double low = 0, high = 1;
};
/// Score interval of a binomial rate (Wilson 1927), by default of 95 percent; [0, 1] when there are no
/// trials.
[[nodiscard]] RateInterval wilson_interval(int successes, int trials, double z = 1.959963984540054);

/// Mean and standard deviation (of the sample) of some values.
struct Spread {
  int count = 0;
  double mean = 0;
  std::optional<double> deviation;  ///< empty for fewer than two values
};

/// An attempt with what the gate made of it.
struct JudgedAttempt {
  AttemptRecord record;
  std::string session;
  Verdict verdict = Verdict::neutral;
};

/// One session's share of a rung's attempts.
struct SessionProgress {
  std::string session;
  std::int64_t time_ms = 0;  ///< of its first attempt
  int attempts = 0, controlled = 0, crashes = 0;
};

/// How one athlete gets on with one rung. Planned stops are not counted as attempts.
struct RungProgress {
  RungKey rung;
  int attempts = 0, controlled = 0, short_count = 0, long_count = 0, crashes = 0;
  RateInterval interval;
  Spread heading_error_deg;  ///< short negative
  Spread air_time_s;
  std::vector<SessionProgress> sessions;  ///< in the order of time
};
/// Progress on a rung from its attempts, oldest first, all of that rung.
[[nodiscard]] RungProgress rung_progress(std::span<const JudgedAttempt> attempts);

/// Attempts judged by the rungs of a ladder; those of other rungs are left out. One list per rung.
[[nodiscard]] std::vector<std::vector<JudgedAttempt>> judged_by_rung(const Ladder& ladder,
                                                                     std::span<const AttemptRecord> attempts,
                                                                     std::span<const std::string> sessions);

}  // namespace halfturn
