#include "drawing.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <optional>

#include "figure_drawing.hpp"
#include "outline.hpp"

namespace halfturn {
namespace {

/// Turns items into vertices, one after the other; neighbours of one kind share a call.
class Draughtsman {
 public:
  Draughtsman(const Scene& scene, GlyphAtlas& atlas, Drawing& out)
      : scene_(scene),
        atlas_(atlas),
        projector_(scene.projection),
        slots_(count_slots(scene)),
        drawing_(out) {}

  void draw(std::size_t first, std::size_t last) {
    for (std::size_t i = first; i < last; ++i) std::visit(*this, scene_.items[i]);
    flush();
  }

  void operator()(const Polygon& p) {
    std::vector<Vec3> corners = p.points;
    if (p.space == Space::world) {
      for (Vec3& q : corners) q = projector_.to_view(q);
      corners = clip_polygon(corners, Projector::near_m);
      for (Vec3& q : corners) q = projector_.view_to_px(q);
    }
    begin(DrawCall::Kind::flat);
    if (p.fill.opacity > 0) fill_polygon(corners, rgba(p.fill), drawing_.flat);
    outline(p.points, p.space, true, p.outline);
  }

  void operator()(const Band& b) {
    begin(DrawCall::Kind::flat);
    if (b.fill.opacity > 0) {
      const auto inner = all_px(b.inner), outer = all_px(b.outer);
      if (inner && outer) fill_strip(*inner, *outer, b.closed, rgba(b.fill), drawing_.flat);
    }
    if (b.closed) {
      outline(b.inner, Space::world, true, b.outline);
      outline(b.outer, Space::world, true, b.outline);
    } else {
      std::vector<Vec3> around = b.inner;
      around.insert(around.end(), b.outer.rbegin(), b.outer.rend());
      outline(around, Space::world, true, b.outline);
    }
  }

  void operator()(const Line& l) {
    begin(DrawCall::Kind::flat);
    outline(l.points, l.space, false, l.stroke);
  }

  void operator()(const Marker& m) {
    begin(DrawCall::Kind::flat);
    std::vector<Vec3> corners;
    const double r = m.radius_px;
    if (m.shape == Marker::Shape::square) {
      corners = {{m.x_px - r, m.y_px - r, 0},
                 {m.x_px + r, m.y_px - r, 0},
                 {m.x_px + r, m.y_px + r, 0},
                 {m.x_px - r, m.y_px + r, 0}};
    } else {
      const int n =
          m.shape == Marker::Shape::diamond ? 4 : std::clamp(static_cast<int>(6 * std::sqrt(r)), 12, 72);
      for (int i = 0; i < n; ++i) {
        const double a = 2 * pi * i / n;
        corners.emplace_back(m.x_px + r * std::cos(a), m.y_px + r * std::sin(a), 0);
      }
    }
    fill_polygon(corners, rgba(m.fill), drawing_.flat);
    outline(corners, Space::screen, true, m.outline);
  }

  void operator()(const Gradient& g) {
    begin(DrawCall::Kind::flat);
    const Rgba from = rgba(faded(g.color, g.opacity0)), to = rgba(faded(g.color, g.opacity1));
    const auto corner = [](double x, double y, Rgba color) {
      return FlatVertex{static_cast<float>(x), static_cast<float>(y), 0, 0, 1e6F, color};
    };
    const FlatVertex corners[] = {
        corner(g.x0_px, g.y0_px, from), corner(g.x1_px, g.y0_px, g.downwards ? from : to),
        corner(g.x0_px, g.y1_px, g.downwards ? to : from), corner(g.x1_px, g.y1_px, to)};
    for (const int i : {0, 1, 2, 2, 1, 3}) drawing_.flat.push_back(corners[i]);
  }

  void operator()(const Label& l) {
    begin(DrawCall::Kind::text);
    const double width = atlas_.width_em(l.text, l.weight) * l.size_px;
    double pen = l.align == Align::left     ? l.x_px
                 : l.align == Align::centre ? l.x_px - 0.5 * width
                                            : l.x_px - width;
    const double baseline = l.y_px + 0.5 * 0.727 * l.size_px;
    const double w = scene_.projection.width_px, h = scene_.projection.height_px;
    for (std::size_t at = 0; at < l.text.size();) {
      const GlyphAtlas::Glyph& g = atlas_.glyph(next_code_point(l.text, at), l.weight);
      const double x0 = pen + l.size_px * static_cast<double>(g.left),
                   y0 = baseline - l.size_px * static_cast<double>(g.top);
      const double x1 = x0 + l.size_px * static_cast<double>(g.width),
                   y1 = y0 + l.size_px * static_cast<double>(g.height);
      const auto place = [&](double x, double y) { return Vec4{2 * x / w - 1, 1 - 2 * y / h, 0, 1}; };
      if (g.width > 0)
        glyph_quad(g, {place(x0, y0), place(x1, y0), place(x0, y1), place(x1, y1)}, l.color, l.halo);
      pen += l.size_px * static_cast<double>(g.advance);
    }
  }

  void operator()(const SurfaceText& t) {
    begin(DrawCall::Kind::text);
    double pen = -0.5 * atlas_.width_em(t.text, t.weight) * t.size_m;
    const double baseline = -0.5 * 0.727 * t.size_m;
    const double w = scene_.projection.width_px, h = scene_.projection.height_px;
    for (std::size_t at = 0; at < t.text.size();) {
      const GlyphAtlas::Glyph& g = atlas_.glyph(next_code_point(t.text, at), t.weight);
      const double x0 = pen + t.size_m * static_cast<double>(g.left),
                   y0 = baseline + t.size_m * static_cast<double>(g.top);
      const double x1 = x0 + t.size_m * static_cast<double>(g.width),
                   y1 = y0 - t.size_m * static_cast<double>(g.height);
      bool behind = g.width <= 0;
      const auto place = [&](double x, double y) {
        const auto p = projector_.to_px(t.centre_W + x * t.right_W + y * t.up_W);
        if (!p) {
          behind = true;
          return Vec4{};
        }
        return Vec4{(2 * p->x / w - 1) * p->z, (1 - 2 * p->y / h) * p->z, 0, p->z};
      };
      const std::array<Vec4, 4> quad{place(x0, y0), place(x1, y0), place(x0, y1), place(x1, y1)};
      if (!behind) glyph_quad(g, quad, t.color, {0, 0, 0, 0});
      pen += t.size_m * static_cast<double>(g.advance);
    }
  }

  void operator()(const Figure& f) {
    flush();
    drawing_.calls.push_back({DrawCall::Kind::figure, 0, 0, &f});
  }

  void operator()(const Shadow& s) {
    flush();
    for (const Shadow::Layer& layer : s.layers) {
      const auto first = static_cast<std::uint32_t>(drawing_.flat.size());
      const double depth = 1 - slot_width() * (slot_ + 0.5);
      ++slot_;
      for (const Capsule& c : s.footprint)
        draw_footprint(c, layer.grow_m, projector_, rgba(faded(s.color, layer.opacity)), drawing_.flat);
      for (std::size_t i = first; i < drawing_.flat.size(); ++i)
        drawing_.flat[i].depth = static_cast<float>(depth);
      const auto count = static_cast<std::uint32_t>(drawing_.flat.size()) - first;
      drawing_.calls.push_back({DrawCall::Kind::shadow, first, count, nullptr});
    }
  }

 private:
  struct Vec4 {
    double x = 0, y = 0, z = 0, w = 1;
  };

  static int count_slots(const Scene& scene) {
    int slots = 1;
    for (const SceneItem& item : scene.items) {
      if (const auto* shadow = std::get_if<Shadow>(&item)) slots += static_cast<int>(shadow->layers.size());
    }
    return slots;
  }
  /// Empty when a point is not in front of the eye.
  [[nodiscard]] std::optional<std::vector<Vec3>> all_px(const std::vector<Vec3>& points) const {
    std::vector<Vec3> px;
    for (const Vec3& p : points) {
      const auto one = projector_.to_px(p);
      if (!one) return std::nullopt;
      px.push_back(*one);
    }
    return px;
  }
  /// Every layer of a shadow has a depth of its own, nearer than the layers before.
  [[nodiscard]] double slot_width() const { return 1.0 / slots_; }

  void outline(const std::vector<Vec3>& points, Space space, bool closed, const Stroke& stroke) {
    if (stroke.width_px <= 0 || stroke.color.opacity <= 0 || points.size() < 2) return;
    const Rgba color = rgba(stroke.color);
    const auto put = [&](const std::vector<Vec3>& run, bool whole) {
      if (stroke.dash_px > 0) {
        draw_dashes(run, stroke, color, drawing_.flat);
      } else {
        draw_line(run, closed && whole, stroke.width_px, color, drawing_.flat);
      }
    };
    if (space == Space::screen) return put(points, true);
    std::vector<Vec3> view;
    for (const Vec3& p : points) view.push_back(projector_.to_view(p));
    const double near = Projector::near_m;
    if (std::all_of(view.begin(), view.end(), [&](const Vec3& p) { return p.z >= near; })) {
      for (Vec3& p : view) p = projector_.view_to_px(p);
      return put(view, true);
    }
    // Cut at the near plane into the runs in front of it.
    std::vector<Vec3> run;
    const auto flush_run = [&] {
      if (run.size() > 1) put(run, false);
      run.clear();
    };
    const std::size_t segments = closed ? view.size() : view.size() - 1;
    for (std::size_t i = 0; i < segments; ++i) {
      const Vec3 &a = view[i], &b = view[(i + 1) % view.size()];
      const bool a_in = a.z >= near, b_in = b.z >= near;
      const auto cut = [&] {
        return projector_.view_to_px(Vec3((a + (b - a) * ((near - a.z) / (b.z - a.z))).x,
                                          (a + (b - a) * ((near - a.z) / (b.z - a.z))).y, near));
      };
      if (a_in && run.empty()) run.push_back(projector_.view_to_px(a));
      if (a_in && b_in) run.push_back(projector_.view_to_px(b));
      if (a_in && !b_in) {
        run.push_back(cut());
        flush_run();
      }
      if (!a_in && b_in) run = {cut(), projector_.view_to_px(b)};
    }
    flush_run();
  }

  void glyph_quad(const GlyphAtlas::Glyph& g, const std::array<Vec4, 4>& corners, Color color, Color halo) {
    const float u[] = {g.x0, g.x1, g.x0, g.x1}, v[] = {g.y0, g.y0, g.y1, g.y1};
    for (const std::size_t i : {0U, 1U, 2U, 2U, 1U, 3U}) {
      const Vec4& p = corners[i];
      drawing_.text.push_back({{static_cast<float>(p.x), static_cast<float>(p.y), static_cast<float>(p.z),
                                static_cast<float>(p.w)},
                               {g.x0, g.y0},
                               {u[i] - g.x0, v[i] - g.y0},
                               rgba(color),
                               rgba(halo)});
    }
  }

  void begin(DrawCall::Kind kind) {
    if (open_ && kind_ == kind) return;
    flush();
    kind_ = kind;
    open_ = true;
    first_ = size_of(kind);
  }
  [[nodiscard]] std::uint32_t size_of(DrawCall::Kind kind) const {
    return static_cast<std::uint32_t>(kind == DrawCall::Kind::text ? drawing_.text.size()
                                                                   : drawing_.flat.size());
  }
  void flush() {
    if (open_ && size_of(kind_) > first_)
      drawing_.calls.push_back({kind_, first_, size_of(kind_) - first_, nullptr});
    open_ = false;
  }

  const Scene& scene_;
  GlyphAtlas& atlas_;
  Projector projector_;
  int slots_;
  int slot_ = 0;
  Drawing& drawing_;
  bool open_ = false;
  DrawCall::Kind kind_ = DrawCall::Kind::flat;
  std::uint32_t first_ = 0;
};

}  // namespace

Rgba rgba(Color color) {
  return {color.r, color.g, color.b,
          static_cast<std::uint8_t>(std::lround(255 * std::clamp(color.opacity, 0.0, 1.0)))};
}

void make_drawing(const Scene& scene, std::size_t first, std::size_t last, GlyphAtlas& atlas, Drawing& out) {
  out.clear();
  Draughtsman(scene, atlas, out).draw(first, last);
}

}  // namespace halfturn
