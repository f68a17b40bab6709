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

SegmentSet mirrored(const SegmentSet& set) {
  SegmentSet image;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    if (set.contains(segment)) image = image | SegmentSet{other_side(segment)};
  }
  return image;
}

ShapeTrack::ShapeTrack(std::vector<Key> keys) : keys_(std::move(keys)) {
  for (std::size_t k = 1; k < keys_.size(); ++k) HT_EXPECT(keys_[k - 1].time <= keys_[k].time);
}

ShapeTrack::ShapeTrack(const Pose& from, std::vector<Movement> movements)
    : keys_{{0.0, from}}, movements_(std::move(movements)) {
  Pose reached = from;
  deltas_.reserve(movements_.size());
  for (const Movement& movement : movements_) {
    HT_EXPECT(movement.start <= movement.end);
    Pose& delta = deltas_.emplace_back();
    for (std::size_t s = 0; s < segment_count; ++s) {
      if (!movement.segments.contains(static_cast<Segment>(s))) continue;
      delta.angles[s] = movement.to.angles[s] - reached.angles[s];
      reached.angles[s] = movement.to.angles[s];
    }
  }
}

namespace {

/// Share of a movement that is done.
double progress(double time, double start, double end) {
  return end > start ? minimum_jerk((time - start) / (end - start)) : (time < start ? 0.0 : 1.0);
}
double progress_rate(double time, double start, double end) {
  return end > start ? minimum_jerk_rate((time - start) / (end - start)) / (end - start) : 0.0;
}

/// Keys around a time; both the same beyond the ends.
std::pair<const ShapeTrack::Key*, const ShapeTrack::Key*> keys_around(
    const std::vector<ShapeTrack::Key>& keys, double time) {
  const auto after = std::upper_bound(keys.begin(), keys.end(), time,
                                      [](double t, const ShapeTrack::Key& key) { return t < key.time; });
  const ShapeTrack::Key* last = &keys.back();
  if (after == keys.begin()) return {&keys.front(), &keys.front()};
  if (after == keys.end()) return {last, last};
  return {&*(after - 1), &*after};
}

}  // namespace

Pose ShapeTrack::at(double time) const {
  if (keys_.empty()) return {};
  const auto [from, to] = keys_around(keys_, time);
  Pose pose = from == to ? from->pose : blend(from->pose, to->pose, progress(time, from->time, to->time));
  for (std::size_t m = 0; m < movements_.size(); ++m) {
    const double done = progress(time, movements_[m].start, movements_[m].end);
    if (done == 0) continue;
    for (std::size_t s = 0; s < segment_count; ++s) pose.angles[s] += done * deltas_[m].angles[s];
  }
  return pose;
}

Pose ShapeTrack::rate(double time) const {
  Pose rate;
  if (keys_.empty()) return rate;
  const auto [from, to] = keys_around(keys_, time);
  if (from != to) {
    const double speed = progress_rate(time, from->time, to->time);
    for (std::size_t s = 0; s < segment_count; ++s) {
      rate.angles[s] = speed * (to->pose.angles[s] - from->pose.angles[s]);
    }
  }
  for (std::size_t m = 0; m < movements_.size(); ++m) {
    const double speed = progress_rate(time, movements_[m].start, movements_[m].end);
    if (speed == 0) continue;
    for (std::size_t s = 0; s < segment_count; ++s) rate.angles[s] += speed * deltas_[m].angles[s];
  }
  return rate;
}

std::vector<double> ShapeTrack::corners() const {
  std::vector<double> times;
  for (const Key& key : keys_) times.push_back(key.time);
  for (const Movement& movement : movements_) {
    times.push_back(movement.start);
    times.push_back(movement.end);
  }
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end()), times.end());
  return times;
}

ShapeTrack mirrored(const ShapeTrack& track) {
  if (track.movements().empty()) {
    std::vector<ShapeTrack::Key> keys = track.keys();
    for (ShapeTrack::Key& key : keys) key.pose = mirrored(key.pose);
    return ShapeTrack(std::move(keys));
  }
  std::vector<ShapeTrack::Movement> movements = track.movements();
  for (ShapeTrack::Movement& movement : movements) {
    movement.segments = mirrored(movement.segments);
    movement.to = mirrored(movement.to);
  }
  return ShapeTrack(mirrored(track.keys().front().pose), std::move(movements));
}

}  // namespace halfturn
