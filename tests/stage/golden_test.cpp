// Pictures compared with kept ones. HALFTURN_WRITE_GOLDEN=1 writes them anew; look at them before committing.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "pictures.hpp"

using namespace halfturn;
using namespace halfturn::pictures;

namespace {

// Another rasteriser may place an edge half a sample aside: that changes single pixels, hardly the mean, and
// not the mean of a 5 x 5 neighbourhood.
constexpr double most_mean = 0.4, most_blurred = 20;  // of 255

struct Difference {
  double mean = 0, blurred_max = 0;
  Image picture;  ///< grey: alike, black: far apart
};

Difference difference_of(const Image& a, const Image& b) {
  const int w = a.width, h = a.height;
  // Sums over the rectangle from the corner, so that a neighbourhood costs four look-ups.
  std::vector<double> sums(3 * static_cast<std::size_t>((w + 1) * (h + 1)), 0.0);
  const auto sum = [&](int x, int y, int channel) -> double& {
    return sums[3 * static_cast<std::size_t>(y * (w + 1) + x) + static_cast<std::size_t>(channel)];
  };
  Difference d;
  d.picture = a;
  for (int y = 0; y < h; ++y) {
    for (int x = 0; x < w; ++x) {
      double most = 0;
      for (int channel = 0; channel < 3; ++channel) {
        const std::size_t i = 4 * static_cast<std::size_t>(y * w + x) + static_cast<std::size_t>(channel);
        const double one = double(a.rgba[i]) - double(b.rgba[i]);
        d.mean += std::abs(one) / (3.0 * w * h);
        most = std::max(most, std::abs(one));
        sum(x + 1, y + 1, channel) =
            one + sum(x, y + 1, channel) + sum(x + 1, y, channel) - sum(x, y, channel);
      }
      for (std::size_t channel = 0; channel < 3; ++channel)
        d.picture.rgba[4 * static_cast<std::size_t>(y * w + x) + channel] =
            static_cast<std::uint8_t>(std::max(0.0, 220 - 3 * most));
    }
  }
  for (int y = 0; y + 5 <= h; ++y) {
    for (int x = 0; x + 5 <= w; ++x) {
      for (int c = 0; c < 3; ++c)
        d.blurred_max = std::max(
            d.blurred_max,
            std::abs(sum(x + 5, y + 5, c) - sum(x, y + 5, c) - sum(x + 5, y, c) + sum(x, y, c)) / 25);
    }
  }
  return d;
}

void compare_with_golden(const std::string& name, const Image& image) {
  CAPTURE(name);
  const std::string path = std::string(TEST_DATA) + "/" + name + ".png";
  if (std::getenv("HALFTURN_WRITE_GOLDEN") != nullptr) {
    REQUIRE(write_png(path, image));
    return;
  }
  const std::optional<Image> kept = read_png(path);
  REQUIRE_MESSAGE(kept.has_value(), "no picture ", path);
  REQUIRE(kept->width == image.width);
  REQUIRE(kept->height == image.height);
  const Difference d = difference_of(image, *kept);
  if (d.mean > most_mean || d.blurred_max > most_blurred) {
    const std::string base = std::string(TEST_OUTPUT) + "/" + name;
    CHECK(write_png(base + "_now.png", image));
    CHECK(write_png(base + "_difference.png", d.picture));
    MESSAGE("see ", base, "_now.png and ", base, "_difference.png beside ", path);
  }
  CHECK(d.mean <= most_mean);
  CHECK(d.blurred_max <= most_blurred);
}

}  // namespace

TEST_CASE("golden: a back half seen from the side") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  compare_with_golden("stage_side_light",
                      draw(renderer(), scene_of(ladder, 2, 0.4, view_at(CameraKind::side, 480, 300, 0.5))));
}

TEST_CASE("golden: a corkscrew seen from the front, dark") {
  const Ladder ladder = ladder_of("gainer", Side::right, 360, 180);
  View view = view_at(CameraKind::front, 480, 300, 0.5, Theme::dark);
  view.toggles.flip_axis = view.toggles.long_axis = view.toggles.tilt_wedge = true;
  view.passed = {true, false, false};
  compare_with_golden("stage_front_dark", draw(renderer(), scene_of(ladder, 2, 0.3, view)));
}

TEST_CASE("golden: a butterfly twist seen from above, in sunlight") {
  const Ladder ladder = ladder_of("butterfly", Side::left, 360, 180);
  compare_with_golden(
      "stage_above_sunlight",
      draw(renderer(), scene_of(ladder, 2, 0.3, view_at(CameraKind::above, 480, 300, 0.5, Theme::sunlight))));
}

TEST_CASE("golden: a full through the athlete's eyes") {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 360);
  compare_with_golden("stage_eyes_light",
                      draw(renderer(), scene_of(ladder, 1, 0.75, view_at(CameraKind::eyes, 480, 300, 0.5))));
}
