#pragma once

#include <optional>
#include <vector>

#include "base/result.hpp"

namespace halfturn {

/// How far the chest has turned since takeoff in one frame of a video, as a coach sees it.
struct TurnMark {
  double frame = 0;
  double turned_deg = 0;  ///< + to the left, whole turns counted
};

/// What a coach marks in a video, frame by frame.
struct FrameMarks {
  double frames_per_second = 0;     ///< of the camera, not of the playback
  double takeoff = 0, landing = 0;  ///< first frame in the air, first frame of contact
  std::vector<TurnMark> turned;     ///< in any order
};

/// The twist of a drawn flight that goes best through the marks.
struct FittedTwist {
  double air_turn_deg = 0;    ///< + left
  double onset = 0, end = 1;  ///< shares of the flight, in steps of 0.01
  double error_deg = 0;       ///< root mean square at the marks
};

/// Measured from a video. By eye: a facing is good to about 20 degrees, a moment to half a frame.
struct FrameMeasures {
  double air_time_s = 0, air_time_doubt_s = 0;
  std::optional<double> mean_rate_deg_s;     ///< of the turn between the first and the last mark, + left
  std::optional<double> fastest_rate_deg_s;  ///< between two marks that follow each other
  std::optional<FittedTwist> fit;            ///< from three marks in the flight on
};

/// Problems name the option of `halfturn measure`.
[[nodiscard]] Result<FrameMeasures> measure_frames(const FrameMarks& marks);

}  // namespace halfturn
