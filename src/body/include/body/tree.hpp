#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn {

struct HumanBody;
class ShapeTrack;

/// One rigid part of a tree: x_parent = joint_centre_in_parent + R x_segment, R = R(axes[0]) R(axes[1]) ...
/// Lengths in m, masses in kg, inertia in kg m2 in the segment's own axes.
struct TreeSegment {
  std::string name;
  std::optional<std::size_t> parent;  ///< index of an earlier segment; empty for the root
  Vec3 joint_centre_in_parent{};      ///< zero for the root
  std::string axes;                   ///< letters x, y, z, any number; empty for the root or a fixed joint
  double mass = 0;
  Vec3 com{};
  Mat3 inertia_about_com{0};
};

/// Any tree of rigid segments, validated; immutable. Joint angles are one flat list in the order of segments
/// and their axes. The reference segment is the one whose orientation a flight describes.
class BodyTree {
 public:
  /// Problem.place is a key path such as `segments[3].mass_kg`; the file is left empty.
  [[nodiscard]] static Result<BodyTree> make(std::vector<TreeSegment> segments, std::size_t reference);

  [[nodiscard]] const std::vector<TreeSegment>& segments() const { return segments_; }
  [[nodiscard]] std::size_t reference() const { return reference_; }
  [[nodiscard]] double mass() const { return mass_; }  ///< kg, > 0
  [[nodiscard]] std::size_t coordinate_count() const { return coordinate_count_; }
  /// Index of the first joint angle of a segment.
  [[nodiscard]] std::size_t first_coordinate(std::size_t segment) const { return first_coordinate_[segment]; }
  [[nodiscard]] std::optional<std::size_t> find(std::string_view name) const;

 private:
  BodyTree() = default;
  std::vector<TreeSegment> segments_;
  std::vector<std::size_t> first_coordinate_;
  std::size_t reference_ = 0;
  std::size_t coordinate_count_ = 0;
  double mass_ = 0;
};

/// One joint angle over time, rad: `start` plus minimum-jerk blends, which may overlap.
struct JointTrack {
  struct Blend {
    double start = 0, end = 0;  ///< s, start <= end; equal is a jump
    double by = 0;              ///< rad, added in the course of the blend
  };
  double start = 0;
  std::vector<Blend> blends;

  struct Key {
    double time = 0;   ///< s, ascending
    double angle = 0;  ///< rad
  };
  /// Key frames joined by minimum-jerk blends, held before the first and after the last.
  [[nodiscard]] static JointTrack from_keys(const std::vector<Key>& keys);
  [[nodiscard]] double angle(double time) const;
  [[nodiscard]] double rate(double time) const;  ///< rad/s; 0 at a jump
};

/// A track for every joint angle of a tree.
using JointTracks = std::vector<JointTrack>;

/// The human body as a tree with axes z, x, y at every joint, contacts left out; and a shape track for it.
[[nodiscard]] BodyTree human_tree(const HumanBody& body);
[[nodiscard]] JointTracks joint_tracks(const ShapeTrack& shape);

}  // namespace halfturn
