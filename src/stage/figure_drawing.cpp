#include "figure_drawing.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <limits>

#include "outline.hpp"

namespace halfturn {
namespace {

constexpr double near_m = 0.08;          // own limbs nearer to the eye than this are cut
constexpr double surface_share = 0.6;    // of its radius by which a limb is in front of its axis
constexpr double edge_nearer_m = 0.008;  // edges in front of their faces

/// Distance as a depth that is linear in the picture along any straight line; 1 is left for the rims.
class DepthOfDistance {
 public:
  DepthOfDistance(double nearest_m, double farthest_m)
      : inverse_far_(1 / farthest_m), range_(1 / nearest_m - 1 / farthest_m) {}
  [[nodiscard]] float at(double distance_m) const {
    const double share = std::clamp((1 / std::max(distance_m, 0.01) - inverse_far_) / range_, 0.0, 1.0);
    return static_cast<float>(0.99 - 0.98 * share);
  }

 private:
  double inverse_far_, range_;
};

/// A swept ball in view axes, cut at the near plane; false when nothing is left.
bool cut(Vec3& a, Vec3& b, double& radius_a, double& radius_b) {
  if (a.z < near_m && b.z < near_m) return false;
  if (a.z < near_m || b.z < near_m) {
    const double u = (near_m - a.z) / (b.z - a.z);
    const Vec3 at = a + u * (b - a);
    const double radius = radius_a + u * (radius_b - radius_a);
    (a.z < near_m ? a : b) = at;
    (a.z < near_m ? radius_a : radius_b) = radius;
    (a.z < near_m ? a : b).z = near_m;
  }
  return true;
}

Rgba toned(Color color, double tone) {
  const auto channel = [&](std::uint8_t value) {
    return static_cast<std::uint8_t>(std::clamp(std::lround(value * tone), 0L, 255L));
  };
  return {channel(color.r), channel(color.g), channel(color.b), 255};
}

Rgba opaque(Color color) {
  return {color.r, color.g, color.b, 255};
}

/// The far faces of a solid are hidden by its near ones.
bool faces_away(const Facet& facet, const Projector& projector) {
  return glm::dot(facet.normal_W, facet.points.front() - projector.projection().camera.eye) > 0;
}

}  // namespace

FigureDrawing draw_figure(const Figure& figure, const Projector& projector, Drawing& out) {
  FigureDrawing drawn;
  drawn.first_capsule = static_cast<std::uint32_t>(out.capsules.size());
  drawn.first_flat = static_cast<std::uint32_t>(out.flat.size());
  double nearest = 1e9, farthest = 0;
  const auto meet = [&](const Vec3& p_W) {
    const double z = projector.to_view(p_W).z;
    nearest = std::min(nearest, z);
    farthest = std::max(farthest, z);
  };
  for (const Capsule& c : figure.capsules) {
    meet(c.a_W);
    meet(c.b_W);
  }
  for (const Facet& f : figure.facets) {
    for (const Vec3& p : f.points) meet(p);
  }
  if (farthest < near_m) return drawn;
  const DepthOfDistance depth(std::max(near_m, nearest - 0.3), farthest + 0.3);
  const Rgba line = opaque(figure.line), rim = opaque(figure.halo);
  const double rim_px = figure.halo_px + 0.5 * figure.outline_px;
  double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;

  const auto add = [&](Vec3 a, Vec3 b, double ra, double rb, double nearer, Rgba color, double grow_px) {
    CapsuleInstance c{};
    if (!cut(a, b, ra, rb)) return c;
    const Vec3 pa = projector.view_to_px(a), pb = projector.view_to_px(b);
    c.ends = {static_cast<float>(pa.x), static_cast<float>(pa.y), static_cast<float>(pb.x),
              static_cast<float>(pb.y)};
    const double size_a = ra * projector.px_per_m(a.z) + grow_px,
                 size_b = rb * projector.px_per_m(b.z) + grow_px;
    c.sizes = {static_cast<float>(size_a), static_cast<float>(size_b),
               depth.at(a.z - nearer - surface_share * ra), depth.at(b.z - nearer - surface_share * rb)};
    c.color = color;
    c.line_color = line;
    x0 = std::min({x0, pa.x - size_a, pb.x - size_b});
    y0 = std::min({y0, pa.y - size_a, pb.y - size_b});
    x1 = std::max({x1, pa.x + size_a, pb.x + size_b});
    y1 = std::max({y1, pa.y + size_a, pb.y + size_b});
    return c;
  };
  const auto keep = [&](const CapsuleInstance& c, std::uint32_t& count) {
    if (c.color[3] == 0) return;  // behind the eye
    out.capsules.push_back(c);
    ++count;
  };
  const auto add_rim = [&](const Vec3& a_W, const Vec3& b_W, double ra, double rb, std::uint32_t& count) {
    CapsuleInstance c = add(projector.to_view(a_W), projector.to_view(b_W), ra, rb, 0, rim, rim_px);
    c.sizes[2] = c.sizes[3] = 1;
    keep(c, count);
  };
  const auto each_edge = [&](auto&& visit) {
    for (const Facet& f : figure.facets) {
      if (faces_away(f, projector)) continue;
      for (std::size_t i = 0; i < f.points.size(); ++i)
        visit(f, f.points[i], f.points[(i + 1) % f.points.size()]);
    }
  };

  for (const Capsule& c : figure.capsules) add_rim(c.a_W, c.b_W, c.radius_a, c.radius_b, drawn.round_rims);
  each_edge([&](const Facet&, const Vec3& p, const Vec3& q) { add_rim(p, q, 0, 0, drawn.thin_rims); });
  for (const Capsule& capsule : figure.capsules) {
    const Vec3 a = projector.to_view(capsule.a_W), b = projector.to_view(capsule.b_W);
    CapsuleInstance c =
        add(a, b, capsule.radius_a, capsule.radius_b, capsule.nearer, opaque(capsule.color), 0);
    const double length = glm::length(b - a);
    c.look = {static_cast<float>(figure.outline_px), 1,
              static_cast<float>(length > 1e-6 ? (b.z - a.z) / length : 0), 0};
    if (capsule.band_width > 0 && length > 1e-6) {
      c.look[3] = static_cast<float>(0.5 * capsule.band_width / length);
      c.bands = {static_cast<float>(capsule.bands[0]), static_cast<float>(capsule.bands[1])};
    }
    keep(c, drawn.limbs);
  }
  each_edge([&](const Facet& f, const Vec3& p, const Vec3& q) {
    keep(add(projector.to_view(p), projector.to_view(q), 0, 0, f.nearer + edge_nearer_m, line,
             0.5 * figure.outline_px),
         drawn.edges);
  });

  const Vec3 light_W =
      glm::normalize(-0.42 * projector.right() + 0.62 * projector.up() - 0.66 * projector.forward());
  for (const Facet& f : figure.facets) {
    if (faces_away(f, projector)) continue;
    std::vector<Vec3> corners;
    for (const Vec3& p : f.points) corners.push_back(projector.to_view(p));
    corners = clip_polygon(corners, near_m);
    if (corners.size() < 3) continue;
    const double tone = 0.93 + 0.15 * std::clamp(glm::dot(f.normal_W, light_W), -1.0, 1.0);
    std::vector<Vec3> flat;
    for (const Vec3& p : corners) flat.push_back(projector.view_to_px(p));
    // Faces are convex: a fan keeps the order of the corners, and so their depths.
    const Rgba color = toned(f.color, tone);
    for (std::size_t i = 1; i + 1 < flat.size(); ++i) {
      for (const std::size_t k : {std::size_t{0}, i, i + 1}) {
        out.flat.push_back({static_cast<float>(flat[k].x), static_cast<float>(flat[k].y),
                            depth.at(corners[k].z - f.nearer), 0, 1e6F, color});
      }
    }
  }
  drawn.faces = static_cast<std::uint32_t>(out.flat.size()) - drawn.first_flat;
  const auto within = [](double value, int most) {
    return static_cast<int>(std::clamp(value, 0.0, static_cast<double>(most)));
  };
  const int width = projector.projection().width_px, height = projector.projection().height_px;
  drawn.x0 = within(std::floor(x0) - 1, width);
  drawn.y0 = within(std::floor(y0) - 1, height);
  drawn.x1 = within(std::ceil(x1) + 1, width);
  drawn.y1 = within(std::ceil(y1) + 1, height);
  return drawn;
}

void draw_footprint(const Capsule& capsule, double grow_m, const Projector& projector, Rgba color,
                    std::vector<FlatVertex>& out) {
  // Corners around both ends; the hull of two discs of unlike size is near enough to that of like ones here.
  constexpr int corners = 8;
  static const std::array<std::array<double, 2>, 2 * corners + 2> directions = [] {
    std::array<std::array<double, 2>, 2 * corners + 2> around{};
    for (int i = 0; i <= 2 * corners + 1; ++i) {
      const double angle = pi * (0.5 + double(i <= corners ? i : i - 1) / corners);
      around[static_cast<std::size_t>(i)] = {std::cos(angle), std::sin(angle)};
    }
    return around;
  }();
  Vec3 along = capsule.b_W - capsule.a_W;
  const double length = glm::length(along);
  along = length > 1e-6 ? along / length : Vec3(1, 0, 0);
  const Vec3 across(-along.z, 0, along.x);
  std::array<Vec3, 2 * corners + 2> around;
  bool in_front = true;
  for (std::size_t i = 0; i < around.size(); ++i) {
    const bool at_a = i <= corners;
    const double radius = (at_a ? capsule.radius_a : capsule.radius_b) + grow_m;
    around[i] = projector.to_view((at_a ? capsule.a_W : capsule.b_W) +
                                  radius * (directions[i][0] * along + directions[i][1] * across));
    in_front = in_front && around[i].z >= Projector::near_m;
  }
  const auto fan = [&](const Vec3* points_view, std::size_t count) {
    const auto vertex = [&](std::size_t k) {
      const Vec3 p = projector.view_to_px(points_view[k]);
      return FlatVertex{static_cast<float>(p.x), static_cast<float>(p.y), 0, 0, 1e6F, color};
    };
    if (count < 3) return;
    const FlatVertex first = vertex(0);
    FlatVertex before = vertex(1);
    for (std::size_t i = 2; i < count; ++i) {
      const FlatVertex next = vertex(i);
      out.insert(out.end(), {first, before, next});
      before = next;
    }
  };
  if (in_front) return fan(around.data(), around.size());
  const std::vector<Vec3> cut = clip_polygon({around.begin(), around.end()}, Projector::near_m);
  fan(cut.data(), cut.size());
}

}  // namespace halfturn
