#include "glyph_atlas.hpp"

#include <algorithm>

namespace halfturn {

GlyphAtlas::GlyphAtlas(std::unique_ptr<LetterSet> letters)
    : letters_(std::move(letters)), texels_(static_cast<std::size_t>(size_px) * size_px, 0) {}

const GlyphAtlas::Glyph& GlyphAtlas::glyph(char32_t code, Weight weight) {
  const auto key = std::pair{code, weight};
  if (const auto found = glyphs_.find(key); found != glyphs_.end()) return found->second;
  constexpr float em = LetterSet::size_px;
  const Letter letter = letters_->letter(code, weight);
  const int width = letter.width, height = letter.height;
  Glyph glyph;
  glyph.advance = static_cast<float>(letter.advance);
  if (width > 0) {
    if (pen_x_ + width + 1 > size_px) {
      pen_x_ = 1;
      pen_y_ += row_height_ + 1;
      row_height_ = 0;
    }
    if (pen_y_ + height + 1 <= size_px && width + 2 <= size_px) {
      for (int row = 0; row < height; ++row) {
        const auto from = letter.distances.begin() + std::ptrdiff_t{row} * width;
        std::copy(from, from + width, texels_.begin() + std::ptrdiff_t{pen_y_ + row} * size_px + pen_x_);
      }
      glyph.x0 = static_cast<float>(pen_x_);
      glyph.y0 = static_cast<float>(pen_y_);
      glyph.x1 = static_cast<float>(pen_x_ + width);
      glyph.y1 = static_cast<float>(pen_y_ + height);
      glyph.left = static_cast<float>(letter.left) / em;
      glyph.top = static_cast<float>(letter.top) / em;
      glyph.width = static_cast<float>(width) / em;
      glyph.height = static_cast<float>(height) / em;
      changed_first_ = std::min(changed_first_, pen_y_);
      changed_last_ = std::max(changed_last_, pen_y_ + height);
      pen_x_ += width + 1;
      row_height_ = std::max(row_height_, height);
    }
  }
  return glyphs_.emplace(key, glyph).first->second;
}

double GlyphAtlas::width_em(std::string_view text, Weight weight) {
  double width = 0;
  for (std::size_t at = 0; at < text.size();)
    width += static_cast<double>(glyph(next_code_point(text, at), weight).advance);
  return width;
}

std::pair<int, int> GlyphAtlas::take_changed_rows() {
  const std::pair<int, int> rows{changed_first_, changed_last_};
  changed_first_ = size_px;
  changed_last_ = 0;
  return rows;
}

char32_t next_code_point(std::string_view text, std::size_t& at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned char lead = byte(at);
  const std::size_t length = lead < 0x80                   ? 1
                             : lead >= 0xF0 && lead < 0xF5 ? 4
                             : lead >= 0xE0                ? 3
                             : lead >= 0xC2                ? 2
                                                           : 0;
  if (length == 0 || lead >= 0xF5 || at + length > text.size()) {
    ++at;
    return 0xFFFD;
  }
  char32_t code = length == 1 ? lead : lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0U) != 0x80U) {
      ++at;
      return 0xFFFD;
    }
    code = code << 6 | (byte(at + i) & 0x3FU);
  }
  at += length;
  return code;
}

}  // namespace halfturn
