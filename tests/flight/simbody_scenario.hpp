#pragma once

#include "body/tree.hpp"
#include "simbody_flight.hpp"

/// Our bodies and tracks in the plain terms of the seam to Simbody.
namespace simbody {

inline std::array<double, 3> array_of(const halfturn::Vec3& v) {
  return {v.x, v.y, v.z};
}

inline std::vector<Part> parts_of(const halfturn::BodyTree& tree) {
  std::vector<Part> parts;
  for (const halfturn::TreeSegment& s : tree.segments()) {
    const halfturn::Mat3& i = s.inertia_about_com;
    parts.push_back({s.parent ? static_cast<int>(*s.parent) : -1,
                     array_of(s.joint_centre_in_parent),
                     s.axes,
                     s.mass,
                     array_of(s.com),
                     {i[0][0], i[1][1], i[2][2], i[0][1], i[0][2], i[1][2]}});
  }
  return parts;
}

inline std::vector<Track> tracks_of(const halfturn::JointTracks& tracks) {
  std::vector<Track> result;
  for (const halfturn::JointTrack& track : tracks) {
    Track& copy = result.emplace_back();
    copy.start = track.start;
    for (const auto& blend : track.blends) copy.blends.push_back({blend.start, blend.end, blend.by});
  }
  return result;
}

}  // namespace simbody
