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

/// Distance as a depth that is linear in the picture along any straight line.
class DepthSlot {
 public:
  DepthSlot(double far, double near, double nearest_m, double farthest_m)
      : far_(far), width_(far - near), inverse_far_(1 / farthest_m), range_(1 / nearest_m - 1 / farthest_m) {}
  [[nodiscard]] float at(double distance_m) const {
    const double share = std::clamp((1 / std::max(distance_m, 0.01) - inverse_far_) / range_, 0.0, 1.0);
    return static_cast<float>(far_ - width_ * (0.02 + 0.97 * share));
  }
  [[nodiscard]] float rim() const { return static_cast<float>(far_ - 0.005 * width_); }

 private:
  double far_, width_, inverse_far_, range_;
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

}  // namespace

FigureCounts draw_figure(const Figure& figure, const Projector& projector, double depth_far,
                         double depth_near, Drawing& out) {
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
  if (farthest < near_m) return {};
  const DepthSlot slot(depth_far, depth_near, std::max(near_m, nearest - 0.3), farthest + 0.3);
  const auto alpha = rgba(Color{0, 0, 0, figure.opacity})[3];
  const auto with_alpha = [&](Rgba color) {
    color[3] = alpha;
    return color;
  };
  const Rgba line = with_alpha(rgba(figure.line)), rim = with_alpha(rgba(figure.halo));

  const auto add = [&](const Vec3& a_W, const Vec3& b_W, double ra, double rb, double nearer, Rgba color,
                       double grow_px, double outline_px, bool shade, bool at_rim, const Capsule* striped) {
    Vec3 a = projector.to_view(a_W), b = projector.to_view(b_W);
    if (!cut(a, b, ra, rb)) return false;
    const Vec3 pa = projector.view_to_px(a), pb = projector.view_to_px(b);
    const double length = glm::length(b - a);
    const double behind = length > 1e-6 ? (b.z - a.z) / length : 0;
    CapsuleInstance c{};
    c.ends = {static_cast<float>(pa.x), static_cast<float>(pa.y), static_cast<float>(pb.x),
              static_cast<float>(pb.y)};
    c.sizes = {static_cast<float>(ra * projector.px_per_m(a.z) + grow_px),
               static_cast<float>(rb * projector.px_per_m(b.z) + grow_px),
               at_rim ? slot.rim() : slot.at(a.z - nearer - surface_share * ra),
               at_rim ? slot.rim() : slot.at(b.z - nearer - surface_share * rb)};
    c.color = color;
    c.line_color = line;
    c.look = {static_cast<float>(outline_px), shade ? 1.0F : 0.0F, static_cast<float>(behind), 0.0F};
    if (striped != nullptr && striped->band_width > 0 && length > 1e-6) {
      c.look[3] = static_cast<float>(0.5 * striped->band_width / length);
      c.bands = {static_cast<float>(striped->bands[0]), static_cast<float>(striped->bands[1])};
    }
    out.capsules.push_back(c);
    return true;
  };

  FigureCounts counts;
  for (const Capsule& c : figure.capsules) {
    counts.round += add(c.a_W, c.b_W, c.radius_a, c.radius_b, 0, rim,
                        figure.halo_px + 0.5 * figure.outline_px, 0, false, true, nullptr);
    counts.round += add(c.a_W, c.b_W, c.radius_a, c.radius_b, c.nearer, with_alpha(rgba(c.color)), 0,
                        figure.outline_px, true, false, &c);
  }
  const Vec3 light_W =
      glm::normalize(-0.42 * projector.right() + 0.62 * projector.up() - 0.66 * projector.forward());
  for (const Facet& f : figure.facets) {
    std::vector<Vec3> corners;
    for (const Vec3& p : f.points) corners.push_back(projector.to_view(p));
    corners = clip_polygon(corners, near_m);
    if (corners.size() < 3) continue;
    const double tone = 0.93 + 0.15 * std::clamp(glm::dot(f.normal_W, light_W), -1.0, 1.0);
    std::vector<Vec3> flat;
    for (const Vec3& p : corners) flat.push_back(projector.view_to_px(p));
    // Faces are convex: a fan keeps the order of the corners, and so their depths.
    const Rgba color = with_alpha(toned(f.color, tone));
    for (std::size_t i = 1; i + 1 < flat.size(); ++i) {
      for (const std::size_t k : {std::size_t{0}, i, i + 1}) {
        out.flat.push_back({static_cast<float>(flat[k].x), static_cast<float>(flat[k].y),
                            slot.at(corners[k].z - f.nearer), 0, 1e6F, color});
      }
    }
    for (std::size_t i = 0; i < f.points.size(); ++i) {
      const Vec3 &p = f.points[i], &q = f.points[(i + 1) % f.points.size()];
      counts.thin +=
          add(p, q, 0, 0, 0, rim, figure.halo_px + 0.5 * figure.outline_px, 0, false, true, nullptr);
      counts.thin +=
          add(p, q, 0, 0, f.nearer + edge_nearer_m, line, 0.5 * figure.outline_px, 0, false, false, nullptr);
    }
  }
  return counts;
}

void draw_footprint(const Capsule& capsule, double grow_m, const Projector& projector, Rgba color,
                    std::vector<FlatVertex>& out) {
  // Corners around both ends; the hull of two discs of unlike size is near enough to that of like ones here.
  Vec3 along = capsule.b_W - capsule.a_W;
  const double length = glm::length(along);
  along = length > 1e-6 ? along / length : Vec3(1, 0, 0);
  const Vec3 across(-along.z, 0, along.x);
  constexpr int corners = 8;
  std::vector<Vec3> around;
  for (int i = 0; i <= 2 * corners + 1; ++i) {
    const bool at_a = i <= corners;
    const double angle = pi * (0.5 + double(at_a ? i : i - 1) / corners);
    const double radius = (at_a ? capsule.radius_a : capsule.radius_b) + grow_m;
    around.push_back((at_a ? capsule.a_W : capsule.b_W) +
                     radius * (std::cos(angle) * along + std::sin(angle) * across));
  }
  for (Vec3& p : around) p = projector.to_view(p);
  around = clip_polygon(around, Projector::near_m);
  for (Vec3& p : around) p = projector.view_to_px(p);
  for (std::size_t i = 1; i + 1 < around.size(); ++i) {
    for (const std::size_t k : {std::size_t{0}, i, i + 1})
      out.push_back({static_cast<float>(around[k].x), static_cast<float>(around[k].y), 0, 0, 1e6F, color});
  }
}

}  // namespace halfturn
