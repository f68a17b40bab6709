#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <string_view>
#include <utility>
#include <vector>

#include "base/result.hpp"
#include "scene/scene.hpp"
#include "stage/renderer.hpp"

namespace halfturn {

/// Letters as distances to their edges, made when they are first needed.
class GlyphAtlas {
 public:
  static constexpr int size_px = 1024;  ///< of the square atlas
  static constexpr int spread_px = 6;   ///< distance that the values 0 and 255 stand for
  static constexpr int glyph_px = 44;   ///< font size in the atlas

  struct Glyph {
    float x0 = 0, y0 = 0, x1 = 0, y1 = 0;      ///< texels
    float left = 0, top = 0;                   ///< from the pen to the box, font sizes, up
    float width = 0, height = 0, advance = 0;  ///< font sizes
  };

  /// A problem when the font library or a font does not open.
  [[nodiscard]] static Result<std::unique_ptr<GlyphAtlas>> create(const StageFonts& fonts);
  ~GlyphAtlas();
  GlyphAtlas(const GlyphAtlas&) = delete;
  GlyphAtlas& operator=(const GlyphAtlas&) = delete;

  [[nodiscard]] const Glyph& glyph(char32_t code, Weight weight);
  [[nodiscard]] double width_em(std::string_view text, Weight weight);

  /// Rows from the top, one byte a texel.
  [[nodiscard]] const std::vector<std::uint8_t>& texels() const { return texels_; }
  /// Rows that changed since the last call: first and one past the last.
  [[nodiscard]] std::pair<int, int> take_changed_rows();

 private:
  GlyphAtlas();
  struct Library;
  std::unique_ptr<Library> library_;
  std::map<std::pair<char32_t, Weight>, Glyph> glyphs_;
  std::vector<std::uint8_t> texels_;
  int pen_x_ = 1, pen_y_ = 1, row_height_ = 0;
  int changed_first_ = size_px, changed_last_ = 0;
};

/// Next code point of UTF-8; anything malformed is U+FFFD and one byte long.
[[nodiscard]] char32_t next_code_point(std::string_view text, std::size_t& at);

}  // namespace halfturn
