#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "scene/scene.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// The caution where there is room for a line only: at the foot of a picture.
inline constexpr std::string_view short_caution = "An estimate: only with a qualified coach.";

/// A part of the line at the foot of what is handed over; a strong one stands in ink behind a diamond.
struct FootPart {
  std::string text;
  bool strong = false;
};
/// Puts the line over the lower edge of a picture `width_px` wide, of which the scene is the piece that
/// begins at `from_px`. In one line where 11 px letters allow it, else broken between words; digits keep
/// their places.
void add_foot(Scene& scene, const std::vector<FootPart>& parts, double width_px, double from_px,
              const View& view);
/// px that it takes of the picture's height.
[[nodiscard]] double foot_height_px(const std::vector<FootPart>& parts, double width_px, const View& view);

/// A line of words `up_px` above the lower edge, as large as fits, and quieter ones over it.
void add_caption(Scene& scene, const std::string& text, const std::string& over, double up_px,
                 const View& view);

}  // namespace halfturn
