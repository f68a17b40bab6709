#pragma once

#include <array>
#include <cstdint>

#include "scene/view.hpp"

namespace halfturn {

/// sRGB with an opacity in [0, 1].
struct Color {
  std::uint8_t r = 0, g = 0, b = 0;
  double opacity = 1;
  friend bool operator==(const Color&, const Color&) = default;
};
/// From 0xRRGGBB.
[[nodiscard]] constexpr Color rgb(std::uint32_t hex, double opacity = 1) {
  return {static_cast<std::uint8_t>(hex >> 16 & 255U), static_cast<std::uint8_t>(hex >> 8 & 255U),
          static_cast<std::uint8_t>(hex & 255U), opacity};
}
[[nodiscard]] constexpr Color faded(Color color, double opacity) {
  color.opacity *= opacity;
  return color;
}

/// Every colour of the picture by what it stands for. Data colours are of the Okabe-Ito set (Okabe and Ito
/// 2008), which colour-blind people can tell apart; each is always paired with a shape, a letter or a word.
struct Palette {
  Color air;          ///< ground of the window
  Color wall, wall2;  ///< walls across and along the start heading
  Color floor, mat;   ///< mat: inside the dial
  Color plate;
  Color ink, dim;    ///< text
  Color edge, hair;  ///< edges of buttons; seams and rails
  Color selected, on_selected;
  Color front;     ///< the way the chest points, and nothing else
  Color on_front;  ///< text on it
  Color left, on_left, right, on_right;
  Color passed, on_passed;
  Color mark;
  Color missed, crashed;
  Color body, head;  ///< limbs and trunk; head
  std::array<Color, 3>
      companions;  ///< body and head of the flyers that are put into one stage, always with a name
  Color halo;      ///< pale rim behind a figure
  Color ghost;
  Color line;  ///< outline of shapes
  Color shadow;
  double beam_opacity = 0.55;
  double halo_px = 5;
  double line_factor = 1;  ///< widths of all lines are multiplied by this
};

[[nodiscard]] const Palette& palette_of(Theme theme);

}  // namespace halfturn
