#include <algorithm>

#include "composer.hpp"

namespace halfturn {

void add_answer(Scene& scene, const AnswerText& words, Side side, const View& view) {
  const Palette& palette = palette_of(view.theme);
  // Never smaller than can be read, never wider than the picture.
  const double px = view.scale;
  const double left = 40 * px;
  double size = (view.height_px < 700 * px ? 44 : 64) * px;
  size = std::clamp((view.width_px - 2 * left) / std::max(1.0, text_width_em(words.wall, Weight::heavy)),
                    20 * px, size);
  const double small = 20 * px;
  double y = 48 * px;
  const auto put = [&](const std::string& text, double x, double size_px, Weight weight, Color color) {
    scene.items.emplace_back(Label{text, x, y, size_px, weight, Align::left, color, {0, 0, 0, 0}});
    return x + text_width_em(text, weight) * size_px;
  };
  put(words.lead, left, small, Weight::medium, palette.dim);
  y += 14 * px + 0.5 * size;
  put(words.wall, left, size, Weight::heavy, palette.ink);
  y += 24 * px + 0.5 * size;
  const bool is_left = side == Side::left;
  const double radius = 17 * px;
  scene.items.emplace_back(Marker{is_left ? Marker::Shape::disc : Marker::Shape::square,
                                  left + radius,
                                  y,
                                  (is_left ? 1.0 : 0.9) * radius,
                                  is_left ? palette.left : palette.right,
                                  {palette.line, 2 * px * palette.line_factor, 0, 0}});
  scene.items.emplace_back(Label{is_left ? "L" : "R",
                                 left + radius,
                                 y,
                                 small,
                                 Weight::bold,
                                 Align::centre,
                                 is_left ? palette.on_left : palette.on_right,
                                 {0, 0, 0, 0}});
  const double after = put(words.turn, left + 2 * radius + 14 * px, 24 * px, Weight::bold, palette.ink);
  const double next = after + 40 * px;
  // Beside the turn only where the figure, in the middle of the picture, stays clear of it.
  if (next + text_width_em(words.landing, Weight::medium) * 24 * px < 0.42 * view.width_px) {
    put(words.landing, next, 24 * px, Weight::medium, palette.dim);
  } else {
    y += 40 * px;
    put(words.landing, left, 24 * px, Weight::medium, palette.dim);
  }
}

}  // namespace halfturn
