#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

#include "base/expect.hpp"
#include "stage/letter_set.hpp"

namespace halfturn {
namespace {

/// Lower envelope of parabolas (Felzenszwalb and Huttenlocher 2012, Distance Transforms of Sampled
/// Functions): squared distances along one line to the nearest of its places, given what each starts with.
class LineTransform {
 public:
  explicit LineTransform(std::size_t longest) : start_(longest), places_(longest), from_(longest + 1) {}

  void run(float* values, std::size_t count, std::size_t stride) {
    for (std::size_t i = 0; i < count; ++i) start_[i] = values[i * stride];
    constexpr float far = std::numeric_limits<float>::infinity();
    std::size_t last = 0;
    places_[0] = 0;
    from_[0] = -far;
    from_[1] = far;
    for (std::size_t i = 1; i < count; ++i) {
      float meet = meeting(i, places_[last]);
      while (last > 0 && meet <= from_[last]) meet = meeting(i, places_[--last]);
      // The first place may give way as well.
      if (meet <= from_[last]) {
        places_[last] = i;
        continue;
      }
      places_[++last] = i;
      from_[last] = meet;
      from_[last + 1] = far;
    }
    std::size_t k = 0;
    for (std::size_t i = 0; i < count; ++i) {
      while (from_[k + 1] < static_cast<float>(i)) ++k;
      const float way = static_cast<float>(i) - static_cast<float>(places_[k]);
      values[i * stride] = way * way + start_[places_[k]];
    }
  }

 private:
  [[nodiscard]] float meeting(std::size_t a, std::size_t b) const {
    const auto x = static_cast<float>(a), y = static_cast<float>(b);
    return (start_[a] + x * x - start_[b] - y * y) / (2 * (x - y));
  }

  std::vector<float> start_;
  std::vector<std::size_t> places_;
  std::vector<float> from_;
};

void transform(std::vector<float>& squared, std::size_t width, std::size_t height) {
  LineTransform line(std::max(width, height));
  for (std::size_t x = 0; x < width; ++x) line.run(squared.data() + x, height, width);
  for (std::size_t y = 0; y < height; ++y) line.run(squared.data() + y * width, width, 1);
}

}  // namespace

std::vector<std::uint8_t> letter_distances(const std::vector<std::uint8_t>& cover, int width, int height) {
  const auto w = static_cast<std::size_t>(width), h = static_cast<std::size_t>(height);
  HT_EXPECT(cover.size() == w * h);
  // Finite, so that differences of it stay numbers.
  constexpr float far = 1e6F;
  std::vector<float> outside(cover.size()), inside(cover.size());
  for (std::size_t i = 0; i < cover.size(); ++i) {
    // Of a texel that is covered in part, the edge is that far from its middle.
    const float share = static_cast<float>(cover[i]) / 255;
    const float out = std::max(0.0F, 0.5F - share), in = std::max(0.0F, share - 0.5F);
    outside[i] = share >= 1 ? 0 : share <= 0 ? far : out * out;
    inside[i] = share >= 1 ? far : share <= 0 ? 0 : in * in;
  }
  transform(outside, w, h);
  transform(inside, w, h);
  std::vector<std::uint8_t> distances(cover.size());
  for (std::size_t i = 0; i < cover.size(); ++i) {
    const float deep = std::sqrt(inside[i]) - std::sqrt(outside[i]);
    const float value = 128 + 128 * deep / LetterSet::spread_px;
    distances[i] = static_cast<std::uint8_t>(std::clamp(value, 0.0F, 255.0F));
  }
  return distances;
}

}  // namespace halfturn
