// Orientation from a gyroscope: its bias from the still stretches, its limit, and the integration on the
// group.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <string>
#include <vector>

#include "base/expect.hpp"
#include "consistency.hpp"
#include "flight/simulated.hpp"
#include "measure/alignment.hpp"
#include "rotation/heading.hpp"
#include "rotation/integrate.hpp"

namespace halfturn {
namespace {

constexpr double bias_doubt_floor_deg_s = 0.03;  // a bias wanders by about this within a minute: an estimate
constexpr double most_rate_deg_s = 7000;         // two axes at a limit of 4000, and some
const double most_tilt_drift = to_rad(30.0);     // beyond it the numbers do not belong together
constexpr std::size_t shortest_clip = 3;         // samples in a row at the very same greatest value

/// Ranges that gyroscopes are sold with, deg/s, and what those that count 16 bits by 0.07 / 8 reach: common
/// practice. A rate that stays elsewhere is a steady turn.
bool is_sensor_limit(double rate) {
  for (const double range : {125.0, 250.0, 286.7, 500.0, 573.4, 1000.0, 1146.9, 2000.0, 2293.8, 4000.0}) {
    if (std::abs(to_deg(rate) - range) < 0.02 * range) return true;
  }
  return false;
}

/// Mean rate and force over one still stretch.
struct Still {
  Span span;
  double middle = 0;
  Vec3 rate{0}, force{0};
  double rate_doubt = 0;  // of the mean, rad/s
};

std::vector<Still> stills_of(const Recording& recording) {
  std::vector<Still> stills;
  for (const Span& span : still_spans(recording)) {
    Still still{span, 0.5 * (span.from + span.to)};
    // The ends of a still stretch are the beginnings of movements.
    const double trim = std::min(0.1, 0.2 * (span.to - span.from));
    double count = 0, square = 0;
    for (std::size_t i = sample_before(recording, span.from + trim); i < recording.size(); ++i) {
      if (recording.time[i] > span.to - trim) break;
      const Vec3 rate(recording.rate[i]);
      still.rate += rate;
      still.force += Vec3(recording.force[i]);
      square += glm::dot(rate, rate);
      ++count;
    }
    still.rate /= count;
    still.force /= count;
    const double variance = std::max(0.0, square / count - glm::dot(still.rate, still.rate));
    still.rate_doubt = std::sqrt(variance / count);
    stills.push_back(still);
  }
  return stills;
}

/// The bias at a time: between two still stretches the one goes evenly over into the other.
Vec3 bias_at(const std::vector<Still>& stills, double time) {
  if (time <= stills.front().middle) return stills.front().rate;
  for (std::size_t k = 1; k < stills.size(); ++k) {
    if (time > stills[k].middle) continue;
    const double u = (time - stills[k - 1].middle) / (stills[k].middle - stills[k - 1].middle);
    return stills[k - 1].rate + u * (stills[k].rate - stills[k - 1].rate);
  }
  return stills.back().rate;
}

/// Finds where a component stays at its very limit and bridges it by a cubic from the slopes on both sides.
void bridge_clips(Recording& recording, int axis) {
  std::vector<Reading>& rate = recording.rate;
  const std::vector<double>& time = recording.time;
  float limit = 0;
  for (const Reading& reading : rate) limit = std::max(limit, std::abs(reading[axis]));
  if (!is_sensor_limit(static_cast<double>(limit))) return;
  const float near = limit * (1 - 1e-4F);
  const auto at_limit = [&](std::size_t i, float sign) { return sign * rate[i][axis] >= near; };
  for (std::size_t i = 0; i < rate.size(); ++i) {
    const float sign = rate[i][axis] < 0 ? -1.0F : 1.0F;
    if (!at_limit(i, sign)) continue;
    std::size_t end = i;
    while (end + 1 < rate.size() && at_limit(end + 1, sign)) ++end;
    const std::size_t next = end + 1;
    if (end - i + 1 >= shortest_clip) {
      ClippedSpan clip{{time[i], time[end]}, axis, 0};
      // Slopes over three samples on either side; without them it stays flat.
      if (i >= 4 && next + 3 < rate.size()) {
        const std::size_t a = i - 1, b = next;
        const double span = time[b] - time[a];
        const auto value = [&](std::size_t k) { return static_cast<double>(rate[k][axis]); };
        const double slope_a = (value(a) - value(a - 3)) / (time[a] - time[a - 3]) * span;
        const double slope_b = (value(b + 3) - value(b)) / (time[b + 3] - time[b]) * span;
        const double from = value(a), to = value(b);
        for (std::size_t k = i; k <= end; ++k) {
          const double u = (time[k] - time[a]) / span;
          const double bridged = (1 + 2 * u) * (1 - u) * (1 - u) * from + u * (1 - u) * (1 - u) * slope_a +
                                 u * u * (3 - 2 * u) * to - u * u * (1 - u) * slope_b;
          const double more = std::max(0.0, static_cast<double>(sign) * bridged - static_cast<double>(limit));
          clip.added += more * 0.5 * (time[k + 1] - time[k - 1]);
          rate[k][axis] = sign * (limit + static_cast<float>(more));
        }
      }
      recording.gyroscope->clips.push_back(clip);
      recording.gyroscope->limit = std::max(recording.gyroscope->limit, static_cast<double>(limit));
    }
    i = end;
  }
}

/// The rate between samples: a cubic through them, a straight line beside a gap.
Vec3 rate_between(const Recording& recording, std::size_t i, double time) {
  const std::vector<double>& t = recording.time;
  const double step = t[i + 1] - t[i], u = (time - t[i]) / step;
  const Vec3 p(recording.rate[i]), q(recording.rate[i + 1]);
  const bool even =
      i > 0 && i + 2 < t.size() && t[i] - t[i - 1] < 1.7 * step && t[i + 2] - t[i + 1] < 1.7 * step;
  if (!even) return p + u * (q - p);
  const Vec3 slope_p = step * (q - Vec3(recording.rate[i - 1])) / (t[i + 1] - t[i - 1]);
  const Vec3 slope_q = step * (Vec3(recording.rate[i + 2]) - p) / (t[i + 2] - t[i]);
  const double v = 1 - u;
  return (1 + 2 * u) * v * v * p + u * v * v * slope_p + u * u * (3 - 2 * u) * q - u * u * v * slope_q;
}

}  // namespace

Outcome orient_by_rate(Recording& recording, const FrameAnswers& answers) {
  HT_EXPECT(!recording.rate.empty() && !recording.force.empty());
  if (!answers.rest_reads_down && !answers.turn) {
    return Problem{
        "", "--rest",
        "devices differ in whether the accelerometer at rest reads up or down, and left and right hang on "
        "it: give --rest up or --rest down, or mark a known turn with --turn FROM,TO,left90"};
  }
  double fastest = 0;
  for (const Reading& rate : recording.rate)
    fastest = std::max(fastest, static_cast<double>(glm::length(rate)));
  if (to_deg(fastest) > most_rate_deg_s) {
    return Problem{
        "", "--rate-unit",
        fmt::format("the gyroscope would turn {:.0f} degrees a second, which nobody does: is it in degrees "
                    "instead of radians? Give --rate-unit rad/s or deg/s",
                    to_deg(fastest))};
  }
  recording.gyroscope.emplace();
  Gyroscope& gyroscope = *recording.gyroscope;
  for (int axis = 0; axis < 3; ++axis) bridge_clips(recording, axis);
  const std::vector<Still> stills = stills_of(recording);
  if (stills.empty()) {
    return Problem{
        "", "record",
        "nobody stands still in this record: without half a second of standing still neither the bias of "
        "the gyroscope nor the way up can be known"};
  }
  for (const Still& still : stills) {
    gyroscope.bias_doubt = std::max(gyroscope.bias_doubt, still.rate_doubt);
    for (const Still& other : stills) {
      gyroscope.bias_change = std::max(gyroscope.bias_change, glm::length(still.rate - other.rate));
    }
  }
  gyroscope.bias = stills.front().rate;
  gyroscope.bias_doubt =
      std::hypot(gyroscope.bias_doubt, to_rad(bias_doubt_floor_deg_s), 0.5 * gyroscope.bias_change);
  for (std::size_t i = 0; i < recording.size(); ++i) {
    recording.rate[i] -= Reading(bias_at(stills, recording.time[i]));
  }
  // Gravity goes round in the sensor's axes when it is tilted: that tells unit and signs of the rates.
  constexpr const char* against = "gravity in the accelerometer";
  const std::optional<RateScale> scale = rate_against_force(recording);
  if (scale) {
    if (Outcome question = rate_question(*scale, against)) return question;
  }
  mend_mirrored_rates(recording, scale, against);
  // From the first still stretch, where the accelerometer shows the way up, to both ends.
  const Vec3 y(0, 1, 0);
  const double down = answers.rest_reads_down.value_or(false) ? -1 : 1;
  const Vec3 up_S = down * stills.front().force / glm::length(stills.front().force);
  const Vec3 axis = glm::cross(up_S, y);
  const double sine = glm::length(axis);
  const Quat start = sine > 1e-9 ? rotation_about(axis / sine, std::atan2(sine, glm::dot(up_S, y)))
                                 : rotation_x(up_S.y > 0 ? 0 : pi);
  if (down < 0) {
    for (Reading& force : recording.force) force = -force;
  }
  recording.orientation.assign(recording.size(), start);
  std::vector<Quat>& q = recording.orientation;
  const std::size_t first = sample_before(recording, stills.front().middle);
  std::size_t at = first;
  const AngularVelocity omega_B = [&](double time) { return rate_between(recording, at, time); };
  for (at = first; at + 1 < recording.size(); ++at) {
    q[at + 1] = integrate_steps(q[at], omega_B, recording.time[at], recording.time[at + 1], 1);
  }
  for (at = first; at-- > 0;) {
    q[at] = integrate_steps(q[at + 1], omega_B, recording.time[at + 1], recording.time[at], 1);
  }
  for (const Still& still : stills) {
    const Vec3 up = q[sample_before(recording, still.middle)] * (down * still.force);
    gyroscope.tilt_drift = std::max(gyroscope.tilt_drift, std::atan2(std::hypot(up.x, up.z), up.y));
  }
  if (gyroscope.tilt_drift > most_tilt_drift) {
    return Problem{
        "", "record",
        fmt::format("after integrating the gyroscope, up is {:.0f} degrees from where the accelerometer at "
                    "rest feels it: its unit may be wrong (--rate-unit), or the two do not share their axes, "
                    "or too much is missing",
                    to_deg(gyroscope.tilt_drift))};
  }
  recording.conventions.push_back(
      {"orientation", "integrated from the gyroscope",
       fmt::format("bias from {} still stretch{}", stills.size(), stills.size() == 1 ? "" : "es")});
  if (answers.rest_reads_down) {
    recording.conventions.push_back(
        {"accelerometer at rest", *answers.rest_reads_down ? "reads down" : "reads up", "given"});
  }
  return std::nullopt;
}

}  // namespace halfturn
