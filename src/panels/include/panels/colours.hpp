#pragma once

#include <cstdint>

#include "scene/view.hpp"

namespace halfturn {

/// A colour as 0xRRGGBB with an opacity.
struct Tint {
  std::uint32_t rgb = 0;
  double opacity = 1;
  [[nodiscard]] Tint faded(double share) const { return {rgb, opacity * share}; }
};

/// Colours of the controls in a theme. Data colours are Okabe and Ito's; each is paired with a shape or a
/// word.
struct Colours {
  Tint air, floor, mat, plate, ink, dim, edge, hair, selected, on_selected;
  Tint front, left, on_left, right, on_right, passed, on_passed, mark;
  Tint body, head, line;
  double line_factor = 1;  ///< widths of lines
};
[[nodiscard]] const Colours& colours_of(Theme theme);

}  // namespace halfturn
