#pragma once

#include <array>
#include <vector>

#include "body/athlete.hpp"
#include "body/pose.hpp"

namespace halfturn {

/// One rigid part. Lengths in m in the segment's own axes (X forward, Y up, Z right when all angles are 0),
/// origin at its joint centre.
struct HumanSegment {
  Vec3 joint_centre_in_parent{};  ///< zero for the pelvis
  double mass = 0;                ///< kg
  Vec3 com{};
  Mat3 inertia_about_com{0};  ///< kg m2
};

/// A place on the skin that can touch the floor.
struct ContactPoint {
  enum class Part : unsigned char { foot, hand, head, other };
  Segment segment = Segment::pelvis;
  Part part = Part::other;
  Vec3 point{};  ///< m, in the segment's axes
};

/// Body of one athlete: the 16 segments in the order of Segment; the pelvis starts at the middle between the
/// hips.
struct HumanBody {
  std::array<HumanSegment, segment_count> segments;
  std::vector<ContactPoint> contacts;
  double mass = 0;                                     ///< kg
  double height = 0;                                   ///< m, as the athlete gave it
  double leg_length = 0;                               ///< hip joint to sole when standing, m
  double shoulder_half_width = 0, hip_half_width = 0;  ///< joint centres from the midline, m
};

/// Lengths scale with height, masses with mass. Table masses are divided by their sum (99.99 % for women), so
/// that segment masses add up to the athlete's. Height in (0.5, 2.5) m and mass in (10, 250) kg, as files are
/// checked.
[[nodiscard]] HumanBody human_body(const Athlete& athlete);

/// Where every segment is, in the axes of the pelvis from the middle between the hips.
struct SegmentPlaces {
  std::array<Mat3, segment_count> rotation;  ///< segment -> pelvis
  std::array<Vec3, segment_count> origin;    ///< joint centres, m
};
[[nodiscard]] SegmentPlaces segment_places(const HumanBody& body, const Pose& pose);
/// Centre of mass of a body whose segments are there, from the middle between the hips, m.
[[nodiscard]] Vec3 centre_of_mass(const HumanBody& body, const SegmentPlaces& places);

/// The body as a whole in one pose, in the axes of the pelvis.
struct WholeBody {
  Vec3 com{};                        ///< from the middle between the hips, m
  Mat3 inertia{0};                   ///< about the centre of mass, kg m2
  Vec3 relative_angular_momentum{};  ///< about the centre of mass, from joint motion alone, kg m2/s
};
[[nodiscard]] WholeBody whole_body(const HumanBody& body, const Pose& pose);
/// The same while the joint angles change at `rate`, rad/s.
[[nodiscard]] WholeBody whole_body(const HumanBody& body, const Pose& pose, const Pose& rate);

/// Height of the centre of mass over the lowest contact point, m, with the pelvis turned to q_WB.
[[nodiscard]] double com_above_lowest_point(const HumanBody& body, const Pose& pose, const Quat& q_WB);

}  // namespace halfturn
