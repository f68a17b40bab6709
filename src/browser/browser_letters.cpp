#include "browser_letters.hpp"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace {

constexpr int box_px = 112;            // room for a letter with its clear rim
constexpr int pen_x = 30, pen_y = 76;  // where the letter begins, from the top left; y of the baseline

}  // namespace

// In letters.js.
extern "C" double halfturn_letter(unsigned code, int weight, int size, int box, int x, int y,
                                  unsigned char* cover);

namespace halfturn {
namespace {

class BrowserLetters final : public LetterSet {
 public:
  Letter letter(char32_t code, Weight weight) override {
    constexpr int weights[] = {500, 700, 800};
    Letter letter;
    letter.advance = halfturn_letter(code, weights[static_cast<std::size_t>(weight)], size_px, box_px, pen_x,
                                     pen_y, box_.data()) /
                     size_px;
    // Only the part that is covered, and room around it for the distances.
    int x0 = box_px, y0 = box_px, x1 = 0, y1 = 0;
    for (int y = 0; y < box_px; ++y) {
      for (int x = 0; x < box_px; ++x) {
        if (at(x, y) == 0) continue;
        x0 = std::min(x0, x);
        x1 = std::max(x1, x + 1);
        y0 = std::min(y0, y);
        y1 = std::max(y1, y + 1);
      }
    }
    if (x1 <= x0) return letter;
    x0 = std::max(0, x0 - spread_px);
    y0 = std::max(0, y0 - spread_px);
    x1 = std::min(box_px, x1 + spread_px);
    y1 = std::min(box_px, y1 + spread_px);
    letter.width = x1 - x0;
    letter.height = y1 - y0;
    letter.left = x0 - pen_x;
    letter.top = pen_y - y0;
    std::vector<std::uint8_t> cover;
    cover.reserve(static_cast<std::size_t>(letter.width) * static_cast<std::size_t>(letter.height));
    for (int y = y0; y < y1; ++y) {
      for (int x = x0; x < x1; ++x) cover.push_back(at(x, y));
    }
    letter.distances = letter_distances(cover, letter.width, letter.height);
    return letter;
  }

 private:
  [[nodiscard]] std::uint8_t at(int x, int y) const {
    return box_[static_cast<std::size_t>(y) * box_px + static_cast<std::size_t>(x)];
  }
  std::vector<std::uint8_t> box_ = std::vector<std::uint8_t>(std::size_t{box_px} * box_px);
};

}  // namespace

std::unique_ptr<LetterSet> browser_letters() {
  return std::make_unique<BrowserLetters>();
}

}  // namespace halfturn
