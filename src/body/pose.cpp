#include "body/pose.hpp"

#include <algorithm>
#include <utility>

#include "base/expect.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

struct SegmentRow {
  std::string_view name;
  Segment parent;
  Segment other;
};

constexpr std::array<SegmentRow, segment_count> rows{{
    {"pelvis", Segment::pelvis, Segment::pelvis},
    {"abdomen", Segment::pelvis, Segment::abdomen},
    {"thorax", Segment::abdomen, Segment::thorax},
    {"head", Segment::thorax, Segment::head},
    {"upper_arm_left", Segment::thorax, Segment::upper_arm_right},
    {"forearm_left", Segment::upper_arm_left, Segment::forearm_right},
    {"hand_left", Segment::forearm_left, Segment::hand_right},
    {"upper_arm_right", Segment::thorax, Segment::upper_arm_left},
    {"forearm_right", Segment::upper_arm_right, Segment::forearm_left},
    {"hand_right", Segment::forearm_right, Segment::hand_left},
    {"thigh_left", Segment::pelvis, Segment::thigh_right},
    {"shank_left", Segment::thigh_left, Segment::shank_right},
    {"foot_left", Segment::shank_left, Segment::foot_right},
    {"thigh_right", Segment::pelvis, Segment::thigh_left},
    {"shank_right", Segment::thigh_right, Segment::shank_left},
    {"foot_right", Segment::shank_right, Segment::foot_left},
}};

const SegmentRow& row(Segment segment) {
  return rows[static_cast<std::size_t>(segment)];
}

}  // namespace

std::string_view segment_name(Segment segment) {
  return row(segment).name;
}
Segment parent_of(Segment segment) {
  return row(segment).parent;
}
Segment other_side(Segment segment) {
  return row(segment).other;
}

Pose mirrored(const Pose& pose) {
  Pose image;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const Vec3& angles = pose.angles[s];
    image[other_side(static_cast<Segment>(s))] = Vec3(-angles.x, -angles.y, angles.z);
  }
  return image;
}

Pose blend(const Pose& from, const Pose& to, double u) {
  Pose between;
  for (std::size_t s = 0; s < segment_count; ++s) {
    between.angles[s] = from.angles[s] + u * (to.angles[s] - from.angles[s]);
  }
  return between;
}

Quat joint_rotation(const Pose& pose, Segment segment) {
  const Vec3& angles = pose[segment];
  return rotation_z(angles.z) * rotation_x(angles.x) * rotation_y(angles.y);
}

ShapeTrack::ShapeTrack(std::vector<Key> keys) : keys_(std::move(keys)) {
  for (std::size_t k = 1; k < keys_.size(); ++k) HT_EXPECT(keys_[k - 1].time <= keys_[k].time);
}

Pose ShapeTrack::at(double time) const {
  if (keys_.empty()) return {};
  const auto after = std::upper_bound(keys_.begin(), keys_.end(), time,
                                      [](double t, const Key& key) { return t < key.time; });
  if (after == keys_.begin()) return keys_.front().pose;
  if (after == keys_.end()) return keys_.back().pose;
  const Key& from = *(after - 1);
  return blend(from.pose, after->pose, minimum_jerk((time - from.time) / (after->time - from.time)));
}

ShapeTrack mirrored(const ShapeTrack& track) {
  std::vector<ShapeTrack::Key> keys = track.keys();
  for (ShapeTrack::Key& key : keys) key.pose = mirrored(key.pose);
  return ShapeTrack(std::move(keys));
}

}  // namespace halfturn
