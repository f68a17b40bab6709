#include "ladder/spread_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

constexpr double z_95 = 1.959963984540054;
constexpr double eye_step_deg = 15;
constexpr std::size_t flights_of_a_model = 4096;
constexpr int passes = 3;  // a model that bends needs its own answer again

double mean(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) sum += value;
  return sum / static_cast<double>(values.size());
}

double squares_about_mean(const std::vector<double>& values) {
  const double middle = mean(values);
  double sum = 0;
  for (const double value : values) sum += (value - middle) * (value - middle);
  return sum;
}

/// Squares in units of the model's variance; falls as the scale grows.
double normalised_squares(std::span<const HeadingGroup> groups, double scale) {
  double sum = 0;
  for (const HeadingGroup& group : groups) {
    if (group.errors_deg.size() < 2) continue;
    const double eye = static_cast<double>(group.by_eye) / static_cast<double>(group.errors_deg.size());
    const double variance = group.fixed_deg * group.fixed_deg +
                            scale * scale * group.scaled_deg * group.scaled_deg +
                            eye * eye_step_deg * eye_step_deg / 12;
    sum += squares_about_mean(group.errors_deg) / std::max(variance, 1e-12);
  }
  return sum;
}

double scale_of(std::span<const HeadingGroup> groups, double squares) {
  double low = least_scale, high = greatest_scale;
  if (normalised_squares(groups, low) <= squares) return low;
  if (normalised_squares(groups, high) >= squares) return high;
  for (int i = 0; i < 60; ++i) {
    const double middle = std::sqrt(low * high);
    (normalised_squares(groups, middle) > squares ? low : high) = middle;
  }
  return std::sqrt(low * high);
}

TakeoffSpread scaled(TakeoffSpread spread, double scale) {
  spread.momentum *= scale;
  spread.direction *= scale;
  spread.timing *= scale;
  return spread;
}

/// The latest values of one kind by rung, at most so many in all.
template <typename Value>
std::vector<std::vector<const AttemptRecord*>> latest(const Ladder& ladder,
                                                      std::span<const AttemptRecord> attempts, Value has) {
  std::vector<RungKey> keys;
  for (std::size_t k = 0; k < ladder.rungs.size(); ++k) keys.push_back(rung_key(ladder, k));
  std::vector<std::vector<const AttemptRecord*>> by_rung(keys.size());
  int left = most_fitted;
  for (std::size_t i = attempts.size(); i-- > 0 && left > 0;) {
    const auto key = std::find(keys.begin(), keys.end(), attempts[i].rung);
    if (key == keys.end() || !has(attempts[i])) continue;
    by_rung[static_cast<std::size_t>(key - keys.begin())].push_back(&attempts[i]);
    --left;
  }
  return by_rung;
}

/// Heading errors of the rungs that have two and that the athlete's body flies.
struct FlownGroup {
  std::size_t rung = 0;
  HeadingGroup group;
  std::optional<LandingSpread> landings;  // empty: the athlete's body does not fly it
};

std::string kind_words(const std::optional<FittedDeviation>& fitted, int there, const char* values) {
  if (fitted) return fmt::format("fitted from {} attempts", fitted->values);
  return fmt::format("default ({} of {} {})", there, fewest_fitted, values);
}

}  // namespace

double chi_square_quantile(double probability, int degrees) {
  // Only the two ends and the middle are ever asked for.
  const double z = probability == 0.5 ? 0 : (probability < 0.5 ? -z_95 : z_95);
  HT_EXPECT(degrees > 0 && (probability == 0.5 || probability == 0.025 || probability == 0.975));
  const double a = 2.0 / (9.0 * degrees);
  const double root = std::max(0.0, 1 - a + z * std::sqrt(a));
  return degrees * root * root * root;
}

std::optional<FittedDeviation> pooled_deviation(std::span<const std::vector<double>> groups) {
  FittedDeviation fitted;
  int degrees = 0;
  double squares = 0;
  for (const std::vector<double>& group : groups) {
    if (group.size() < 2) continue;
    fitted.values += static_cast<int>(group.size());
    degrees += static_cast<int>(group.size()) - 1;
    squares += squares_about_mean(group);
  }
  if (degrees == 0) return std::nullopt;
  fitted.deviation = std::sqrt(squares / degrees);
  fitted.low = std::sqrt(squares / chi_square_quantile(0.975, degrees));
  fitted.high = std::sqrt(squares / chi_square_quantile(0.025, degrees));
  return fitted;
}

std::optional<FittedDeviation> fitted_scale(std::span<const HeadingGroup> groups) {
  FittedDeviation fitted;
  int degrees = 0;
  for (const HeadingGroup& group : groups) {
    if (group.errors_deg.size() < 2) continue;
    fitted.values += static_cast<int>(group.errors_deg.size());
    degrees += static_cast<int>(group.errors_deg.size()) - 1;
  }
  if (degrees == 0) return std::nullopt;
  fitted.deviation = scale_of(groups, degrees);
  fitted.low = scale_of(groups, chi_square_quantile(0.975, degrees));
  fitted.high = scale_of(groups, chi_square_quantile(0.025, degrees));
  return fitted;
}

std::string fit_words(const SpreadFit& fit) {
  if (!fit.air_time && !fit.turn && fit.air_times == 0 && fit.headings == 0) {
    return fit.air_time_from_profile ? "air time from the athlete's profile, the rest default" : "default";
  }
  return fmt::format("air time {}, turn {}",
                     fit.air_time_from_profile ? "from the athlete's profile"
                                               : kind_words(fit.air_time, fit.air_times, "air times"),
                     kind_words(fit.turn, fit.headings, "landing headings"));
}

SpreadFit fit_spread(const Ladder& ladder, std::span<const AttemptRecord> attempts, const Flyer& flyer,
                     const TakeoffSpread& assumed, std::optional<double> profile_air_time,
                     const ShareOut& share_out) {
  SpreadFit fit;
  fit.spread = assumed;
  std::vector<std::vector<double>> air_times;
  for (const auto& rung : latest(ladder, attempts, [](const AttemptRecord& a) { return a.air_time_s; })) {
    air_times.emplace_back();
    for (const AttemptRecord* attempt : rung) air_times.back().push_back(*attempt->air_time_s);
    fit.air_times += static_cast<int>(rung.size());
  }
  const std::optional<FittedDeviation> air_time = pooled_deviation(air_times);
  if (air_time && air_time->values >= fewest_fitted) {
    fit.air_time = air_time;
    fit.spread.air_time = air_time->deviation;
  } else if (profile_air_time) {
    fit.air_time_from_profile = true;
    fit.spread.air_time = *profile_air_time;
  }

  const auto by_rung = latest(ladder, attempts, [](const AttemptRecord& a) { return a.heading_error_deg; });
  std::vector<FlownGroup> flown;
  int usable = 0;
  for (std::size_t k = 0; k < by_rung.size(); ++k) {
    fit.headings += static_cast<int>(by_rung[k].size());
    if (by_rung[k].size() < 2) continue;
    FlownGroup one;
    one.rung = k;
    for (const AttemptRecord* attempt : by_rung[k]) {
      one.group.errors_deg.push_back(*attempt->heading_error_deg);
      one.group.by_eye += attempt->heading_measured ? 0 : 1;
    }
    usable += static_cast<int>(one.group.errors_deg.size());
    flown.push_back(std::move(one));
  }
  if (usable < fewest_fitted) return fit;
  share_out(flown.size(), [&](std::size_t i) {
    const RungSimulation simulation = simulate_rung(ladder, flown[i].rung, flyer);
    flown[i].landings = rung_landings(ladder, flown[i].rung, flyer, simulation, fit.spread);
  });
  double scale = 1;
  for (int pass = 0; pass < passes; ++pass) {
    std::vector<HeadingGroup> groups;
    for (FlownGroup& one : flown) {
      if (!one.landings) continue;
      // The flight is found once for all passes; only the errors of its takeoffs are scaled.
      if (pass > 0) one.landings = one.landings->with(scaled(fit.spread, scale));
      const LandingCounts counts = count_landings(*one.landings, flights_of_a_model, 1, {}, share_out);
      const double all = counts.heading_sd_deg();
      one.group.fixed_deg = std::min(all, std::abs(counts.heading_by_deg(TakeoffFactor::air_time)));
      one.group.scaled_deg = std::sqrt(all * all - one.group.fixed_deg * one.group.fixed_deg) / scale;
      groups.push_back(one.group);
    }
    const std::optional<FittedDeviation> fitted = fitted_scale(groups);
    if (!fitted || fitted->values < fewest_fitted) return fit;
    fit.turn = fitted;
    scale = fitted->deviation;
    if (pass > 0) continue;
    double sum = 0;
    for (const HeadingGroup& group : groups)
      for (const double error : group.errors_deg) sum += error;
    fit.heading_mean_deg = sum / fitted->values;
  }
  fit.spread = scaled(fit.spread, scale);
  return fit;
}

}  // namespace halfturn
