#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <utility>

#include "base/expect.hpp"
#include "stage/letter_set.hpp"

namespace halfturn {
namespace {

/// How much of each texel is covered, 0 to 1; nothing beyond the box.
class Cover {
 public:
  Cover(const std::vector<std::uint8_t>& bytes, int width, int height)
      : bytes_(bytes), width_(width), height_(height) {}
  [[nodiscard]] float at(int x, int y) const {
    if (x < 0 || y < 0 || x >= width_ || y >= height_) return 0;
    return static_cast<float>(bytes_[static_cast<std::size_t>(y) * static_cast<std::size_t>(width_) +
                                     static_cast<std::size_t>(x)]) /
           255;
  }
  /// Whether the letter's edge runs through the texel, or along it.
  [[nodiscard]] bool on_edge(int x, int y) const {
    const float share = at(x, y);
    if (share <= 0) return false;
    return share < 1 || at(x - 1, y) <= 0 || at(x + 1, y) <= 0 || at(x, y - 1) <= 0 || at(x, y + 1) <= 0;
  }
  /// Unit vector into the letter (Sobel's weights).
  [[nodiscard]] std::pair<float, float> inwards(int x, int y) const {
    const auto side = [&](int dx, int dy) {
      // Across the direction, its neighbours count once and itself twice.
      return at(x + dx + dy, y + dy + dx) + 2 * at(x + dx, y + dy) + at(x + dx - dy, y + dy - dx);
    };
    const float gx = side(1, 0) - side(-1, 0), gy = side(0, 1) - side(0, -1);
    const float length = std::hypot(gx, gy);
    return length > 1e-4F ? std::pair{gx / length, gy / length} : std::pair{1.0F, 0.0F};
  }

 private:
  const std::vector<std::uint8_t>& bytes_;
  int width_, height_;
};

/// How far the edge lies from the middle of a texel that is covered to this share, px, outside positive, when
/// it is straight and runs across (gx, gy): Gustavson and Strand 2011, Anti-aliased Euclidean distance
/// transform.
float edge_from_middle(float share, float gx, float gy) {
  gx = std::abs(gx);
  gy = std::abs(gy);
  if (gx < gy) std::swap(gx, gy);
  const float corner = 0.5F * gy / gx;
  if (share < corner) return 0.5F * (gx + gy) - std::sqrt(2 * gx * gy * share);
  if (share <= 1 - corner) return (0.5F - share) * gx;
  return -0.5F * (gx + gy) + std::sqrt(2 * gx * gy * (1 - share));
}

}  // namespace

std::vector<std::uint8_t> letter_distances(const std::vector<std::uint8_t>& cover, int width, int height) {
  const auto w = static_cast<std::size_t>(width), h = static_cast<std::size_t>(height);
  HT_EXPECT(cover.size() == w * h);
  const Cover covered(cover, width, height);
  constexpr int reach = LetterSet::spread_px + 1;
  constexpr float half_piece = 0.7F;  // px of straight edge to both sides of its point in a texel
  std::vector<float> nearest(cover.size(), std::numeric_limits<float>::max());
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      if (!covered.on_edge(x, y)) continue;
      const auto [gx, gy] = covered.inwards(x, y);
      const float edge = edge_from_middle(covered.at(x, y), gx, gy);
      for (int v = std::max(0, y - reach); v < std::min(height, y + reach + 1); ++v) {
        for (int u = std::max(0, x - reach); u < std::min(width, x + reach + 1); ++u) {
          const auto dx = static_cast<float>(u - x), dy = static_cast<float>(v - y);
          const float across = dx * gx + dy * gy - edge;
          const float along = std::max(0.0F, std::abs(dx * gy - dy * gx) - half_piece);
          float& least = nearest[static_cast<std::size_t>(v) * w + static_cast<std::size_t>(u)];
          least = std::min(least, across * across + along * along);
        }
      }
    }
  }
  std::vector<std::uint8_t> distances(cover.size());
  for (std::size_t i = 0; i < cover.size(); ++i) {
    const float far = std::sqrt(nearest[i]) * (cover[i] >= 128 ? 1.0F : -1.0F);
    distances[i] =
        static_cast<std::uint8_t>(std::clamp(128 + 128 * far / LetterSet::spread_px, 0.0F, 255.0F));
  }
  return distances;
}

}  // namespace halfturn
