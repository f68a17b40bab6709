#include "ladder/progress.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

/// Mean and deviation in one pass (Welford 1962).
class Running {
 public:
  void add(double value) {
    ++count_;
    const double before = value - mean_;
    mean_ += before / count_;
    squares_ += before * (value - mean_);
  }
  [[nodiscard]] Spread spread() const {
    return {count_, mean_, count_ < 2 ? std::nullopt : std::optional(std::sqrt(squares_ / (count_ - 1)))};
  }

 private:
  int count_ = 0;
  double mean_ = 0, squares_ = 0;
};

}  // namespace

RateInterval wilson_interval(int successes, int trials, double z) {
  HT_EXPECT(0 <= successes && successes <= trials);
  if (trials == 0) return {};
  const double n = trials;
  const double rate = successes / n;
  const double centre = (rate + z * z / (2 * n)) / (1 + z * z / n);
  const double half = z / (1 + z * z / n) * std::sqrt(rate * (1 - rate) / n + z * z / (4 * n * n));
  // At the ends the closed form is 0 or 1 exactly; rounding must not say otherwise.
  return {successes == 0 ? 0 : std::max(0.0, centre - half),
          successes == trials ? 1 : std::min(1.0, centre + half)};
}

RungProgress rung_progress(std::span<const JudgedAttempt> attempts) {
  RungProgress progress;
  Running heading;
  Running air;
  for (const JudgedAttempt& attempt : attempts) {
    const AttemptRecord& record = attempt.record;
    progress.rung = record.rung;
    if (attempt.verdict == Verdict::neutral) continue;
    // Sessions of one name are one, even where another ran in between.
    auto session = std::find_if(progress.sessions.rbegin(), progress.sessions.rend(),
                                [&](const SessionProgress& s) { return s.session == attempt.session; });
    if (session == progress.sessions.rend()) {
      progress.sessions.push_back({attempt.session, record.time_ms, 0, 0, 0});
      session = progress.sessions.rbegin();
    }
    ++progress.attempts;
    ++session->attempts;
    if (attempt.verdict == Verdict::counts) {
      ++progress.controlled;
      ++session->controlled;
    }
    if (attempt.verdict == Verdict::crash) {
      ++progress.crashes;
      ++session->crashes;
    }
    if (record.heading_error_deg) {
      heading.add(*record.heading_error_deg);
      if (*record.heading_error_deg < 0) ++progress.short_count;
      if (*record.heading_error_deg > 0) ++progress.long_count;
    }
    if (record.air_time_s) air.add(*record.air_time_s);
  }
  progress.interval = wilson_interval(progress.controlled, progress.attempts);
  progress.heading_error_deg = heading.spread();
  progress.air_time_s = air.spread();
  return progress;
}

std::vector<std::vector<JudgedAttempt>> judged_by_rung(const Ladder& ladder,
                                                       std::span<const AttemptRecord> attempts,
                                                       std::span<const std::string> sessions) {
  HT_EXPECT(attempts.size() == sessions.size());
  const std::vector<GateDemand> demands = gate_demands(ladder);
  std::vector<RungKey> keys;
  for (std::size_t k = 0; k < ladder.rungs.size(); ++k) keys.push_back(rung_key(ladder, k));
  std::vector<std::vector<JudgedAttempt>> judged(keys.size());
  for (std::size_t i = 0; i < attempts.size(); ++i) {
    for (std::size_t k = 0; k < keys.size(); ++k) {
      if (keys[k] == attempts[i].rung)
        judged[k].push_back({attempts[i], sessions[i], judge(attempts[i], demands[k])});
    }
  }
  return judged;
}

}  // namespace halfturn
