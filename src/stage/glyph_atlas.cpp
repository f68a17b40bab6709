#include "glyph_atlas.hpp"

#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_MODULE_H

#include <algorithm>
#include <array>

namespace halfturn {

struct GlyphAtlas::Library {
  FT_Library library = nullptr;
  std::array<FT_Face, 3> faces{};

  Library() = default;
  Library(const Library&) = delete;
  Library& operator=(const Library&) = delete;
  ~Library() {
    if (library != nullptr) FT_Done_FreeType(library);  // closes the faces
  }
};

GlyphAtlas::GlyphAtlas()
    : library_(std::make_unique<Library>()), texels_(static_cast<std::size_t>(size_px) * size_px, 0) {}
GlyphAtlas::~GlyphAtlas() = default;

Result<std::unique_ptr<GlyphAtlas>> GlyphAtlas::create(const StageFonts& fonts) {
  std::unique_ptr<GlyphAtlas> atlas(new GlyphAtlas);
  Library& lib = *atlas->library_;
  if (FT_Init_FreeType(&lib.library) != 0) return Problem{"", "", "the font library does not start"};
  FT_Int spread = spread_px;
  FT_Property_Set(lib.library, "sdf", "spread", &spread);
  FT_Property_Set(lib.library, "bsdf", "spread", &spread);
  const std::string_view bytes[] = {fonts.medium, fonts.bold, fonts.heavy.empty() ? fonts.bold : fonts.heavy};
  for (std::size_t i = 0; i < lib.faces.size(); ++i) {
    const auto* data = static_cast<const FT_Byte*>(static_cast<const void*>(bytes[i].data()));
    if (FT_New_Memory_Face(lib.library, data, static_cast<FT_Long>(bytes[i].size()), 0, &lib.faces[i]) != 0 ||
        FT_Set_Pixel_Sizes(lib.faces[i], 0, glyph_px) != 0) {
      return Problem{"", "", "a font of the stage cannot be read"};
    }
  }
  return atlas;
}

const GlyphAtlas::Glyph& GlyphAtlas::glyph(char32_t code, Weight weight) {
  const auto key = std::pair{code, weight};
  if (const auto found = glyphs_.find(key); found != glyphs_.end()) return found->second;
  Glyph glyph;
  FT_Face face = library_->faces[static_cast<std::size_t>(weight)];
  // The sharpest distances come from a bitmap of the letter: quick, and exact enough at this size.
  if (FT_Load_Char(face, code, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP) == 0) {
    FT_GlyphSlot slot = face->glyph;
    glyph.advance = static_cast<float>(static_cast<double>(slot->linearHoriAdvance) / 65536.0 / glyph_px);
    if (FT_Render_Glyph(slot, FT_RENDER_MODE_NORMAL) == 0 && FT_Render_Glyph(slot, FT_RENDER_MODE_SDF) == 0 &&
        slot->bitmap.width > 0) {
      const int width = static_cast<int>(slot->bitmap.width), height = static_cast<int>(slot->bitmap.rows);
      if (pen_x_ + width + 1 > size_px) {
        pen_x_ = 1;
        pen_y_ += row_height_ + 1;
        row_height_ = 0;
      }
      if (pen_y_ + height + 1 <= size_px && width + 2 <= size_px) {
        for (int row = 0; row < height; ++row) {
          const unsigned char* from = slot->bitmap.buffer + row * slot->bitmap.pitch;
          std::copy(from, from + width, texels_.begin() + (pen_y_ + row) * size_px + pen_x_);
        }
        glyph.x0 = static_cast<float>(pen_x_);
        glyph.y0 = static_cast<float>(pen_y_);
        glyph.x1 = static_cast<float>(pen_x_ + width);
        glyph.y1 = static_cast<float>(pen_y_ + height);
        glyph.left = static_cast<float>(slot->bitmap_left) / glyph_px;
        glyph.top = static_cast<float>(slot->bitmap_top) / glyph_px;
        glyph.width = static_cast<float>(width) / glyph_px;
        glyph.height = static_cast<float>(height) / glyph_px;
        changed_first_ = std::min(changed_first_, pen_y_);
        changed_last_ = std::max(changed_last_, pen_y_ + height);
        pen_x_ += width + 1;
        row_height_ = std::max(row_height_, height);
      }
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
