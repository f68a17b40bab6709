// Letters of a browser come as covered texels; the distances made of them are held against a shape whose
// distances are known: a disc's are radius minus way from the middle.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "stage/letter_set.hpp"

using namespace halfturn;

namespace {

constexpr int side = 48;

/// How much of each texel a disc covers, 0 to 255, counted on a grid of 16 by 16 points.
std::vector<std::uint8_t> disc(double x, double y, double radius) {
  constexpr int grid = 16;
  std::vector<std::uint8_t> cover;
  for (int row = 0; row < side; ++row) {
    for (int column = 0; column < side; ++column) {
      int inside = 0;
      for (int k = 0; k < grid * grid; ++k) {
        const double px = column + (k % grid + 0.5) / grid, py = row + (k / grid + 0.5) / grid;
        inside += std::hypot(px - x, py - y) <= radius ? 1 : 0;
      }
      cover.push_back(static_cast<std::uint8_t>(std::lround(255.0 * inside / (grid * grid))));
    }
  }
  return cover;
}

}  // namespace

TEST_CASE("the distances of a disc are its radius minus the way from its middle") {
  for (const double radius : {4.0, 9.3, 14.0}) {
    const double x = 23.3, y = 24.6;
    const auto distances = letter_distances(disc(x, y, radius), side, side);
    double sum = 0, greatest = 0;
    int counted = 0;
    for (int row = 0; row < side; ++row) {
      for (int column = 0; column < side; ++column) {
        const double true_px = radius - std::hypot(column + 0.5 - x, row + 0.5 - y);
        // Beyond the spread the byte is at its end.
        if (std::abs(true_px) > LetterSet::spread_px - 1) continue;
        const double value = distances[static_cast<std::size_t>(row * side + column)];
        const double found_px = (value - 128) / 128 * LetterSet::spread_px;
        sum += std::abs(found_px - true_px);
        greatest = std::max(greatest, std::abs(found_px - true_px));
        ++counted;
      }
    }
    CAPTURE(radius);
    CHECK(counted > 200);
    // A texel that the edge crosses is known to its share only, not to the edge's direction.
    CHECK(sum / counted < 0.15);
    CHECK(greatest < 0.6);
  }
}

TEST_CASE("far from a letter the distances are at their ends, and an empty box is outside all over") {
  const auto distances = letter_distances(disc(24, 24, 16), side, side);
  CHECK(distances[24 * side + 24] == 255);
  CHECK(distances[0] == 0);
  const auto empty = letter_distances(std::vector<std::uint8_t>(side * side, 0), side, side);
  CHECK(std::all_of(empty.begin(), empty.end(), [](std::uint8_t value) { return value == 0; }));
}
