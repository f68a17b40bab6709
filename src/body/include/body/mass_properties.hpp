#pragma once

#include <span>
#include <vector>

#include "body/tree.hpp"

namespace halfturn {

/// A body as a whole, in the axes of its reference segment, origin at that segment's origin.
struct MassProperties {
  double mass = 0;                   ///< kg
  Vec3 com{};                        ///< m
  Mat3 inertia{0};                   ///< about the centre of mass, kg m2
  Vec3 relative_angular_momentum{};  ///< about the centre of mass, seen from the reference segment, kg m2/s
};

/// Joint angles in rad and their rates in rad/s, one for each coordinate of the tree; no rates: at rest.
[[nodiscard]] MassProperties mass_properties(const BodyTree& tree, std::span<const double> angles,
                                             std::span<const double> rates = {});

/// Where every segment is, in the axes of the reference segment.
struct SegmentPlace {
  Mat3 rotation{1};  ///< segment -> reference segment
  Vec3 origin{};     ///< m
};
[[nodiscard]] std::vector<SegmentPlace> segment_places(const BodyTree& tree, std::span<const double> angles);

/// Eigenvalues of a symmetric matrix, ascending, and its unit eigenvectors as the columns of a rotation.
struct PrincipalAxes {
  Vec3 moments{};
  Mat3 axes{1};
};
[[nodiscard]] PrincipalAxes principal_axes(const Mat3& symmetric);

}  // namespace halfturn
