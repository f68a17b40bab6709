#include "format/orientation_csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace halfturn {

std::vector<double> output_times(double duration, double hz) {
  const double steps = duration * hz;
  // 0.7 s at 10 Hz is 7 steps, though the product is 7.000000000000001.
  const double whole = std::round(steps);
  const bool ends_on_step = std::abs(steps - whole) <= 1e-9 * std::max(1.0, steps);
  const auto last = static_cast<std::size_t>(ends_on_step ? whole : std::floor(steps));
  std::vector<double> times;
  times.reserve(last + 2);
  for (std::size_t k = 0; k <= last; ++k) times.push_back(std::min(static_cast<double>(k) / hz, duration));
  if (ends_on_step) {
    times.back() = duration;
  } else {
    times.push_back(duration);
  }
  return times;
}

std::string orientation_csv(const std::vector<OrientationRow>& rows) {
  std::string text = "t,qw,qx,qy,qz,wx,wy,wz\n";
  const auto out = std::back_inserter(text);
  for (const OrientationRow& row : rows) {
    fmt::format_to(out, "{:.15g},{:.15g},{:.15g},{:.15g},{:.15g},{:.15g},{:.15g},{:.15g}\n", row.time,
                   row.q_WB.w, row.q_WB.x, row.q_WB.y, row.q_WB.z, row.omega_B.x, row.omega_B.y,
                   row.omega_B.z);
  }
  return text;
}

}  // namespace halfturn
