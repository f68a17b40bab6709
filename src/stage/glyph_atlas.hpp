#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <string_view>
#include <utility>
#include <vector>

#include "stage/letter_set.hpp"

namespace halfturn {

/// The letters that were needed so far in one picture, as distances to their edges.
class GlyphAtlas {
 public:
  static constexpr int size_px = 1024;  ///< of the square atlas

  struct Glyph {
    float x0 = 0, y0 = 0, x1 = 0, y1 = 0;      ///< texels
    float left = 0, top = 0;                   ///< from the pen to the box, font sizes, up
    float width = 0, height = 0, advance = 0;  ///< font sizes
  };

  explicit GlyphAtlas(std::unique_ptr<LetterSet> letters);

  [[nodiscard]] const Glyph& glyph(char32_t code, Weight weight);
  [[nodiscard]] double width_em(std::string_view text, Weight weight);

  /// Rows from the top, one byte a texel.
  [[nodiscard]] const std::vector<std::uint8_t>& texels() const { return texels_; }
  /// Rows that changed since the last call: first and one past the last.
  [[nodiscard]] std::pair<int, int> take_changed_rows();

 private:
  std::unique_ptr<LetterSet> letters_;
  std::map<std::pair<char32_t, Weight>, Glyph> glyphs_;
  std::vector<std::uint8_t> texels_;
  int pen_x_ = 1, pen_y_ = 1, row_height_ = 0;
  int changed_first_ = size_px, changed_last_ = 0;
};

/// Next code point of UTF-8; anything malformed is U+FFFD and one byte long.
[[nodiscard]] char32_t next_code_point(std::string_view text, std::size_t& at);

}  // namespace halfturn
