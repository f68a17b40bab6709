#pragma once

#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "body/human.hpp"
#include "flight/simulated.hpp"

/// Flights of the human body that several tests share.
namespace scenario {

using halfturn::BodyTree;
using halfturn::JointTrack;
using halfturn::JointTracks;

/// One joint angle over time, degrees: "segment axis" and its keys.
struct Move {
  std::string joint;
  std::vector<std::pair<double, double>> keys_deg;
};
struct Scenario {
  const char* name;
  double duration;
  halfturn::Spin takeoff;
  std::vector<Move> moves;
};

inline JointTracks tracks_of(const BodyTree& tree, const std::vector<Move>& moves) {
  JointTracks tracks(tree.coordinate_count());
  for (const Move& move : moves) {
    const std::size_t segment = *tree.find(move.joint.substr(0, move.joint.size() - 2));
    const std::size_t axis = tree.segments()[segment].axes.find(move.joint.back());
    std::vector<JointTrack::Key> keys;
    for (const auto& [time, degrees] : move.keys_deg) keys.push_back({time, halfturn::to_rad(degrees)});
    tracks[tree.first_coordinate(segment) + axis] = JointTrack::from_keys(keys);
  }
  return tracks;
}

inline std::vector<Scenario> all() {
  using halfturn::rotation_x;
  using halfturn::Spin;
  using halfturn::to_rad;
  using halfturn::Vec3;
  const auto both = [](std::vector<Move> moves, const std::string& part, const std::string& axis,
                       std::vector<std::pair<double, double>> keys) {
    moves.push_back({part + "_left " + axis, keys});
    moves.push_back({part + "_right " + axis, keys});
    return moves;
  };
  std::vector<Move> tuck{{"head z", {{0.05, 0}, {0.3, -30}, {0.9, -30}, {1.1, 0}}},
                         {"abdomen z", {{0.05, 0}, {0.3, -30}, {0.9, -30}, {1.1, 0}}}};
  tuck = both(tuck, "thigh", "z", {{0.05, 0}, {0.3, 125}, {0.9, 125}, {1.15, 10}});
  tuck = both(tuck, "shank", "z", {{0.05, 0}, {0.3, -125}, {0.9, -125}, {1.15, -5}});
  tuck = both(tuck, "upper_arm", "z", {{0.05, 160}, {0.35, 35}, {0.9, 35}, {1.2, 140}});
  tuck = both(tuck, "forearm", "z", {{0.05, 0}, {0.35, 70}, {0.9, 70}, {1.2, 0}});
  return {
      {"layout, arm lowered",
       1.0,
       {halfturn::Quat(1, 0, 0, 0), Vec3(0, 0, 60)},
       {{"upper_arm_right x", {{0, -160}, {0.1, -160}, {0.35, 0}}}, {"upper_arm_left x", {{0, 160}}}}},
      {"wrap and open",
       1.0,
       {rotation_x(to_rad(6)), Vec3(3, 2, 75)},
       {{"upper_arm_right x", {{0.05, -140}, {0.3, -10}, {0.7, -10}, {0.9, -90}}},
        {"upper_arm_left x", {{0.1, 100}, {0.3, 10}, {0.7, 10}, {0.9, 90}}},
        {"forearm_left z", {{0.1, 0}, {0.3, 110}, {0.7, 110}, {0.85, 0}}},
        {"forearm_right z", {{0.05, 0}, {0.3, 110}, {0.7, 110}, {0.85, 0}}},
        {"thorax y", {{0.0, 25}, {0.3, -10}, {0.9, 5}}}}},
      {"tuck and open", 1.3, {rotation_x(to_rad(1)), Vec3(0, 1, 55)}, tuck},
      {"zero momentum",
       1.2,
       {rotation_x(0.2), Vec3(0)},
       {{"upper_arm_right x", {{0.0, -150}, {0.4, 0}, {0.8, 0}, {1.2, -150}}},
        {"upper_arm_right z", {{0.2, 0}, {0.6, 90}, {1.0, 0}}},
        {"abdomen x", {{0.0, 0}, {0.3, 20}, {0.6, 0}, {0.9, -20}, {1.2, 0}}},
        {"abdomen z", {{0.0, -20}, {0.3, 0}, {0.6, 15}, {0.9, 0}, {1.2, -20}}},
        {"thigh_left z", {{0.1, 0}, {0.5, 80}, {1.0, 0}}}}},
  };
}

}  // namespace scenario
