// Rates with their intervals and means with their deviations, against published and hand-worked values.
#include "ladder/progress.hpp"

#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "plans.hpp"

using namespace halfturn;

TEST_CASE("Wilson's interval gives the published values") {
  // Newcombe 1998, Statistics in Medicine 17:857-872, table I, method 3 (score), 95 percent, four decimals.
  const struct {
    int successes, trials;
    double low, high;
  } published[] = {
      {81, 263, 0.2553, 0.3662}, {15, 148, 0.0624, 0.1605}, {0, 20, 0.0, 0.1611}, {1, 29, 0.0061, 0.1718}};
  for (const auto& row : published) {
    const RateInterval interval = wilson_interval(row.successes, row.trials);
    CHECK(std::abs(interval.low - row.low) < 0.00005);
    CHECK(std::abs(interval.high - row.high) < 0.00005);
  }
}

TEST_CASE("the ends of Wilson's interval are the rates that the score test just does not refuse") {
  // Its definition: |k / n - p| = z sqrt(p (1 - p) / n) at both ends; z from Boost.Math.
  for (const double level : {0.8, 0.95, 0.99}) {
    const double z = boost::math::quantile(boost::math::normal(), 0.5 + level / 2);
    for (int n = 1; n <= 60; n += 7) {
      for (int k = 0; k <= n; ++k) {
        const RateInterval interval = wilson_interval(k, n, z);
        const double rate = static_cast<double>(k) / n;
        for (const double p : {interval.low, interval.high}) {
          if (p == 0 || p == 1) continue;
          CHECK(std::abs(std::abs(rate - p) - z * std::sqrt(p * (1 - p) / n)) < 1e-12);
        }
        CHECK((k > 0) == (interval.low > 0));
        CHECK((k < n) == (interval.high < 1));
        // The other way round it is its own mirror.
        CHECK(std::abs(wilson_interval(n - k, n, z).low - (1 - interval.high)) < 1e-15);
      }
    }
  }
  CHECK(wilson_interval(0, 0).low == 0);
  CHECK(wilson_interval(0, 0).high == 1);
}

TEST_CASE("progress counts by session and leaves planned stops out") {
  const auto attempt = [](Verdict verdict, const std::string& session, std::optional<double> error,
                          std::optional<double> air) {
    JudgedAttempt a;
    a.verdict = verdict;
    a.session = session;
    a.record.heading_error_deg = error;
    a.record.air_time_s = air;
    return a;
  };
  const std::vector<JudgedAttempt> attempts{
      attempt(Verdict::counts, "mon", 0, 0.8), attempt(Verdict::miss, "mon", -30, 0.6),
      attempt(Verdict::neutral, "tue", std::nullopt, std::nullopt),
      attempt(Verdict::crash, "wed", std::nullopt, std::nullopt), attempt(Verdict::counts, "wed", 15, 0.7)};
  const RungProgress progress = rung_progress(attempts);
  CHECK(progress.attempts == 4);
  CHECK(progress.controlled == 2);
  CHECK(progress.crashes == 1);
  CHECK(progress.short_count == 1);
  CHECK(progress.long_count == 1);
  // Mean of 0, -30, 15 is -5, their deviation sqrt((25 + 625 + 400) / 2).
  CHECK(progress.heading_error_deg.count == 3);
  CHECK(progress.heading_error_deg.mean == doctest::Approx(-5));
  CHECK(*progress.heading_error_deg.deviation == doctest::Approx(std::sqrt(525.0)));
  CHECK(progress.air_time_s.mean == doctest::Approx(0.7));
  CHECK(*progress.air_time_s.deviation == doctest::Approx(0.1));
  REQUIRE(progress.sessions.size() == 2);
  CHECK(progress.sessions[0].controlled == 1);
  CHECK(progress.sessions[1].session == "wed");
  CHECK(progress.sessions[1].crashes == 1);
}

TEST_CASE("attempts are judged by the rung they stand on") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  AttemptRecord on;
  on.rung = rung_key(ladder, 1);
  on.heading_error_deg = 30;
  AttemptRecord elsewhere = on;
  elsewhere.rung.surface = "trampoline";
  const std::vector<AttemptRecord> attempts{on, elsewhere};
  const std::vector<std::string> sessions{"s", "s"};
  const auto judged = judged_by_rung(ladder, attempts, sessions);
  REQUIRE(judged.size() == 3);
  CHECK(judged[0].empty());
  REQUIRE(judged[1].size() == 1);
  CHECK(judged[1][0].verdict == Verdict::counts);
  CHECK(judged[2].empty());
}
