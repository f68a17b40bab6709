#pragma once

#include <set>
#include <string_view>
#include <vector>

struct ImFont;
struct ImFontAtlas;

namespace halfturn {

/// Sizes of type, design pixels of the em; nothing is smaller than 16.
enum class Type : unsigned char {
  label,       ///< 16, medium
  label_bold,  ///< 16, semi-bold
  text,        ///< 20, medium
  text_bold,   ///< 20, bold
  turn,        ///< 24, medium
  turn_bold,   ///< 24, bold
  step,        ///< 28, bold
  title,       ///< 44, extra bold
  answer,      ///< 64, extra bold
};
inline constexpr int type_count = 9;
[[nodiscard]] int type_size(Type type);

/// Fonts of all types at one scale, in an atlas whose glyphs cover `code_points` and the interface's own
/// letters.
struct Fonts {
  ImFont* font[type_count] = {};
  double scale = 1;
  std::set<unsigned> code_points;  ///< in the atlas
  [[nodiscard]] ImFont* operator[](Type type) const { return font[static_cast<int>(type)]; }
};

/// Letters, digits and signs that the interface itself uses.
[[nodiscard]] std::set<unsigned> interface_code_points();
/// Code points of UTF-8 texts that are not in the atlas yet.
[[nodiscard]] std::set<unsigned> missing_code_points(const Fonts& fonts,
                                                     const std::vector<std::string_view>& texts);

/// Fills the atlas anew (it must be empty of fonts or cleared) and builds it; the caller uploads the texture.
[[nodiscard]] Fonts build_fonts(ImFontAtlas& atlas, double scale, const std::set<unsigned>& more_code_points);

/// The font files carried by the program, for the stage.
[[nodiscard]] std::string_view medium_font_file();
[[nodiscard]] std::string_view bold_font_file();
[[nodiscard]] std::string_view heavy_font_file();
/// Letters that those lack.
[[nodiscard]] std::string_view other_letters_font_file();

}  // namespace halfturn
