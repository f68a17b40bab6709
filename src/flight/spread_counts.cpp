#include <algorithm>
#include <cmath>

#include "flight/spread.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

double mean_deg(double sum, std::int64_t count) {
  return count > 0 ? to_deg(sum / static_cast<double>(count)) : 0;
}
double sd_deg(double sum, double squares, std::int64_t count) {
  if (count < 2) return 0;
  const auto n = static_cast<double>(count);
  return to_deg(std::sqrt(std::max(0.0, (squares - sum * sum / n) / (n - 1))));
}

}  // namespace

LandingCounts& LandingCounts::operator+=(const LandingCounts& other) {
  flights += other.flights;
  controlled += other.controlled;
  heading_met += other.heading_met;
  upright_met += other.upright_met;
  without_heading += other.without_heading;
  for (std::size_t i = 0; i < headings.size(); ++i) headings[i] += other.headings[i];
  for (std::size_t i = 0; i < uprightness.size(); ++i) uprightness[i] += other.uprightness[i];
  heading_sum += other.heading_sum;
  heading_squares += other.heading_squares;
  angle_sum += other.angle_sum;
  angle_squares += other.angle_squares;
  for (std::size_t f = 0; f < takeoff_factor_count; ++f) {
    heading_products[f] += other.heading_products[f];
    angle_products[f] += other.angle_products[f];
  }
  return *this;
}

double LandingCounts::heading_mean_deg() const {
  return mean_deg(heading_sum, flights);
}
double LandingCounts::heading_sd_deg() const {
  return sd_deg(heading_sum, heading_squares, flights);
}
double LandingCounts::angle_mean_deg() const {
  return mean_deg(angle_sum, flights);
}
double LandingCounts::angle_sd_deg() const {
  return sd_deg(angle_sum, angle_squares, flights);
}
double LandingCounts::heading_by_deg(TakeoffFactor factor) const {
  return mean_deg(heading_products[static_cast<std::size_t>(factor)], flights);
}
double LandingCounts::angle_by_deg(TakeoffFactor factor) const {
  return mean_deg(angle_products[static_cast<std::size_t>(factor)], flights);
}

}  // namespace halfturn
