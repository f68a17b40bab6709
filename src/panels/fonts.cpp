#include "panels/fonts.hpp"

#include <imgui.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "panels_embedded.hpp"

namespace halfturn {
namespace {

struct Face {
  int size;
  std::string_view file;
};

Face face_of(Type type) {
  using namespace embedded;
  switch (type) {
    case Type::label:
      return {16, Inter_Medium_otf};
    case Type::label_bold:
      return {16, Inter_SemiBold_otf};
    case Type::text:
      return {20, Inter_Medium_otf};
    case Type::text_bold:
      return {20, Inter_Bold_otf};
    case Type::turn:
      return {24, Inter_Medium_otf};
    case Type::turn_bold:
      return {24, Inter_Bold_otf};
    case Type::step:
      return {28, Inter_Bold_otf};
    case Type::title:
      return {44, Inter_ExtraBold_otf};
    case Type::answer:
      return {64, Inter_ExtraBold_otf};
  }
  return {16, Inter_Medium_otf};
}

/// Dear ImGui measures a font by ascender minus descender; Inter's is this many times its em (hhea table).
constexpr double height_of_em = 1.2102;
/// The big types carry only what the interface and the plan need, so that the atlas stays small.
constexpr int big_type = 44;

ImVector<ImWchar> ranges_of(const std::set<unsigned>& code_points) {
  ImFontGlyphRangesBuilder builder;
  for (const unsigned c : code_points) builder.AddChar(static_cast<ImWchar>(c));
  ImVector<ImWchar> ranges;
  builder.BuildRanges(&ranges);
  return ranges;
}

/// All digits as wide as the widest, so that numbers that run do not shiver.
void make_digits_tabular(ImFont& font) {
  float widest = 0;
  for (ImWchar c = '0'; c <= '9'; ++c) {
    if (const ImFontGlyph* glyph = font.FindGlyphNoFallback(c)) widest = std::max(widest, glyph->AdvanceX);
  }
  for (ImFontGlyph& glyph : font.Glyphs) {
    if (glyph.Codepoint < '0' || glyph.Codepoint > '9') continue;
    const float shift = (widest - glyph.AdvanceX) / 2;
    glyph.X0 += shift;
    glyph.X1 += shift;
    glyph.AdvanceX = widest;
    font.IndexAdvanceX[static_cast<int>(glyph.Codepoint)] = widest;
  }
}

/// Decodes UTF-8; a broken sequence gives the replacement character.
void each_code_point(std::string_view text, auto&& visit) {
  for (std::size_t i = 0; i < text.size();) {
    const auto lead = static_cast<unsigned char>(text[i]);
    const std::size_t length = lead < 0x80       ? 1
                               : lead >> 5 == 6  ? 2
                               : lead >> 4 == 14 ? 3
                               : lead >> 3 == 30 ? 4
                                                 : 0;
    if (length == 0 || i + length > text.size()) {
      visit(0xFFFDu);
      ++i;
      continue;
    }
    unsigned code = length == 1 ? lead : lead & (0x7Fu >> length);
    for (std::size_t k = 1; k < length; ++k)
      code = code << 6 | (static_cast<unsigned char>(text[i + k]) & 0x3Fu);
    visit(code);
    i += length;
  }
}

}  // namespace

int type_size(Type type) {
  return face_of(type).size;
}

std::set<unsigned> interface_code_points() {
  std::set<unsigned> points;
  for (unsigned c = 0x20; c < 0x7F; ++c) points.insert(c);
  // degree, plus-minus, square, minus, multiplication, half, quarters, ellipsis, arrows, not equal,
  // replacement
  for (const unsigned c : {0xB0u, 0xB1u, 0xB2u, 0x2212u, 0xD7u, 0xBDu, 0xBCu, 0xBEu, 0x2026u, 0x2190u,
                           0x2191u, 0x2192u, 0x2193u, 0x2260u, 0xFFFDu}) {
    points.insert(c);
  }
  return points;
}

std::set<unsigned> missing_code_points(const Fonts& fonts, const std::vector<std::string_view>& texts) {
  std::set<unsigned> missing;
  for (const std::string_view text : texts) {
    each_code_point(text, [&](unsigned c) {
      // Dear ImGui 1.86 holds 16-bit characters; control characters are never drawn.
      if (c >= 0x20 && c <= 0xFFFF && !fonts.code_points.contains(c)) missing.insert(c);
    });
  }
  return missing;
}

Fonts build_fonts(ImFontAtlas& atlas, double scale, const std::set<unsigned>& more_code_points) {
  Fonts fonts;
  fonts.scale = scale;
  fonts.code_points = interface_code_points();
  fonts.code_points.insert(more_code_points.begin(), more_code_points.end());
  atlas.Clear();
  atlas.Flags |= ImFontAtlasFlags_NoPowerOfTwoHeight;
  // Ranges are read while the atlas is built, so they live until then.
  const ImVector<ImWchar> ranges = ranges_of(fonts.code_points);
  for (int i = 0; i < type_count; ++i) {
    const Face face = face_of(static_cast<Type>(i));
    const double size = std::round(face.size * scale * height_of_em);
    ImFontConfig config;
    config.FontDataOwnedByAtlas = false;
    config.OversampleH = face.size >= big_type || scale >= 2 ? 1 : 2;
    config.OversampleV = 1;
    // The atlas never writes to data it does not own.
    const auto add = [&](std::string_view file, const ImFontConfig& c) {
      return atlas.AddFontFromMemoryTTF(const_cast<char*>(file.data()), static_cast<int>(file.size()),
                                        static_cast<float>(size), &c, ranges.Data);
    };
    fonts.font[i] = add(face.file, config);
    if (!more_code_points.empty()) {
      // Letters that Inter lacks, for names a coach types.
      ImFontConfig merged = config;
      merged.MergeMode = true;
      add(embedded::DejaVuSans_ttf, merged);
    }
  }
  atlas.Build();
  for (ImFont* font : fonts.font) make_digits_tabular(*font);
  return fonts;
}

std::string_view medium_font_file() {
  return embedded::Inter_Medium_otf;
}

std::string_view heavy_font_file() {
  return embedded::Inter_ExtraBold_otf;
}

std::string_view other_letters_font_file() {
  return embedded::DejaVuSans_ttf;
}

std::string_view bold_font_file() {
  return embedded::Inter_Bold_otf;
}

}  // namespace halfturn
