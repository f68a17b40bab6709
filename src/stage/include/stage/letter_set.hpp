#pragma once

#include <cstdint>
#include <memory>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "scene/scene.hpp"

namespace halfturn {

/// A letter as distances to its edge: one byte a texel, rows from the top, 128 on the edge, more inside; 255
/// is LetterSet::spread_px inside, 0 as far outside. Nothing to draw, for instance of a space: no texels.
struct Letter {
  int width = 0, height = 0;
  std::vector<std::uint8_t> distances;
  int left = 0, top = 0;  ///< texels from the pen to the box; top is up
  double advance = 0;     ///< font sizes
};

/// Where the stage gets its letters from.
class LetterSet {
 public:
  static constexpr int size_px = 44;   ///< font size of the letters, texels
  static constexpr int spread_px = 6;  ///< distance that 0 and 255 stand for
  virtual ~LetterSet() = default;
  /// A code point that the fonts lack gives what stands for it there.
  [[nodiscard]] virtual Letter letter(char32_t code, Weight weight) = 0;
};

/// Distances from how much of each texel a letter covers, 0 to 255, with `LetterSet::spread_px` clear texels
/// around the letter: for browsers, which draw letters but do not give their outlines.
[[nodiscard]] std::vector<std::uint8_t> letter_distances(const std::vector<std::uint8_t>& cover, int width,
                                                         int height);

/// Font files (OpenType) by weight; the bytes must outlive whatever reads them.
struct StageFonts {
  std::string_view medium, bold;
  std::string_view heavy = {};  ///< for the answer; empty: bold
};
/// Letters of font files, read with FreeType; not in a browser. A problem when a font does not open.
[[nodiscard]] Result<std::unique_ptr<LetterSet>> freetype_letters(const StageFonts& fonts);

}  // namespace halfturn
