#include "body/tree.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "body/human.hpp"
#include "body/mass_properties.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double inertia_tolerance = 1e-9;  // of the greatest entry: rounding in a file, no more

std::string place_of(std::size_t segment, std::string_view key) {
  return "segments[" + std::to_string(segment) + "]." + std::string(key);
}

bool finite(const Vec3& v) {
  return std::isfinite(v.x) && std::isfinite(v.y) && std::isfinite(v.z);
}

/// What keeps a matrix from being an inertia, or nothing.
std::string_view inertia_fault(const Mat3& inertia) {
  double greatest = 0;
  for (int i = 0; i < 3; ++i) {
    if (!finite(inertia[i])) return "must be finite numbers";
    for (int k = 0; k < 3; ++k) greatest = std::max(greatest, std::abs(inertia[i][k]));
  }
  const double slack = inertia_tolerance * greatest;
  for (int i = 0; i < 3; ++i) {
    for (int k = 0; k < i; ++k) {
      if (std::abs(inertia[i][k] - inertia[k][i]) > slack) return "is not symmetric";
    }
  }
  const Vec3 moments = principal_axes(inertia).moments;
  if (moments.x < -slack) return "has a negative principal moment";
  if (moments.x + moments.y < moments.z - slack)
    return "breaks the triangle inequality: no principal moment can exceed the sum of the other two";
  return {};
}

Outcome check_segment(const std::vector<TreeSegment>& segments, std::size_t i) {
  const TreeSegment& segment = segments[i];
  if (segment.name.empty()) return Problem{"", place_of(i, "name"), "is empty, every segment needs a name"};
  for (std::size_t k = 0; k < i; ++k) {
    if (segments[k].name == segment.name)
      return Problem{"", place_of(i, "name"), "\"" + segment.name + "\" is used twice"};
  }
  if (i == 0 && segment.parent)
    return Problem{"", place_of(i, "parent"), "the first segment is the root, its parent must be null"};
  if (i > 0 && !segment.parent)
    return Problem{"", place_of(i, "parent"), "is null, but only the first segment can be the root"};
  if (segment.parent && *segment.parent >= i)
    return Problem{"", place_of(i, "parent"), "must come before its child"};
  if (!finite(segment.joint_centre_in_parent))
    return Problem{"", place_of(i, "joint_centre_in_parent_m"), "must be finite numbers"};
  if (i == 0 && segment.joint_centre_in_parent != Vec3(0))
    return Problem{"", place_of(i, "joint_centre_in_parent_m"), "must be 0, 0, 0 for the root"};
  if (i == 0 && !segment.axes.empty()) return Problem{"", place_of(i, "axes"), "must be empty for the root"};
  for (std::size_t a = 0; a < segment.axes.size(); ++a) {
    if (segment.axes[a] < 'x' || segment.axes[a] > 'z')
      return Problem{"", place_of(i, "axes") + "[" + std::to_string(a) + "]", "must be x, y or z"};
  }
  if (!std::isfinite(segment.mass)) return Problem{"", place_of(i, "mass_kg"), "must be a finite number"};
  if (segment.mass < 0) return Problem{"", place_of(i, "mass_kg"), "is negative, a mass cannot be"};
  if (!finite(segment.com)) return Problem{"", place_of(i, "com_m"), "must be finite numbers"};
  const std::string_view fault = inertia_fault(segment.inertia_about_com);
  if (!fault.empty()) return Problem{"", place_of(i, "inertia_about_com_kgm2"), std::string(fault)};
  return std::nullopt;
}

double progress(double time, const JointTrack::Blend& blend) {
  if (blend.end > blend.start) return minimum_jerk((time - blend.start) / (blend.end - blend.start));
  return time < blend.start ? 0.0 : 1.0;
}

}  // namespace

Result<BodyTree> BodyTree::make(std::vector<TreeSegment> segments, std::size_t reference) {
  if (segments.empty()) return Problem{"", "segments", "is empty, a body needs at least one segment"};
  if (reference >= segments.size()) return Problem{"", "reference_segment", "must be one of the segments"};
  BodyTree tree;
  for (std::size_t i = 0; i < segments.size(); ++i) {
    if (Outcome problem = check_segment(segments, i)) return *std::move(problem);
    // Rounding in a file must not make the whole body's inertia lopsided.
    Mat3& inertia = segments[i].inertia_about_com;
    inertia = 0.5 * (inertia + glm::transpose(inertia));
    tree.first_coordinate_.push_back(tree.coordinate_count_);
    tree.coordinate_count_ += segments[i].axes.size();
    tree.mass_ += segments[i].mass;
  }
  if (!(tree.mass_ > 0) || !std::isfinite(tree.mass_))
    return Problem{"", "segments", "the total mass is 0, a body needs mass"};
  tree.segments_ = std::move(segments);
  tree.reference_ = reference;
  return tree;
}

std::optional<std::size_t> BodyTree::find(std::string_view name) const {
  for (std::size_t i = 0; i < segments_.size(); ++i) {
    if (segments_[i].name == name) return i;
  }
  return std::nullopt;
}

JointTrack JointTrack::from_keys(const std::vector<Key>& keys) {
  JointTrack track;
  if (keys.empty()) return track;
  track.start = keys.front().angle;
  for (std::size_t k = 1; k < keys.size(); ++k) {
    HT_EXPECT(keys[k - 1].time <= keys[k].time);
    if (keys[k].angle != keys[k - 1].angle)
      track.blends.push_back({keys[k - 1].time, keys[k].time, keys[k].angle - keys[k - 1].angle});
  }
  return track;
}

double JointTrack::angle(double time) const {
  double angle = start;
  for (const Blend& blend : blends) angle += blend.by * progress(time, blend);
  return angle;
}

double JointTrack::rate(double time) const {
  double rate = 0;
  for (const Blend& blend : blends) {
    const double length = blend.end - blend.start;
    if (length > 0) rate += blend.by * minimum_jerk_rate((time - blend.start) / length) / length;
  }
  return rate;
}

BodyTree human_tree(const HumanBody& body) {
  std::vector<TreeSegment> segments(segment_count);
  for (std::size_t i = 0; i < segment_count; ++i) {
    const Segment name = static_cast<Segment>(i);
    const HumanSegment& part = body.segments[i];
    segments[i] = {std::string(segment_name(name)),
                   std::nullopt,
                   part.joint_centre_in_parent,
                   "zxy",
                   part.mass,
                   part.com,
                   part.inertia_about_com};
    if (i == 0) {
      segments[i].axes.clear();
    } else {
      segments[i].parent = static_cast<std::size_t>(parent_of(name));
    }
  }
  Result<BodyTree> tree = BodyTree::make(std::move(segments), 0);
  HT_EXPECT(tree.ok());
  return std::move(tree).value();
}

JointTracks joint_tracks(const ShapeTrack& shape) {
  // The pelvis has no joint; the other segments have the angles z, x, y in this order.
  constexpr int component[] = {2, 0, 1};
  JointTracks tracks(3 * (segment_count - 1));
  const auto& keys = shape.keys();
  if (keys.empty()) return tracks;
  for (std::size_t s = 1; s < segment_count; ++s) {
    for (std::size_t a = 0; a < 3; ++a) {
      std::vector<JointTrack::Key> angles;
      angles.reserve(keys.size());
      for (const ShapeTrack::Key& key : keys) angles.push_back({key.time, key.pose.angles[s][component[a]]});
      JointTrack& track = tracks[3 * (s - 1) + a];
      track = JointTrack::from_keys(angles);
      double reached = track.start;
      for (const ShapeTrack::Movement& movement : shape.movements()) {
        if (!movement.segments.contains(static_cast<Segment>(s))) continue;
        const double target = movement.to.angles[s][component[a]];
        if (target != reached) track.blends.push_back({movement.start, movement.end, target - reached});
        reached = target;
      }
    }
  }
  return tracks;
}

}  // namespace halfturn
