#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <initializer_list>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// The 16 segments of the human body; parents come before children. The pelvis is the reference segment.
enum class Segment : std::uint8_t {
  pelvis,
  abdomen,
  thorax,
  head,
  upper_arm_left,
  forearm_left,
  hand_left,
  upper_arm_right,
  forearm_right,
  hand_right,
  thigh_left,
  shank_left,
  foot_left,
  thigh_right,
  shank_right,
  foot_right,
};
inline constexpr std::size_t segment_count = 16;

/// Lower-case name as in BODY and shape files, for instance "upper_arm_left".
[[nodiscard]] std::string_view segment_name(Segment segment);
/// Parent of a segment; the pelvis is its own.
[[nodiscard]] Segment parent_of(Segment segment);
/// The same segment on the other side; itself on the midline.
[[nodiscard]] Segment other_side(Segment segment);

/// Joint angles of the whole body, rad. angles[s] turns segment s relative to its parent:
/// R_parent_segment = Rz(z) Rx(x) Ry(y) (ISB sequence). All 0 is standing straight, arms hanging, palms in,
/// feet flat.
/// + z lifts an arm or thigh forward and flexes an elbow, but arches the trunk and lifts the chin; - z flexes
/// a knee, points a toe, rounds the trunk. + x lifts a left limb out to the left (a right limb needs - x),
/// leans the trunk to the right; + y turns to the left.
struct Pose {
  std::array<Vec3, segment_count> angles{};

  [[nodiscard]] const Vec3& operator[](Segment s) const { return angles[static_cast<std::size_t>(s)]; }
  [[nodiscard]] Vec3& operator[](Segment s) { return angles[static_cast<std::size_t>(s)]; }
  friend bool operator==(const Pose&, const Pose&) = default;
};

/// Left and right exchanged; mirrored twice is the same pose to the last bit.
[[nodiscard]] Pose mirrored(const Pose& pose);
/// Angles blended linearly, u in [0, 1].
[[nodiscard]] Pose blend(const Pose& from, const Pose& to, double u);

/// Rotation of a segment relative to its parent in a pose.
[[nodiscard]] Quat joint_rotation(const Pose& pose, Segment segment);

/// Named shapes ("standing", "layout", "tuck", ...), read from assets/shapes.json by the format layer.
using ShapeBook = std::map<std::string, Pose, std::less<>>;

/// A set of segments.
class SegmentSet {
 public:
  constexpr SegmentSet() = default;
  constexpr SegmentSet(std::initializer_list<Segment> segments) {
    for (const Segment s : segments) bits_ |= 1U << static_cast<unsigned>(s);
  }
  [[nodiscard]] constexpr bool contains(Segment s) const {
    return ((bits_ >> static_cast<unsigned>(s)) & 1U) != 0;
  }
  friend constexpr bool operator==(const SegmentSet&, const SegmentSet&) = default;
  friend constexpr SegmentSet operator|(SegmentSet a, const SegmentSet& b) {
    a.bits_ |= b.bits_;
    return a;
  }

 private:
  std::uint32_t bits_ = 0;
};
inline constexpr SegmentSet left_arm{Segment::upper_arm_left, Segment::forearm_left, Segment::hand_left};
inline constexpr SegmentSet right_arm{Segment::upper_arm_right, Segment::forearm_right, Segment::hand_right};
inline constexpr SegmentSet trunk_and_legs{Segment::abdomen,     Segment::thorax,      Segment::head,
                                           Segment::thigh_left,  Segment::shank_left,  Segment::foot_left,
                                           Segment::thigh_right, Segment::shank_right, Segment::foot_right};
/// The same set on the other side.
[[nodiscard]] SegmentSet mirrored(const SegmentSet& set);

/// Pose over time: key poses joined by minimum-jerk blends, held before the first and after the last. On top
/// of them movements, each of which takes some segments to a target; movements of one segment that overlap in
/// time add up (superposition of minimum-jerk movements, Henis and Flash 1995). An empty track is the
/// all-zero pose.
class ShapeTrack {
 public:
  struct Key {
    double time = 0;  ///< s, ascending
    Pose pose;
  };
  struct Movement {
    SegmentSet segments;
    double start = 0, end = 0;  ///< s, start <= end; equal is a jump
    Pose to;                    ///< where the segments of the set go
  };
  ShapeTrack() = default;
  explicit ShapeTrack(std::vector<Key> keys);
  /// From a pose by movements; those of one segment in the order in which they reach their targets.
  ShapeTrack(const Pose& from, std::vector<Movement> movements);

  [[nodiscard]] Pose at(double time) const;
  /// Rate of the joint angles, rad/s; 0 at a jump.
  [[nodiscard]] Pose rate(double time) const;
  /// Ascending times at which something starts or stops moving: a smooth integrator steps from one to the
  /// next.
  [[nodiscard]] std::vector<double> corners() const;
  [[nodiscard]] const std::vector<Key>& keys() const { return keys_; }
  [[nodiscard]] const std::vector<Movement>& movements() const { return movements_; }

 private:
  std::vector<Key> keys_;
  std::vector<Movement> movements_;
  std::vector<Pose> deltas_;  // of each movement: target minus the target before
};

[[nodiscard]] ShapeTrack mirrored(const ShapeTrack& track);

}  // namespace halfturn
