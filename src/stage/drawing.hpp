#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "glyph_atlas.hpp"
#include "scene/projection.hpp"
#include "scene/scene.hpp"

namespace halfturn {

using Rgba = std::array<std::uint8_t, 4>;

/// What the shaders read; pixels, rows from the top.
struct FlatVertex {
  float x, y, depth;
  float across, half_width;
  Rgba color;
};
struct CapsuleInstance {
  std::array<float, 4> ends, sizes;
  Rgba color, line_color;
  std::array<float, 4> look;
  std::array<float, 2> bands;
};
struct TextVertex {
  std::array<float, 4> place;
  std::array<float, 2> glyph, texel;  ///< first texel of the letter, and texels from there
  Rgba color, halo;
};

/// One draw call. A layer of a shadow paints each pixel once; a figure is drawn apart and laid over.
struct DrawCall {
  enum class Kind : std::uint8_t { flat, shadow, text, figure };
  Kind kind = Kind::flat;
  std::uint32_t first = 0, count = 0;
  const Figure* figure = nullptr;
};

/// Items of a scene as vertices and draw calls, without any graphics library. Figures are left to
/// draw_figure.
struct Drawing {
  std::vector<FlatVertex> flat;
  std::vector<CapsuleInstance> capsules;
  std::vector<TextVertex> text;
  std::vector<DrawCall> calls;

  /// Emptied; the room stays.
  void clear() {
    flat.clear();
    capsules.clear();
    text.clear();
    calls.clear();
  }
};

/// The items from `first` to before `last`, in place of what `out` held; its room is used again from picture
/// to picture. Glyphs that are not in the atlas yet are added to it.
void make_drawing(const Scene& scene, std::size_t first, std::size_t last, GlyphAtlas& atlas, Drawing& out);

}  // namespace halfturn
