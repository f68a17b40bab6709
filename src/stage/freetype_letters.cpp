#include <ft2build.h>
#include FT_FREETYPE_H
#include FT_MODULE_H

#include <algorithm>
#include <array>
#include <cstddef>

#include "stage/letter_set.hpp"

namespace halfturn {
namespace {

class FreetypeLetters final : public LetterSet {
 public:
  FreetypeLetters() = default;
  ~FreetypeLetters() override {
    if (library_ != nullptr) FT_Done_FreeType(library_);  // closes the faces
  }
  FreetypeLetters(const FreetypeLetters&) = delete;
  FreetypeLetters& operator=(const FreetypeLetters&) = delete;

  Outcome open(const StageFonts& fonts) {
    if (FT_Init_FreeType(&library_) != 0) return Problem{"", "", "the font library does not start"};
    FT_Int spread = spread_px;
    FT_Property_Set(library_, "sdf", "spread", &spread);
    FT_Property_Set(library_, "bsdf", "spread", &spread);
    const std::string_view bytes[] = {fonts.medium, fonts.bold,
                                      fonts.heavy.empty() ? fonts.bold : fonts.heavy};
    for (std::size_t i = 0; i < faces_.size(); ++i) {
      const auto* data = static_cast<const FT_Byte*>(static_cast<const void*>(bytes[i].data()));
      if (FT_New_Memory_Face(library_, data, static_cast<FT_Long>(bytes[i].size()), 0, &faces_[i]) != 0 ||
          FT_Set_Pixel_Sizes(faces_[i], 0, size_px) != 0) {
        return Problem{"", "", "a font of the stage cannot be read"};
      }
    }
    return std::nullopt;
  }

  Letter letter(char32_t code, Weight weight) override {
    Letter letter;
    FT_Face face = faces_[static_cast<std::size_t>(weight)];
    if (FT_Load_Char(face, code, FT_LOAD_NO_HINTING | FT_LOAD_NO_BITMAP) != 0) return letter;
    FT_GlyphSlot slot = face->glyph;
    letter.advance = static_cast<double>(slot->linearHoriAdvance) / 65536.0 / size_px;
    // The sharpest distances come from a bitmap of the letter: quick, and exact enough at this size.
    if (FT_Render_Glyph(slot, FT_RENDER_MODE_NORMAL) != 0 || FT_Render_Glyph(slot, FT_RENDER_MODE_SDF) != 0 ||
        slot->bitmap.width == 0)
      return letter;
    letter.width = static_cast<int>(slot->bitmap.width);
    letter.height = static_cast<int>(slot->bitmap.rows);
    letter.left = slot->bitmap_left;
    letter.top = slot->bitmap_top;
    for (int row = 0; row < letter.height; ++row) {
      const unsigned char* from = slot->bitmap.buffer + std::ptrdiff_t{row} * slot->bitmap.pitch;
      letter.distances.insert(letter.distances.end(), from, from + letter.width);
    }
    return letter;
  }

 private:
  FT_Library library_ = nullptr;
  std::array<FT_Face, 3> faces_{};
};

}  // namespace

Result<std::unique_ptr<LetterSet>> freetype_letters(const StageFonts& fonts) {
  auto letters = std::make_unique<FreetypeLetters>();
  if (const Outcome problem = letters->open(fonts)) return *problem;
  return std::unique_ptr<LetterSet>(std::move(letters));
}

}  // namespace halfturn
