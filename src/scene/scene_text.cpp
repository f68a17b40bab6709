#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "scene/scene.hpp"

namespace halfturn {
namespace {

/// Rounded to what a person could see; never minus zero.
std::string number(double value, int places) {
  std::string text = fmt::format("{:.{}f}", value, places);
  if (text.find_first_not_of("-0.") == std::string::npos) text.erase(0, text.starts_with('-') ? 1 : 0);
  return text;
}

class Writer {
 public:
  std::string text;

  void operator()(const Polygon& p) {
    line("polygon {} fill {} outline {}", points(p.points, p.space), color(p.fill), stroke(p.outline));
  }
  void operator()(const Band& b) {
    line("band inner {} outer {}{} fill {} outline {}", points(b.inner, Space::world),
         points(b.outer, Space::world), b.closed ? " closed" : "", color(b.fill), stroke(b.outline));
  }
  void operator()(const Line& l) { line("line {} stroke {}", points(l.points, l.space), stroke(l.stroke)); }
  void operator()(const Marker& m) {
    static const char* const shapes[] = {"disc", "square", "diamond"};
    line("marker {} at {} {} radius {} fill {} outline {}", shapes[static_cast<int>(m.shape)], px(m.x_px),
         px(m.y_px), px(m.radius_px), color(m.fill), stroke(m.outline));
  }
  void operator()(const Label& l) {
    static const char* const weights[] = {"medium", "bold", "heavy"};
    static const char* const aligns[] = {"left", "centre", "right"};
    line("label \"{}\" at {} {} size {} {} {} {}", l.text, px(l.x_px), px(l.y_px), px(l.size_px),
         weights[static_cast<int>(l.weight)], aligns[static_cast<int>(l.align)], color(l.color));
  }
  void operator()(const SurfaceText& t) {
    line("surface \"{}\" centre {} right {} up {} size {} {}", t.text, point(t.centre_W), point(t.right_W),
         point(t.up_W), number(t.size_m, 3), color(t.color));
  }
  void operator()(const Gradient& g) {
    line("gradient {} {} to {} {} {} {} to {}{}", px(g.x0_px), px(g.y0_px), px(g.x1_px), px(g.y1_px),
         color(g.color), number(g.opacity0, 2), number(g.opacity1, 2), g.downwards ? " downwards" : "");
  }
  void operator()(const Figure& f) {
    line("figure{} opacity {} outline {} halo {} {}", f.ghost ? " ghost" : "", number(f.opacity, 3),
         number(f.outline_px, 2), number(f.halo_px, 2), color(f.halo));
    for (const Capsule& c : f.capsules) capsule(c);
    for (const Facet& facet : f.facets)
      line("  facet {} {}", points(facet.points, Space::world), color(facet.color));
  }
  void operator()(const Shadow& s) {
    std::string layers;
    for (const Shadow::Layer& l : s.layers)
      layers += fmt::format(" {}:{}", number(l.grow_m, 3), number(l.opacity, 3));
    line("shadow {}{}", color(s.color), layers);
    for (const Capsule& c : s.footprint) capsule(c);
  }

  template <class... T>
  void line(fmt::format_string<T...> format, T&&... values) {
    fmt::format_to(std::back_inserter(text), format, std::forward<T>(values)...);
    text += '\n';
  }

 private:
  static std::string px(double value) { return number(value, 1); }
  static std::string point(const Vec3& p) {
    return fmt::format("({} {} {})", number(p.x, 3), number(p.y, 3), number(p.z, 3));
  }
  static std::string points(const std::vector<Vec3>& all, Space space) {
    std::string list;
    for (const Vec3& p : all) {
      if (!list.empty()) list += ' ';
      list += space == Space::world ? point(p) : fmt::format("[{} {}]", px(p.x), px(p.y));
    }
    return list;
  }
  static std::string color(const Color& c) {
    if (c.opacity == 0) return "none";
    const std::string hex = fmt::format("#{:02X}{:02X}{:02X}", c.r, c.g, c.b);
    return c.opacity == 1 ? hex : hex + "/" + number(c.opacity, 2);
  }
  static std::string stroke(const Stroke& s) {
    if (s.width_px == 0) return "none";
    const std::string dash =
        s.dash_px > 0 ? fmt::format(" dash {} {}", number(s.dash_px, 1), number(s.gap_px, 1)) : "";
    return fmt::format("{} {}{}", color(s.color), number(s.width_px, 2), dash);
  }
  void capsule(const Capsule& c) {
    line("  capsule {} {} radius {} {} {}{}", point(c.a_W), point(c.b_W), number(c.radius_a, 3),
         number(c.radius_b, 3), color(c.color), c.band_width > 0 ? " banded" : "");
  }
};

}  // namespace

std::string scene_text(const Scene& scene) {
  Writer writer;
  const Projection& p = scene.projection;
  writer.line("picture {} x {} eye ({} {} {}) focal {} centre {} {}", p.width_px, p.height_px,
              number(p.camera.eye.x, 3), number(p.camera.eye.y, 3), number(p.camera.eye.z, 3),
              number(p.focal_px, 1), number(p.centre_x_px, 1), number(p.centre_y_px, 1));
  for (const SceneItem& item : scene.items) std::visit(writer, item);
  return std::move(writer.text);
}

}  // namespace halfturn
