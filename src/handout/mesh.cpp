#include "mesh.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <numbers>

#include "rotation/quaternion.hpp"

namespace halfturn {
namespace {

constexpr int around = 16, over_end = 5;  // facets of a capsule

std::array<float, 3> narrow(const Vec3& v) {
  return {static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z)};
}

/// Any unit vector square to a unit vector.
Vec3 square_to(const Vec3& axis) {
  const Vec3 other = std::abs(axis.x) < 0.7 ? Vec3(1, 0, 0) : Vec3(0, 1, 0);
  return glm::normalize(glm::cross(axis, other));
}

}  // namespace

std::uint32_t Mesh::add(const Vec3& position, const Vec3& normal) {
  positions.push_back(narrow(position));
  normals.push_back(narrow(glm::normalize(normal)));
  return static_cast<std::uint32_t>(positions.size() - 1);
}

void Mesh::triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c) {
  indices.insert(indices.end(), {a, b, c});
}

std::uint32_t colour_key(Color color) {
  return static_cast<std::uint32_t>(color.r) << 16U | static_cast<std::uint32_t>(color.g) << 8U | color.b;
}

void add_capsule(Meshes& meshes, const Capsule& capsule, Color band) {
  const double length = glm::length(capsule.b_W - capsule.a_W);
  const Vec3 axis = length > 1e-9 ? (capsule.b_W - capsule.a_W) / length : Vec3(0, 1, 0);
  const Vec3 u = square_to(axis), v = glm::cross(axis, u);
  // Where the side leaves the balls: both have the same normal there.
  const double tilt =
      length > 1e-9 ? std::asin(std::clamp((capsule.radius_a - capsule.radius_b) / length, -1.0, 1.0)) : 0;
  const double half_pi = std::numbers::pi / 2;
  Mesh& mesh = meshes[colour_key(capsule.color)];
  struct Ring {
    Vec3 centre;
    double radius, angle;  // of the normal from square to the axis
  };
  std::vector<Ring> rings;
  for (int i = 0; i <= over_end; ++i)
    rings.push_back({capsule.a_W, capsule.radius_a, -half_pi + (tilt + half_pi) * i / over_end});
  for (int i = 0; i <= over_end; ++i)
    rings.push_back({capsule.b_W, capsule.radius_b, tilt + (half_pi - tilt) * i / over_end});
  const auto add_rings = [&](Mesh& target, const std::vector<Ring>& list) {
    std::uint32_t before = 0;
    for (std::size_t r = 0; r < list.size(); ++r) {
      const auto first = static_cast<std::uint32_t>(target.positions.size());
      for (int k = 0; k <= around; ++k) {
        const double turn = 2 * std::numbers::pi * k / around;
        const Vec3 out = std::cos(turn) * u + std::sin(turn) * v;
        const Vec3 normal = std::cos(list[r].angle) * out + std::sin(list[r].angle) * axis;
        target.add(list[r].centre + list[r].radius * normal, normal);
      }
      if (r > 0) {
        for (std::uint32_t k = 0; k < around; ++k) {
          target.triangle(before + k, before + k + 1, first + k);
          target.triangle(before + k + 1, first + k + 1, first + k);
        }
      }
      before = first;
    }
  };
  add_rings(mesh, rings);
  for (const double share : capsule.bands) {
    if (share <= 0 || length <= 0) continue;
    const double half = 0.5 * capsule.band_width / length;
    std::vector<Ring> stripe;
    for (const double s : {share - half, share + half})
      stripe.push_back({capsule.a_W + s * (capsule.b_W - capsule.a_W),
                        1.03 * (capsule.radius_a + s * (capsule.radius_b - capsule.radius_a)), tilt});
    add_rings(meshes[colour_key(band)], stripe);
  }
}

void add_face(Meshes& meshes, const std::vector<Vec3>& points, const Vec3& normal, Color color) {
  Mesh& mesh = meshes[colour_key(color)];
  const auto first = static_cast<std::uint32_t>(mesh.positions.size());
  for (const Vec3& p : points) mesh.add(p, normal);
  const bool turned = glm::dot(glm::cross(points[1] - points[0], points[2] - points[0]), normal) < 0;
  for (std::uint32_t i = 1; i + 1 < points.size(); ++i)
    turned ? mesh.triangle(first, first + i + 1, first + i) : mesh.triangle(first, first + i, first + i + 1);
}

void add_ring(Meshes& meshes, double inner, double outer, double from_deg, double to_deg, double height,
              Color color) {
  const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(to_deg - from_deg) / 5)));
  const auto at = [&](double radius, double heading_deg) {
    const double heading = to_rad(heading_deg);
    return Vec3(radius * std::cos(heading), height, -radius * std::sin(heading));
  };
  for (int i = 0; i < pieces; ++i) {
    const double a = from_deg + (to_deg - from_deg) * i / pieces;
    const double b = from_deg + (to_deg - from_deg) * (i + 1) / pieces;
    if (inner > 0) {
      add_face(meshes, {at(inner, a), at(outer, a), at(outer, b), at(inner, b)}, Vec3(0, 1, 0), color);
    } else {
      add_face(meshes, {Vec3(0, height, 0), at(outer, a), at(outer, b)}, Vec3(0, 1, 0), color);
    }
  }
}

}  // namespace halfturn
