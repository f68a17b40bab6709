#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "ladder/rung_spread.hpp"

namespace halfturn {

/// Fewest values a standard deviation is taken from: with 20 its own error is 16 percent. The latest 100 are
/// used, since athletes change. Both are this project's choice.
inline constexpr int fewest_fitted = 20, most_fitted = 100;

/// A standard deviation from a sample, with the range that chance leaves open (95 percent, of normal errors).
struct FittedDeviation {
  int values = 0;
  double deviation = 0, low = 0, high = 0;
};

/// Quantile of the chi-square distribution by the approximation of Wilson and Hilferty (1931), within a
/// percent from 10 degrees of freedom on.
[[nodiscard]] double chi_square_quantile(double probability, int degrees);

/// Deviation of values about the mean of their own group; empty where no group has two.
[[nodiscard]] std::optional<FittedDeviation> pooled_deviation(std::span<const std::vector<double>> groups);

/// Heading errors seen on one rung, deg, and the deviation a model makes of them in two independent parts.
struct HeadingGroup {
  std::vector<double> errors_deg;
  int by_eye = 0;  ///< how many of them; their rounding to 15 degrees counts as a third part (Sheppard)
  double fixed_deg = 0, scaled_deg = 0;
};
/// The factor on `scaled_deg` that makes the model's deviations those seen: the normalised squares about the
/// means of the groups add up to their degrees of freedom. Kept within a quarter and four.
[[nodiscard]] std::optional<FittedDeviation> fitted_scale(std::span<const HeadingGroup> groups);
inline constexpr double least_scale = 0.25, greatest_scale = 4;

/// How an athlete's takeoffs vary, as far as the logbook tells.
struct SpreadFit {
  TakeoffSpread spread;                     ///< fitted where there is enough, else as assumed
  std::optional<FittedDeviation> air_time;  ///< s
  /// Of angular momentum, direction and timing together, against the assumed ones: a landing heading does not
  /// tell them apart.
  std::optional<FittedDeviation> turn;
  int air_times = 0, headings = 0;         ///< values there are, fitted or not
  std::optional<double> heading_mean_deg;  ///< of the headings used: short negative; the model aims at 0
  bool air_time_from_profile = false;      ///< too few in the logbook, the athlete's own record instead
};
/// "air time fitted from 34 attempts, turn default (12 of 20 landing headings)".
[[nodiscard]] std::string fit_words(const SpreadFit& fit);

/// Fits the attempts at the rungs of a ladder, oldest first: air times about the mean of their rung, then
/// landing headings by flying the rungs they were seen on. `profile_air_time` is a deviation measured
/// elsewhere, s.
[[nodiscard]] SpreadFit fit_spread(const Ladder& ladder, std::span<const AttemptRecord> attempts,
                                   const Flyer& flyer, const TakeoffSpread& assumed,
                                   std::optional<double> profile_air_time, const ShareOut& share_out);

}  // namespace halfturn
