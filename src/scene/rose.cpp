#include <algorithm>
#include <cmath>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double longest_m = 1.40;    // the petal of the fullest bin: inside the ring
constexpr double least_share = 5e-4;  // of the landings; less is no petal

}  // namespace

/// Petals whose areas are as the shares, so that the eye compares what it sees.
void Composer::rose() {
  if (!view_.rose || view_.rose->shares.empty() || eyes()) return;
  const LandingRose& rose = *view_.rose;
  const double fullest = *std::max_element(rose.shares.begin(), rose.shares.end());
  if (!(fullest > 0)) return;
  const double width = 360.0 / static_cast<double>(rose.shares.size());
  const Color ink = view_.theme == Theme::dark ? palette_.ink : palette_.line;
  for (std::size_t i = 0; i < rose.shares.size(); ++i) {
    if (rose.shares[i] < least_share) continue;
    const double from = rose.middle_deg - 180 + width * static_cast<double>(i);
    std::vector<Vec3> petal = arc(longest_m * std::sqrt(rose.shares[i] / fullest), from, from + width);
    petal.insert(petal.begin(), Vec3(0));
    add(Polygon{Space::world, std::move(petal), faded(palette_.ghost, 0.8), stroke(ink, 1)});
  }
}

}  // namespace halfturn
