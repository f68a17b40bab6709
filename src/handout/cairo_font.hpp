#pragma once

#include <cairo.h>
#include <ft2build.h>
#include FT_FREETYPE_H

#include <string_view>

namespace halfturn {

/// A font file opened for Cairo; the caller owns one reference of `font`, which keeps `face`.
struct CairoFont {
  cairo_font_face_t* font = nullptr;  ///< null: the file cannot be read
  FT_Face face = nullptr;
};
/// The file's bytes must outlive every drawing with it.
[[nodiscard]] CairoFont open_font(std::string_view file);

}  // namespace halfturn
