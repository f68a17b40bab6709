#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/result.hpp"
#include "body/tree.hpp"

namespace halfturn {

/// A motion (`halfturn-motion`, version 1) of one body in free flight. One of momentum and rate is given.
struct MotionFile {
  std::string name;
  double duration_s = 0;  ///< > 0
  double output_hz = 0;   ///< > 0
  Quat takeoff_q_WB{1, 0, 0, 0};
  std::optional<Vec3> angular_momentum_W;  ///< kg m2/s
  std::optional<Vec3> omega_B;             ///< of the reference segment at t = 0, rad/s
  JointTracks tracks;                      ///< one for each coordinate of the body
};

/// Most rows that a motion may ask for.
inline constexpr double most_output_rows = 5e6;

/// Reads a motion for a body. An axis that a joint has more than once turns by the same angle each time.
[[nodiscard]] Result<MotionFile> read_motion(std::string_view text, const std::string& file,
                                             const BodyTree& body);

}  // namespace halfturn
