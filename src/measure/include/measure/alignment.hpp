#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "measure/find_flight.hpp"
#include "measure/recording.hpp"

namespace halfturn {

/// One of the six directions along the axes of a frame.
struct SignedAxis {
  int index = 0;    ///< 0 x, 1 y, 2 z
  double sign = 1;  ///< +1 or -1
  [[nodiscard]] Vec3 vector() const;
  [[nodiscard]] std::string word() const;  ///< "x", "-z"
  friend bool operator==(const SignedAxis&, const SignedAxis&) = default;
};
/// "x", "+y", "-z"; empty for anything else.
[[nodiscard]] std::optional<SignedAxis> signed_axis(std::string_view word);
/// The axis within about 21 degrees of a unit direction; empty where there is none.
[[nodiscard]] std::optional<SignedAxis> nearest_axis(const Vec3& direction);

/// A turn on the spot that the coach knows.
struct KnownTurn {
  Span span;
  double turn_deg = 0;  ///< + to the left
};

/// What a person says about the axes of a record; all may be left open. Sensor axes are those of the file.
struct FrameAnswers {
  std::optional<SignedAxis> world_up;             ///< axis of the record's world that points up
  std::optional<bool> world_to_sensor;            ///< orientations map world -> sensor
  std::optional<bool> left_handed;                ///< axes of the record are left-handed
  std::optional<bool> rest_reads_down;            ///< the accelerometer at rest reads down, not up
  std::optional<SignedAxis> forward, up;          ///< sensor axes that point where the chest and the head do
  std::optional<Span> still;                      ///< standing upright and still
  std::optional<KnownTurn> turn;                  ///< a known turn on the spot
  std::optional<Span> bow;                        ///< a bow forward from the still stance
  std::optional<double> flip_toward_deg;          ///< 0 front, 180 back, +90 left, from the chest at takeoff
  std::optional<double> planned_flip_toward_deg;  ///< the same from a plan; used where nothing else tells
  std::optional<double> start_heading_deg;        ///< where the chest faces in the still stance
};

/// Gives a record with gyroscope and accelerometer its orientations, sensor -> W with W's Y up: clipped rates
/// are bridged, the bias of the still stretches is taken off, the rest is integrated on the rotation group.
/// Problems are questions as below.
[[nodiscard]] Outcome orient_by_rate(Recording& recording, const FrameAnswers& answers);

/// Brings a record with orientations into right-handed axes, orientations sensor -> W with W's Y up (its
/// heading as recorded), forces that read up at rest, places in W. Adds to the record's conventions what was
/// given, found or assumed. `answers.forward` and `up` are carried along when axes are mirrored. Problems are
/// questions: the place names the option that would answer.
[[nodiscard]] Outcome settle_world(Recording& recording, FrameAnswers& answers);

/// How the body sits in the sensor: q_WB = Ry(heading_shift) q_WS q_SB.
struct Alignment {
  Quat q_SB{1, 0, 0, 0};
  double heading_shift = 0;    ///< rad
  std::optional<Span> stance;  ///< standing upright and still before takeoff
  double doubt = 0;            ///< rad, about one standard deviation of the mounting
  bool chest_known = true;     ///< false: no flip, and nothing tells which way the chest faces; not needed
  std::vector<Convention> conventions;
};

/// Solves the mounting for one flight of a settled record. Problems are questions as above.
[[nodiscard]] Result<Alignment> align(const Recording& recording, const FrameAnswers& answers,
                                      const FoundFlight& flight);

}  // namespace halfturn
