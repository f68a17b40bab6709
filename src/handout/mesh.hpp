#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <vector>

#include "scene/scene.hpp"

namespace halfturn {

/// Triangles of one colour.
struct Mesh {
  std::vector<std::array<float, 3>> positions, normals;
  std::vector<std::uint32_t> indices;

  std::uint32_t add(const Vec3& position, const Vec3& normal);
  void triangle(std::uint32_t a, std::uint32_t b, std::uint32_t c);
};

/// Meshes by colour (0xRRGGBB).
using Meshes = std::map<std::uint32_t, Mesh>;
[[nodiscard]] std::uint32_t colour_key(Color color);

/// A ball swept from a to b, with its stripes.
void add_capsule(Meshes& meshes, const Capsule& capsule, Color band);
/// A flat convex face, seen from the side of its normal.
void add_face(Meshes& meshes, const std::vector<Vec3>& points, const Vec3& normal, Color color);
/// A part of a flat ring at a height over the floor, from one heading to another, degrees, left positive.
void add_ring(Meshes& meshes, double inner, double outer, double from_deg, double to_deg, double height,
              Color color);

}  // namespace halfturn
