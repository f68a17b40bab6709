#include "paint.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

ImU32 packed(Color tint) {
  const int alpha = static_cast<int>(std::lround(std::clamp(tint.opacity, 0.0, 1.0) * 255));
  return IM_COL32(tint.r, tint.g, tint.b, alpha);
}

/// Share of a font's height above the baseline (Inter: 0.96875 of 1.2102 em).
constexpr float ascent_share = 0.96875f / 1.2102f;

/// Visits the lines of a paragraph.
template <class F>
int each_line(const ImFont& font, std::string_view words, float width, F&& visit) {
  int lines = 0;
  const char* from = words.data();
  const char* const end = words.data() + words.size();
  while (from < end) {
    const char* to = font.CalcWordWrapPositionA(1.0f, from, end, width);
    if (to == from) ++to;
    visit(lines++, std::string_view{from, static_cast<std::size_t>(to - from)});
    from = to;
    while (from < end && (*from == ' ' || *from == '\n')) ++from;
  }
  return lines;
}

}  // namespace

void Paint::fill(const Rect& rect, Color tint, double radius) {
  list_.AddRectFilled(px(Point{rect.x, rect.y}), px(Point{rect.right(), rect.bottom()}), packed(tint),
                      px(radius));
}

void Paint::outline(const Rect& rect, Color tint, double width, double radius) {
  list_.AddRect(px(Point{rect.x, rect.y}), px(Point{rect.right(), rect.bottom()}), packed(tint), px(radius),
                0, width_px(width));
}

void Paint::disc(Point centre, double radius, Color tint) {
  list_.AddCircleFilled(px(centre), px(radius), packed(tint), 0);
}

void Paint::ring(Point centre, double radius, Color tint, double width) {
  list_.AddCircle(px(centre), px(radius), packed(tint), 0, width_px(width));
}

void Paint::line(Point a, Point b, Color tint, double width) {
  list_.AddLine(px(a), px(b), packed(tint), width_px(width));
}

void Paint::polyline(const std::vector<Point>& points, Color tint, double width, bool closed) {
  std::vector<ImVec2> path;
  path.reserve(points.size());
  for (const Point& p : points) path.push_back(px(p));
  list_.AddPolyline(path.data(), static_cast<int>(path.size()), packed(tint),
                    closed ? ImDrawFlags_Closed : ImDrawFlags_None, width_px(width));
}

void Paint::polygon(std::initializer_list<Point> points, Color tint) {
  // Dear ImGui smooths the edges of clockwise polygons only (y down).
  std::vector<ImVec2> path;
  double area = 0;
  const Point* previous = points.end() - 1;
  for (const Point& p : points) {
    area += previous->x * p.y - p.x * previous->y;
    previous = &p;
    path.push_back(px(p));
  }
  if (area < 0) std::reverse(path.begin(), path.end());
  list_.AddConvexPolyFilled(path.data(), static_cast<int>(path.size()), packed(tint));
}

void Paint::polygon(std::initializer_list<Point> points, Color tint, Color edge, double width) {
  polygon(points, tint);
  polyline(points, edge, width, true);
}

void Paint::dotted(Point a, Point b, Color tint, double width) {
  const double length = std::hypot(b.x - a.x, b.y - a.y);
  const double gap = 6;
  for (double at = 0; at < length; at += gap) {
    const double u = at / length, v = std::min(1.0, (at + gap / 2) / length);
    line({a.x + u * (b.x - a.x), a.y + u * (b.y - a.y)}, {a.x + v * (b.x - a.x), a.y + v * (b.y - a.y)}, tint,
         width);
  }
}

void Paint::fade(const Rect& rect, Color tint, bool along_x, bool reversed) {
  const ImU32 none = packed(faded(tint, 0)), full = packed(tint);
  const ImU32 first = reversed ? full : none, last = reversed ? none : full;
  list_.AddRectFilledMultiColor(px(Point{rect.x, rect.y}), px(Point{rect.right(), rect.bottom()}), first,
                                along_x ? last : first, last, along_x ? first : last);
}

void Paint::image(ImTextureID texture, const Rect& rect) {
  // The picture lies in the texture as OpenGL has it: rows from the bottom.
  list_.AddImage(texture, px(Point{rect.x, rect.y}), px(Point{rect.right(), rect.bottom()}), {0, 1}, {1, 0});
}

double Paint::text_width(Type type, std::string_view text) const {
  ImFont* font = fonts_[type];
  return font->CalcTextSizeA(font->FontSize, 1e9f, 0, text.data(), text.data() + text.size()).x / scale_;
}

double Paint::text(Type type, Point at, Color tint, std::string_view text, TextAlign align) {
  ImFont* font = fonts_[type];
  const double width = text_width(type, text);
  ImVec2 corner = px(at);
  if (align == TextAlign::middle) corner.x -= px(width / 2);
  if (align == TextAlign::right) corner.x -= px(width);
  corner.x = std::round(corner.x);
  corner.y = std::round(corner.y - font->FontSize * ascent_share);
  list_.AddText(font, font->FontSize, corner, packed(tint), text.data(), text.data() + text.size());
  return width;
}

int Paint::paragraph(Type type, Point at, double width, double leading, Color tint, std::string_view words) {
  return each_line(*fonts_[type], words, px(width), [&](int line, std::string_view part) {
    text(type, {at.x, at.y + line * leading}, tint, part);
  });
}

int Paint::lines_of(Type type, double width, std::string_view words) const {
  return each_line(*fonts_[type], words, px(width), [](int, std::string_view) {});
}

std::string Paint::cut(Type type, std::string_view words, double width) const {
  if (text_width(type, words) <= width) return std::string(words);
  std::string shorter(words);
  while (!shorter.empty() && text_width(type, shorter + "\u2026") > width) {
    // A whole UTF-8 character at a time.
    while (shorter.size() > 1 && (static_cast<unsigned char>(shorter.back()) & 0xC0) == 0x80)
      shorter.pop_back();
    shorter.pop_back();
  }
  return shorter + "\u2026";
}

void Paint::push_clip(const Rect& rect) {
  ImGui::PushClipRect(px(Point{rect.x, rect.y}), px(Point{rect.right(), rect.bottom()}), true);
}

void Paint::pop_clip() {
  ImGui::PopClipRect();
}

void side_badge(Paint& paint, Point centre, double size, Side side) {
  const Palette& c = paint.colours();
  const bool left = side == Side::left;
  if (left) {
    paint.disc(centre, size, c.left);
    paint.ring(centre, size, c.ink, 2);
  } else {
    const Rect square{centre.x - size * 0.92, centre.y - size * 0.92, size * 1.84, size * 1.84};
    paint.fill(square, c.right, 2);
    paint.outline(square, c.ink, 2, 2);
  }
  const Type type = size >= 24 ? Type::title : size >= 16 ? Type::text_bold : Type::label_bold;
  paint.text(type, {centre.x, centre.y + type_size(type) * 0.36}, left ? c.on_left : c.on_right,
             left ? "L" : "R", TextAlign::middle);
}

void mini_dial(Paint& paint, Point centre, double radius, double turn_deg, bool inverse, bool start_mark) {
  const Palette& c = paint.colours();
  const Color rim = inverse ? c.on_selected : c.ink;
  const double k = radius / 26;
  paint.disc(centre, radius, c.mat);
  paint.ring(centre, radius, inverse ? c.ink : rim, 2);
  // Ticks at the quarters; the start is up.
  for (int quarter = 0; quarter < 4; ++quarter) {
    const double angle = quarter * pi / 2;
    const Point out{-std::sin(angle), -std::cos(angle)};
    if (quarter == 0 && start_mark) continue;
    paint.line({centre.x + out.x * radius, centre.y + out.y * radius},
               {centre.x + out.x * (radius + 5 * k), centre.y + out.y * (radius + 5 * k)}, rim, 2);
  }
  if (start_mark) {
    const double top = centre.y - radius - 9 * k;
    paint.line({centre.x, top + 6 * k}, {centre.x, centre.y - radius}, rim, 2);
    paint.polygon({{centre.x - 5 * k, top}, {centre.x + 5 * k, top}, {centre.x, top + 7 * k}}, rim);
  }
  const double turn = to_rad(turn_deg);
  const auto at = [&](double angle, double r) {
    return Point{centre.x - std::sin(angle) * r, centre.y - std::cos(angle) * r};
  };
  const double half = to_rad(26);
  std::vector<Point> rim_points{centre};
  for (int i = 0; i <= 8; ++i) rim_points.push_back(at(turn - half + half * i / 4, radius - 2 * k));
  paint.polygon({rim_points[0], rim_points[1], rim_points[2], rim_points[3], rim_points[4], rim_points[5],
                 rim_points[6], rim_points[7], rim_points[8], rim_points[9]},
                c.front, c.line, 1.5);
  // Shoulders: a bar with a ball at the left end and a square at the right one.
  const Point left_end = at(turn + pi / 2, 11 * k), right_end = at(turn - pi / 2, 11 * k);
  paint.line(left_end, right_end, c.line, 8 * k / c.line_factor);
  paint.line(left_end, right_end, c.body, 6 * k / c.line_factor);
  paint.disc(left_end, 5 * k, c.left);
  paint.ring(left_end, 5 * k, c.line, 1.2);
  const auto corner = [&](double along, double across) {
    return Point{right_end.x - std::sin(turn) * along + std::cos(turn) * across,
                 right_end.y - std::cos(turn) * along - std::sin(turn) * across};
  };
  const double h = 4.6 * k;
  paint.polygon({corner(-h, -h), corner(-h, h), corner(h, h), corner(h, -h)}, c.right, c.line, 1.2);
  paint.disc(centre, 5.5 * k, c.head);
  paint.ring(centre, 5.5 * k, c.line, 1.2);
}

void turn_arrow(Paint& paint, Point centre, double size, double turn_deg) {
  const Palette& c = paint.colours();
  const bool left = turn_deg > 0;
  const double mirror = left ? 1 : -1;
  // A quarter of a ring that starts at the upper right and comes down at the left; mirrored for the right.
  const auto at = [&](double angle, double r) {
    return Point{centre.x + mirror * (size * 0.55 - std::cos(angle) * r),
                 centre.y + size * 0.75 - std::sin(angle) * r};
  };
  const double outer = size * 1.42, inner = size * 0.86, from = to_rad(88), to = to_rad(34);
  constexpr int pieces = 10;
  const Color tint = left ? c.left : c.right;
  std::vector<Point> edge;
  for (int i = 0; i <= pieces; ++i) edge.push_back(at(from + (to - from) * i / pieces, outer));
  const double spread = size * 0.34, tip = to_rad(2);
  edge.push_back(at(to, outer + spread));
  edge.push_back(at(tip, (outer + inner) / 2));
  edge.push_back(at(to, inner - spread));
  for (int i = pieces; i >= 0; --i) edge.push_back(at(from + (to - from) * i / pieces, inner));
  std::vector<Point> spine;
  for (int i = 0; i <= pieces; ++i) spine.push_back(at(from + (to - from) * i / pieces, (outer + inner) / 2));
  paint.polyline(spine, tint, (outer - inner) / c.line_factor);
  paint.polygon({at(to, outer + spread), at(tip, (outer + inner) / 2), at(to, inner - spread)}, tint);
  paint.polyline(edge, c.line, 1.3, true);
}

}  // namespace halfturn
