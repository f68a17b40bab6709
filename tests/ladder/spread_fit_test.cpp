// The spread fitted from attempts against the spread they were drawn from, by another generator and another
// model than the program's own.
#include "ladder/spread_fit.hpp"

#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>
#include <random>

#include "format/shape_file.hpp"
#include "plans.hpp"

using namespace halfturn;

namespace {

const ShareOut in_turn = [](std::size_t count, const std::function<void(std::size_t)>& work) {
  for (std::size_t i = 0; i < count; ++i) work(i);
};

/// To the nearest 15 degrees, as an eye sees it.
double by_eye(double error_deg) {
  return 15 * std::round(error_deg / 15);
}

}  // namespace

TEST_CASE("chi-square quantiles: the published table and Boost.Math") {
  // Fisher and Yates; the 2.5 and 97.5 percent points for 20 degrees of freedom.
  CHECK(chi_square_quantile(0.025, 20) == doctest::Approx(9.591).epsilon(0.005));
  CHECK(chi_square_quantile(0.975, 20) == doctest::Approx(34.170).epsilon(0.005));
  for (const int degrees : {10, 19, 40, 99, 500}) {
    const boost::math::chi_squared exact(degrees);
    for (const double p : {0.025, 0.5, 0.975})
      CHECK(chi_square_quantile(p, degrees) ==
            doctest::Approx(boost::math::quantile(exact, p)).epsilon(0.01));
  }
}

TEST_CASE("a pooled deviation by hand: means of the groups are taken off") {
  // 1, 3 about 2 and 10, 12, 14 about 12: squares 2 + 8 over 1 + 2 degrees of freedom; a lone value tells
  // nothing.
  const std::vector<std::vector<double>> groups{{1, 3}, {10, 12, 14}, {7}};
  const std::optional<FittedDeviation> fitted = pooled_deviation(groups);
  REQUIRE(fitted);
  CHECK(fitted->values == 5);
  CHECK(fitted->deviation == doctest::Approx(std::sqrt(10.0 / 3)));
  CHECK_FALSE(pooled_deviation(std::vector<std::vector<double>>{{1}, {}}));
}

TEST_CASE("law: fitted deviations recover the known one, and their ranges hold it as often as they say") {
  std::mt19937_64 random(20261126);
  std::normal_distribution<double> normal;
  constexpr int logbooks = 1000;
  constexpr double air_sd = 0.035, scale = 1.6;
  int air_held = 0, scale_held = 0;
  double air_variance = 0, scale_sum = 0;
  for (int n = 0; n < logbooks; ++n) {
    // Three rungs of 12 attempts, each with a mean of its own.
    std::vector<std::vector<double>> air(3);
    std::vector<HeadingGroup> headings(3);
    for (std::size_t rung = 0; rung < 3; ++rung) {
      headings[rung].fixed_deg = 4;
      headings[rung].scaled_deg = 6 + 4 * static_cast<double>(rung);
      for (int i = 0; i < 12; ++i) {
        air[rung].push_back(0.7 + 0.1 * static_cast<double>(rung) + air_sd * normal(random));
        const double error = -10 + 5 * static_cast<double>(rung) + 4 * normal(random) +
                             scale * headings[rung].scaled_deg * normal(random);
        const bool eye = i % 3 == 0;
        headings[rung].by_eye += eye;
        headings[rung].errors_deg.push_back(eye ? by_eye(error) : error);
      }
    }
    const auto air_fit = pooled_deviation(air);
    const auto scale_fit = fitted_scale(headings);
    REQUIRE((air_fit && scale_fit));
    air_held += air_fit->low <= air_sd && air_sd <= air_fit->high;
    scale_held += scale_fit->low <= scale && scale <= scale_fit->high;
    air_variance += air_fit->deviation * air_fit->deviation / logbooks;
    scale_sum += scale_fit->deviation / logbooks;
  }
  // Squares over 33 degrees of freedom have a relative deviation of sqrt(2 / 33), their mean over the
  // logbooks that over sqrt(logbooks); four of those.
  const double chance = 4 * std::sqrt(2.0 / 33 / logbooks);
  CHECK(std::abs(air_variance / (air_sd * air_sd) - 1) < chance);
  // Half the relative error for a deviation, and the bias of a root: minus 1 in 4 x 33. What is not scaled
  // widens both, by less than half.
  CHECK(std::abs(scale_sum / scale - 1) < 1.5 * (0.5 * chance + 1.0 / (4 * 33)));
  const double of_95 = 4 * std::sqrt(0.95 * 0.05 / logbooks);
  CHECK(std::abs(static_cast<double>(air_held) / logbooks - 0.95) < of_95);
  CHECK(std::abs(static_cast<double>(scale_held) / logbooks - 0.95) < of_95);
}

TEST_CASE("an eye that sees no scatter says little, and not that there is none") {
  const std::vector<HeadingGroup> still{{std::vector<double>(30, 0.0), 30, 2, 10}};
  CHECK(fitted_scale(still)->deviation == least_scale);
  std::vector<HeadingGroup> wild{{{}, 0, 0, 1}};
  for (int i = 0; i < 30; ++i) wild[0].errors_deg.push_back(i % 2 == 0 ? 90 : -90);
  CHECK(fitted_scale(wild)->deviation == greatest_scale);
}

// A straight jump is linear: the heading at first contact errs by the turn times the error of the momentum
// and by the rate of turn at landing, with the arms open, times the error of the air time. Attempts drawn
// from that by hand, with a known spread, give the spread back through the simulated body.
TEST_CASE("the fitted spread recovers a known one") {
  Plan plan = test::plan("straight jump", 360, 360);
  plan.air_time_s = 0.55;
  const Ladder ladder = test::ladder(plan);
  const std::size_t rung = 1;
  const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  TakeoffSpread assumed;
  assumed.momentum = 0.03;
  assumed.direction = assumed.timing = 0;
  const double known_momentum = 0.055, known_air_time = 0.03;
  const double turn_deg = ladder.rungs[rung].air_turn_deg;
  const double rate_deg = simulate_rung(ladder, rung, flyer).solved.numbers.landing_twist_rate_deg;
  const double kept = 1 - assumed.correction;
  std::mt19937_64 random(7);
  std::normal_distribution<double> normal;
  for (const bool eye : {false, true}) {
    CAPTURE(eye);
    std::vector<AttemptRecord> attempts;
    for (int i = 0; i < most_fitted; ++i) {
      const double air = known_air_time * normal(random), momentum = known_momentum * normal(random);
      AttemptRecord attempt;
      attempt.rung = rung_key(ladder, rung);
      attempt.time_ms = i;
      attempt.air_time_s = 0.55 + air;
      const double error = kept * (turn_deg * momentum + rate_deg * air);
      attempt.heading_error_deg = eye ? by_eye(error) : error;
      attempt.heading_measured = !eye;
      attempts.push_back(attempt);
    }
    const SpreadFit fit = fit_spread(ladder, attempts, flyer, assumed, std::nullopt, in_turn);
    REQUIRE((fit.air_time && fit.turn));
    CHECK(fit.air_time->values == most_fitted);
    CHECK(fit.turn->values == most_fitted);
    // One logbook of 100: a deviation is known within 7 percent, three of those; that of the momentum is what
    // the air time, the rounding by eye, leave over.
    const double chance = 3 / std::sqrt(2.0 * (most_fitted - 1));
    CHECK(std::abs(fit.spread.air_time / known_air_time - 1) < chance);
    CHECK(fit.air_time->low < known_air_time);
    CHECK(fit.air_time->high > known_air_time);
    CHECK(fit.turn->low * assumed.momentum < known_momentum);
    CHECK(fit.turn->high * assumed.momentum > known_momentum);
    CHECK(std::abs(fit.spread.momentum / known_momentum - 1) < (eye ? 3 : 2) * chance);
    CHECK(fit_words(fit) == "air time fitted from 100 attempts, turn fitted from 100 attempts");
  }
}

TEST_CASE("too few attempts keep what was assumed, and say how many there are") {
  const Ladder ladder = test::ladder("back flip", 360, 180);
  const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  std::vector<AttemptRecord> attempts;
  for (int i = 0; i < fewest_fitted - 1; ++i) {
    AttemptRecord attempt;
    attempt.rung = rung_key(ladder, 1);
    attempt.heading_error_deg = i % 2 == 0 ? 15 : -15;
    attempt.air_time_s = 0.8 + 0.01 * i;
    attempts.push_back(attempt);
  }
  // Those of another surface do not count.
  AttemptRecord elsewhere = attempts.front();
  elsewhere.rung.surface = "trampoline";
  attempts.push_back(elsewhere);
  const SpreadFit few = fit_spread(ladder, attempts, flyer, {}, std::nullopt, in_turn);
  CHECK(few.spread.air_time == TakeoffSpread{}.air_time);
  CHECK(few.spread.momentum == TakeoffSpread{}.momentum);
  CHECK(few.headings == fewest_fitted - 1);
  CHECK(fit_words(few) == "air time default (19 of 20 air times), turn default (19 of 20 landing headings)");
  const SpreadFit profile = fit_spread(ladder, attempts, flyer, {}, 0.04, in_turn);
  CHECK(profile.spread.air_time == 0.04);
  CHECK(fit_spread(ladder, {}, flyer, {}, std::nullopt, in_turn).headings == 0);
  CHECK(fit_words({}) == "default");
}
