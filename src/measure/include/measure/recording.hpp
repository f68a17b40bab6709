#pragma once

#include <glm/vec3.hpp>
#include <optional>
#include <string>
#include <vector>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// Three numbers of a sensor; sensors give less than seven digits, so half the memory of Vec3.
using Reading = glm::vec3;

/// Something the measuring takes for granted, and why: shown with every result.
struct Convention {
  std::string what;   ///< for instance "up"
  std::string value;  ///< for instance "z of the record's world"
  std::string how;    ///< "given", "named in the header", "found: ..." or "assumed: ..."
};

/// A stretch of a record, s from its first row.
struct Span {
  double from = 0, to = 0;
};

/// A stretch in which one axis of the gyroscope was at its limit, and what the bridge over it adds, rad.
struct ClippedSpan {
  Span span;
  int axis = 0;
  double added = 0;
};

/// What came to light about a gyroscope that was integrated.
struct Gyroscope {
  Vec3 bias{0};            ///< taken off, rad/s in sensor axes, at the first still stretch
  double bias_change = 0;  ///< greatest difference between still stretches, rad/s
  double bias_doubt = 0;   ///< about one standard deviation, rad/s
  double tilt_drift = 0;   ///< greatest angle between integrated and felt up at a still stretch, rad
  double limit = 0;        ///< rad/s; 0: never reached
  std::vector<ClippedSpan> clips;
};

/// Directions of a skeleton whose every angle is 0, in the axes of the record: unit vectors.
struct RestPose {
  Vec3 up{0, 1, 0};                    ///< from the trunk to the head
  std::optional<Vec3> right, forward;  ///< square to it: from left to right joints, the way the feet point
};

/// What one sensor or one body of a motion capture wrote down. Columns are empty or as long as `time`.
/// Axes are the record's own; what they mean for the body is settled by the alignment.
struct Recording {
  std::vector<double> time;             ///< s from the first row, strictly ascending
  double clock_start = 0;               ///< what the file's own clock says at the first row, s
  std::vector<Quat> orientation;        ///< unit; sensor -> world of the record, unless said otherwise
  std::vector<Reading> rate;            ///< angular velocity in sensor axes, rad/s
  std::vector<Reading> force;           ///< what the accelerometer reads in sensor axes, m/s2
  std::vector<Reading> place;           ///< of the sensor or the body's middle, world of the record, m
  std::vector<float> height;            ///< of the centre of mass, m, + up
  std::optional<Gyroscope> gyroscope;   ///< where the orientations were integrated from its rates
  std::optional<RestPose> rest;         ///< of the skeleton whose trunk this is
  bool from_skeleton = false;           ///< its axes at rest are those of a skeleton, whatever way it faces
  bool y_up = false;                    ///< the record's world has Y up, as Halfturn's
  bool own_table = false;               ///< the header is that of Halfturn's own orientation tables
  int duplicates = 0;                   ///< rows dropped because their time was that of the row before
  int empty_rows = 0;                   ///< rows dropped because they hold no number beside the time
  double step = 0;                      ///< middle step between rows, s
  double longest_step = 0;              ///< s
  double longest_step_at = 0;           ///< time of the row before it, s
  double norm_error = 0;                ///< greatest | |q| - 1 | in the file
  std::vector<Convention> conventions;  ///< units and columns, and how they are known

  [[nodiscard]] std::size_t size() const { return time.size(); }
};

/// Index of the last sample at or before a time; 0 before the first.
[[nodiscard]] std::size_t sample_before(const Recording& recording, double time);

/// Fills step, longest_step and longest_step_at. At least two samples.
void note_steps(Recording& recording);

/// Angular velocity in sensor axes, rad/s, near sample i: the gyroscope's where there is one, else from the
/// orientations within about 10 ms on either side.
[[nodiscard]] Vec3 rate_at(const Recording& recording, std::size_t i);
/// The same from the orientations of two samples, first < last.
[[nodiscard]] Vec3 rate_of_orientation(const Recording& recording, std::size_t first, std::size_t last);

/// Stretches of at least `shortest` s in which nothing turns faster than 15 degrees per second and the
/// accelerometer, where there is one, reads the same within a twentieth of gravity; ascending.
[[nodiscard]] std::vector<Span> still_spans(const Recording& recording, double shortest = 0.2);

/// Orientation at a time by smooth interpolation; clamped to the record.
[[nodiscard]] Quat orientation_at(const Recording& recording, double time);

}  // namespace halfturn
