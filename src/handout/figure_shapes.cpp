#include "figure_shapes.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <numbers>
#include <optional>

namespace halfturn {
namespace {

constexpr int pieces_of_limb = 4;  // a limb is sorted piece by piece, so that it can pass behind and before

/// The outline of two discs and the band that touches both; `cap0` and `cap1` say which ends are rounded.
std::vector<PaperPoint> hull(const Circle& a, const Circle& b, double grow, bool cap0, bool cap1) {
  const double dx = b.centre.x - a.centre.x, dy = b.centre.y - a.centre.y;
  const double length = std::hypot(dx, dy);
  const double ra = a.radius + grow, rb = b.radius + grow;
  std::vector<PaperPoint> points;
  const auto arc = [&](const Circle& c, double r, double from, double to) {
    const int pieces = std::max(4, static_cast<int>(std::ceil(std::abs(to - from) / 0.42)));
    for (int i = 0; i <= pieces; ++i) {
      const double angle = from + (to - from) * i / pieces;
      points.push_back({c.centre.x + r * std::cos(angle), c.centre.y + r * std::sin(angle)});
    }
  };
  const double pi = std::numbers::pi;
  if (length <= std::abs(ra - rb) + 1e-9) {
    const bool first = ra >= rb;
    arc(first ? a : b, std::max(ra, rb), 0, 2 * pi);
    return points;
  }
  const double along = std::atan2(dy, dx);
  const double side = std::acos(std::clamp((ra - rb) / length, -1.0, 1.0));
  const auto at = [&](const Circle& c, double r, double angle) {
    points.push_back({c.centre.x + r * std::cos(angle), c.centre.y + r * std::sin(angle)});
  };
  if (cap0) {
    arc(a, ra, along + side, along + 2 * pi - side);
  } else {
    at(a, ra, along + side);
    at(a, ra, along - side);
  }
  if (cap1) {
    arc(b, rb, along - side, along + side);
  } else {
    at(b, rb, along - side);
    at(b, rb, along + side);
  }
  return points;
}

std::optional<FlatPart> flat_face(const Facet& f, const Projector& projector, PaperPoint shift) {
  FlatPart part;
  Vec3 middle(0);
  double nearest = 1e9;
  for (const Vec3& p : f.points) {
    const auto px = projector.to_px(p);
    if (!px) return std::nullopt;
    part.points.push_back({px->x + shift.x, px->y + shift.y});
    nearest = std::min(nearest, px->z);
    middle += p / static_cast<double>(f.points.size());
  }
  if (glm::dot(f.normal_W, projector.projection().camera.eye - middle) <= 0) return std::nullopt;
  part.depth = 0.5 * (nearest + projector.to_view(middle).z) - f.nearer;
  // A face that looks away from the light is darker, as on the stage.
  const Vec3 light = glm::normalize(Vec3(0.3, 1, 0.2));
  const double shade = 0.86 + 0.14 * std::clamp(glm::dot(f.normal_W, light), -1.0, 1.0);
  part.color = f.color;
  part.color.r = static_cast<std::uint8_t>(f.color.r * shade);
  part.color.g = static_cast<std::uint8_t>(f.color.g * shade);
  part.color.b = static_cast<std::uint8_t>(f.color.b * shade);
  return part;
}

/// A piece of a limb from one share of its way to another.
std::optional<FlatPart> flat_piece(const Capsule& c, double share0, double share1, const Projector& projector,
                                   PaperPoint shift) {
  FlatPart part;
  part.limb = true;
  part.color = c.color;
  part.round_from = share0 <= 0;
  part.round_to = share1 >= 1;
  double depth = 0;
  bool seen = true;
  const auto at = [&](double u) {
    const auto p = projector.to_px(c.a_W + u * (c.b_W - c.a_W));
    if (!p) {
      seen = false;
      return Circle{};
    }
    depth += 0.5 * p->z;
    const double radius = c.radius_a + u * (c.radius_b - c.radius_a);
    return Circle{{p->x + shift.x, p->y + shift.y}, radius * projector.px_per_m(p->z)};
  };
  part.from = at(share0);
  part.to = at(share1);
  const double length = glm::length(c.b_W - c.a_W);
  for (const double band : c.bands) {
    if (band <= 0 || length <= 0) continue;
    const double half = 0.5 * c.band_width / length;
    const double u0 = std::max(band - half, share0), u1 = std::min(band + half, share1);
    const double before = depth;
    if (u0 < u1) part.stripes.push_back({at(u0), at(u1)});
    depth = before;
  }
  if (!seen) return std::nullopt;
  // The near side of the skin decides what hides what.
  part.depth = depth - c.nearer - 0.5 * (c.radius_a + c.radius_b);
  return part;
}

}  // namespace

std::vector<FlatPart> flat_parts(const Figure& figure, const Projector& projector, PaperPoint shift) {
  std::vector<FlatPart> parts;
  const auto keep = [&](std::optional<FlatPart> part) {
    if (part) parts.push_back(std::move(*part));
  };
  for (const Capsule& c : figure.capsules) {
    const int pieces = glm::length(c.b_W - c.a_W) > 0.2 ? pieces_of_limb : 1;
    for (int i = 0; i < pieces; ++i)
      keep(flat_piece(c, static_cast<double>(i) / pieces, (i + 1.0) / pieces, projector, shift));
  }
  for (const Facet& f : figure.facets) keep(flat_face(f, projector, shift));
  std::stable_sort(parts.begin(), parts.end(),
                   [](const FlatPart& a, const FlatPart& b) { return a.depth > b.depth; });
  return parts;
}

void draw_figure(Paper& paper, const Figure& figure, const Projector& projector, PaperPoint shift) {
  const std::vector<FlatPart> parts = flat_parts(figure, projector, shift);
  // A pale rim first, so that neighbours and lines behind stay apart.
  for (const FlatPart& p : parts) {
    if (p.limb) paper.polygon(hull(p.from, p.to, 1.4 * figure.outline_px, true, true), figure.halo);
  }
  for (const FlatPart& p : parts) {
    if (!p.limb) {
      paper.polygon(p.points, p.color, figure.line, 0.6 * figure.outline_px);
      continue;
    }
    // Inner ends carry no line, so that the pieces read as one limb.
    paper.polygon(hull(p.from, p.to, 0.5 * figure.outline_px, p.round_from, p.round_to), figure.line);
    paper.polygon(hull(p.from, p.to, 0, p.round_from, p.round_to), p.color, p.color, 0.05);
    for (const auto& stripe : p.stripes)
      paper.polygon(hull(stripe[0], stripe[1], 0, false, false), figure.band);
  }
}

}  // namespace halfturn
