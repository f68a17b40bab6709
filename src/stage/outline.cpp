#include "outline.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

namespace halfturn {
namespace {

/// In the picture, px.
double distance(const Vec3& a, const Vec3& b) {
  return std::sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y));
}

double cross_of(const Vec3& a, const Vec3& b, const Vec3& c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

FlatVertex solid(const Vec3& p, Rgba color) {
  return {static_cast<float>(p.x), static_cast<float>(p.y), 0, 0, 1e6F, color};
}

void triangle(const Vec3& a, const Vec3& b, const Vec3& c, Rgba color, std::vector<FlatVertex>& out) {
  out.push_back(solid(a, color));
  out.push_back(solid(b, color));
  out.push_back(solid(c, color));
}

bool is_convex(const std::vector<Vec3>& p) {
  bool left = false, right = false;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const double turn = cross_of(p[i], p[(i + 1) % p.size()], p[(i + 2) % p.size()]);
    left = left || turn > 1e-9;
    right = right || turn < -1e-9;
  }
  return !(left && right);
}

double area_of(const std::vector<Vec3>& p) {
  double twice = 0;
  for (std::size_t i = 0; i < p.size(); ++i) twice += cross_of(Vec3(0), p[i], p[(i + 1) % p.size()]);
  return 0.5 * twice;
}

void cut_ears(std::vector<Vec3> p, Rgba color, std::vector<FlatVertex>& out) {
  if (area_of(p) < 0) std::reverse(p.begin(), p.end());
  while (p.size() > 3) {
    bool cut = false;
    for (std::size_t i = 0; i < p.size() && !cut; ++i) {
      const Vec3 &a = p[(i + p.size() - 1) % p.size()], &b = p[i], &c = p[(i + 1) % p.size()];
      if (cross_of(a, b, c) <= 0) continue;
      const bool empty = std::none_of(p.begin(), p.end(), [&](const Vec3& q) {
        return q != a && q != b && q != c && cross_of(a, b, q) >= 0 && cross_of(b, c, q) >= 0 &&
               cross_of(c, a, q) >= 0;
      });
      if (!empty) continue;
      triangle(a, b, c, color, out);
      p.erase(p.begin() + static_cast<std::ptrdiff_t>(i));
      cut = true;
    }
    if (!cut) break;
  }
  for (std::size_t i = 1; i + 1 < p.size(); ++i) triangle(p[0], p[i], p[i + 1], color, out);
}

std::vector<Vec3> without_doubles(const std::vector<Vec3>& points_px, bool closed) {
  const auto apart = [](const Vec3& a, const Vec3& b) { return distance(a, b) > 0.05; };
  std::vector<Vec3> p;
  p.reserve(points_px.size());
  for (const Vec3& q : points_px) {
    if (p.empty() || apart(q, p.back())) p.push_back(q);
  }
  if (closed && p.size() > 2 && !apart(p.front(), p.back())) p.pop_back();
  return p;
}

/// At every corner the way outwards that moves both its edges by 1 px, at most `most` px long.
std::vector<Vec3> ways_out(const std::vector<Vec3>& p, double sign, double most) {
  std::vector<Vec3> normals, ways;
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Vec3 &a = p[i], &b = p[(i + 1) % p.size()];
    const double length = sign * distance(a, b);
    normals.emplace_back((b.y - a.y) / length, -(b.x - a.x) / length, 0);
  }
  for (std::size_t i = 0; i < p.size(); ++i) {
    const Vec3 sum = normals[(i + p.size() - 1) % p.size()] + normals[i];
    const double length = glm::length(sum);
    ways.push_back(length > 1e-6 ? sum * (std::min(2 / length, most) / length) : Vec3(0));
  }
  return ways;
}

}  // namespace

void fill_polygon(const std::vector<Vec3>& corners_px, Rgba color, std::vector<FlatVertex>& out) {
  std::vector<Vec3> p = without_doubles(corners_px, true);
  if (p.size() < 3) return;
  const double area = area_of(p);
  if (area == 0) return;
  // The edge fades over one pixel: half of it inside, less where the shape is thinner.
  double around = 0;
  for (std::size_t i = 0; i < p.size(); ++i) around += glm::length(p[(i + 1) % p.size()] - p[i]);
  const double inside = std::min(0.5, 0.8 * std::abs(area) / around);
  const std::vector<Vec3> ways = ways_out(p, area > 0 ? 1 : -1, 8);
  for (std::size_t i = 0; i < p.size(); ++i) {
    const std::size_t j = (i + 1) % p.size();
    const auto corner = [&](std::size_t k, bool outer) {
      const Vec3 q = p[k] + (outer ? 0.5 : -inside) * ways[k];
      return FlatVertex{static_cast<float>(q.x), static_cast<float>(q.y), 0, outer ? 1.5F : 0.5F, 1, color};
    };
    const FlatVertex corners[] = {corner(i, false), corner(i, true), corner(j, false), corner(j, true)};
    for (const int k : {0, 1, 2, 2, 1, 3}) out.push_back(corners[k]);
  }
  for (std::size_t i = 0; i < p.size(); ++i) p[i] -= inside * ways[i];
  if (!is_convex(p)) return cut_ears(std::move(p), color, out);
  for (std::size_t i = 1; i + 1 < p.size(); ++i) triangle(p[0], p[i], p[i + 1], color, out);
}

void fill_strip(const std::vector<Vec3>& one_px, const std::vector<Vec3>& other_px, bool closed, Rgba color,
                std::vector<FlatVertex>& out) {
  const std::size_t n = std::min(one_px.size(), other_px.size());
  for (std::size_t i = 0; i + (closed ? 0 : 1) < n; ++i) {
    const std::size_t j = (i + 1) % n;
    triangle(one_px[i], one_px[j], other_px[i], color, out);
    triangle(other_px[i], one_px[j], other_px[j], color, out);
  }
}

void draw_line(const std::vector<Vec3>& points_px, bool closed, double width_px, Rgba color,
               std::vector<FlatVertex>& out) {
  const std::vector<Vec3> p = without_doubles(points_px, closed);
  const std::size_t n = p.size();
  if (n < 2) return;
  if (n == 2) closed = false;
  const double half = 0.5 * width_px, reach = half + 0.5;
  const std::size_t segments = closed ? n : n - 1;
  std::vector<Vec3> normals;
  normals.reserve(segments);
  for (std::size_t i = 0; i < segments; ++i) {
    const Vec3 &a = p[i], &b = p[(i + 1) % n];
    const double length = distance(a, b);
    normals.emplace_back(-(b.y - a.y) / length, (b.x - a.x) / length, 0);
  }
  // A joint leans both ends to its middle unless it is too sharp: then each segment ends square, a little
  // long.
  const auto end_at = [&](std::size_t i, std::size_t segment, bool at_end) {
    const Vec3 own = normals[segment];
    const bool has_other = closed || (at_end ? segment + 1 < segments : segment > 0);
    const Vec3 along = Vec3(own.y, -own.x, 0);
    if (!has_other) return std::pair{p[i] + (at_end ? 0.25 : -0.25) * along, own};
    const Vec3 other = normals[at_end ? (segment + 1) % n : (segment + n - 1) % n];
    const Vec3 sum = own + other;
    const double squared = glm::dot(sum, sum);
    if (squared < 0.6) return std::pair{p[i] + (at_end ? half : -half) * along, own};
    return std::pair{p[i], sum * (2.0 / squared)};
  };
  const auto corner = [&](const std::pair<Vec3, Vec3>& end, double side) {
    const Vec3 q = end.first + side * reach * end.second;
    return FlatVertex{static_cast<float>(q.x),          static_cast<float>(q.y),  0,
                      static_cast<float>(side * reach), static_cast<float>(half), color};
  };
  for (std::size_t s = 0; s < segments; ++s) {
    const auto a = end_at(s, s, false), b = end_at((s + 1) % n, s, true);
    const FlatVertex corners[] = {corner(a, -1), corner(a, 1), corner(b, -1), corner(b, 1)};
    out.insert(out.end(), {corners[0], corners[1], corners[2], corners[2], corners[1], corners[3]});
  }
}

void draw_dashes(const std::vector<Vec3>& points_px, const Stroke& stroke, Rgba color,
                 std::vector<FlatVertex>& out) {
  const double period = stroke.dash_px + stroke.gap_px;
  double at = 0;
  std::vector<Vec3> dash;
  const auto flush = [&] {
    if (dash.size() > 1) draw_line(dash, false, stroke.width_px, color, out);
    dash.clear();
  };
  for (std::size_t i = 0; i + 1 < points_px.size(); ++i) {
    const Vec3 &a = points_px[i], &b = points_px[i + 1];
    const double length = distance(a, b);
    if (length > 2e4) continue;  // far off the picture
    double done = 0;
    while (done < length) {
      const double phase = std::fmod(at, period);
      const bool on = phase < stroke.dash_px;
      const double step = std::min(length - done, (on ? stroke.dash_px : period) - phase + 1e-9);
      if (on) {
        if (dash.empty()) dash.push_back(a + (b - a) * (done / length));
        dash.push_back(a + (b - a) * ((done + step) / length));
      } else {
        flush();
      }
      done += step;
      at += step;
      if (on && std::fmod(at, period) >= stroke.dash_px) flush();
    }
  }
  flush();
}

std::vector<Vec3> clip_polygon(const std::vector<Vec3>& points_view, double near_m) {
  std::vector<Vec3> kept;
  for (std::size_t i = 0; i < points_view.size(); ++i) {
    const Vec3 &a = points_view[i], &b = points_view[(i + 1) % points_view.size()];
    if (a.z >= near_m) kept.push_back(a);
    if ((a.z >= near_m) != (b.z >= near_m)) kept.push_back(a + (b - a) * ((near_m - a.z) / (b.z - a.z)));
  }
  return kept;
}

}  // namespace halfturn
