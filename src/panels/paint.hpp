#pragma once

#include <imgui.h>

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "panels/fonts.hpp"
#include "panels/layout.hpp"
#include "scene/palette.hpp"

namespace halfturn {

struct Point {
  double x = 0, y = 0;
};
enum class TextAlign : unsigned char { left, middle, right };

/// Draws on an ImDrawList in design pixels. Widths of lines follow the theme.
class Paint {
 public:
  Paint(ImDrawList& list, const Fonts& fonts, const Palette& colours, double scale)
      : list_(list), fonts_(fonts), colours_(colours), scale_(scale) {}

  [[nodiscard]] const Palette& colours() const { return colours_; }
  [[nodiscard]] double scale() const { return scale_; }

  void fill(const Rect& rect, Color tint, double radius = 0);
  void outline(const Rect& rect, Color tint, double width, double radius = 0);
  void disc(Point centre, double radius, Color tint);
  void ring(Point centre, double radius, Color tint, double width);
  void line(Point a, Point b, Color tint, double width);
  void polyline(const std::vector<Point>& points, Color tint, double width, bool closed = false);
  void polygon(std::initializer_list<Point> points, Color tint);  ///< convex
  void polygon(std::initializer_list<Point> points, Color tint, Color edge, double width);
  void dotted(Point a, Point b, Color tint, double width);
  /// The ground fading in from `from` (opacity 0) to `to` (opacity 1), along x or y.
  void fade(const Rect& rect, Color tint, bool along_x, bool reversed = false);
  void image(ImTextureID texture, const Rect& rect);

  /// One line of text; y is the baseline. Returns its width.
  double text(Type type, Point at, Color tint, std::string_view text, TextAlign align = TextAlign::left);
  [[nodiscard]] double text_width(Type type, std::string_view text) const;
  /// Text wrapped to a width; returns the number of lines. `at` is the first baseline.
  int paragraph(Type type, Point at, double width, double leading, Color tint, std::string_view text);
  /// Lines that a paragraph of a width has.
  [[nodiscard]] int lines_of(Type type, double width, std::string_view text) const;
  /// Text cut with an ellipsis to a width.
  [[nodiscard]] std::string cut(Type type, std::string_view text, double width) const;

  void push_clip(const Rect& rect);
  void pop_clip();

 private:
  [[nodiscard]] ImVec2 px(Point p) const {
    return {static_cast<float>(p.x * scale_), static_cast<float>(p.y * scale_)};
  }
  [[nodiscard]] float px(double length) const { return static_cast<float>(length * scale_); }
  [[nodiscard]] float width_px(double width) const {
    return static_cast<float>(width * scale_ * colours_.line_factor);
  }

  ImDrawList& list_;
  const Fonts& fonts_;
  const Palette& colours_;
  double scale_;
};

/// The letter of a side in its shape: L in a blue disc, R in a vermilion square. `size` is the disc's radius.
void side_badge(Paint& paint, Point centre, double size, Side side);

/// A dial seen from above, start up. `turn_deg` is how far the chest is turned from the start, + to the left.
void mini_dial(Paint& paint, Point centre, double radius, double turn_deg, bool inverse,
               bool start_mark = true);

/// An arrow that bends the way of a turn, in the colour of the side.
void turn_arrow(Paint& paint, Point centre, double size, double turn_deg);

}  // namespace halfturn
