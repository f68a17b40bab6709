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
  std::array<float, 2> texel;
  Rgba color, halo;
};

/// One draw call.
struct DrawCall {
  enum class Kind : std::uint8_t { flat, capsules, thin_capsules, text };
  /// What happens to depth: ignored; nearer wins; only depth is written; only what is nearest is coloured;
  /// strictly nearer wins, so that equal depths are painted once.
  enum class Depth : std::uint8_t { off, nearer, write_only, equal, once };
  Kind kind = Kind::flat;
  Depth depth = Depth::off;
  std::uint32_t first = 0, count = 0;
  Rgba band{255, 255, 255, 255};
};

/// A scene as vertices and draw calls, without any graphics library.
struct Drawing {
  std::vector<FlatVertex> flat;
  std::vector<CapsuleInstance> capsules;
  std::vector<TextVertex> text;
  std::vector<DrawCall> calls;
  std::size_t still_calls = 0;  ///< calls of the scene's still items come first
};

/// Glyphs that are not in the atlas yet are added to it.
[[nodiscard]] Drawing make_drawing(const Scene& scene, GlyphAtlas& atlas);

}  // namespace halfturn
