// Whether gyroscope, orientations and accelerometer of a record belong together: units and signs.
#include "consistency.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "flight/simulated.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double gravity_span = 0.05;                  // s over which gravity is seen to go round
constexpr double rate_span = 0.02;                     // s over which two orientations differ enough
constexpr double most_push = 0.12 * standard_gravity;  // of what is felt from gravity: hardly pushed
const double least_turn = to_rad(3.0);                 // over the span of gravity, by either of the two
const double least_rate = to_rad(40.0);                // per second, by either of the two
constexpr double least_seen = 6;                       // spans
constexpr double least_fit = 0.6;                      // of a scale that is believed
constexpr double least_axis = 0.04;                    // share of the turning on an axis that can be told
constexpr std::size_t most_looks = 20000;

/// Least squares of told = scale * seen and how much of both it explains, for each axis and for all.
struct Fit {
  Vec3 seen{0}, told{0}, product{0};
  double count = 0;

  void add(const Vec3& s, const Vec3& t) {
    seen += s * s;
    told += t * t;
    product += s * t;
    ++count;
  }
  [[nodiscard]] std::optional<RateScale> answer() const {
    const double all_seen = seen.x + seen.y + seen.z, all_told = told.x + told.y + told.z;
    if (count < least_seen || !(all_seen > 0) || !(all_told > 0)) return std::nullopt;
    const double all = product.x + product.y + product.z;
    RateScale scale;
    scale.scale = all / all_seen;
    scale.fit = all * all / (all_seen * all_told);
    for (int k = 0; k < 3; ++k) {
      const bool turns = seen[k] > least_axis * all_seen && told[k] > least_axis * all_told;
      const double fit = turns ? product[k] * product[k] / (seen[k] * told[k]) : 0;
      if (fit > least_fit) scale.axis[static_cast<std::size_t>(k)] = product[k] / seen[k];
    }
    return scale;
  }
};

}  // namespace

int RateScale::mirrored() const {
  return static_cast<int>(std::count_if(axis.begin(), axis.end(), [](double s) { return s < 0; }));
}
int RateScale::right() const {
  return static_cast<int>(std::count_if(axis.begin(), axis.end(), [](double s) { return s > 0; }));
}

std::optional<RateScale> rate_against_orientation(const Recording& recording, bool world_to_sensor) {
  if (recording.rate.empty() || recording.orientation.empty()) return std::nullopt;
  Fit fit;
  const std::vector<double>& time = recording.time;
  const std::size_t stride = std::max<std::size_t>(1, recording.size() / most_looks);
  std::size_t k = 0;
  for (std::size_t i = 0; i + 1 < recording.size(); i += stride) {
    k = std::max(k, i + 1);
    while (k + 1 < recording.size() && time[k] - time[i] < rate_span) ++k;
    const double step = time[k] - time[i];
    if (step > 3 * std::max(rate_span, recording.step)) continue;
    const Quat &a = recording.orientation[i], &b = recording.orientation[k];
    const Vec3 seen = log_rotation(world_to_sensor ? a * glm::conjugate(b) : glm::conjugate(a) * b) / step;
    Vec3 told(0);
    for (std::size_t m = i; m < k; ++m)
      told += 0.5 * (time[m + 1] - time[m]) * (Vec3(recording.rate[m]) + Vec3(recording.rate[m + 1]));
    told /= step;
    if (glm::length(seen) > least_rate || glm::length(told) > least_rate) fit.add(seen, told);
  }
  return fit.answer();
}

std::optional<RateScale> rate_against_force(const Recording& recording) {
  if (recording.rate.empty() || recording.force.empty()) return std::nullopt;
  Fit fit;
  const std::vector<double>& time = recording.time;
  const auto quiet = [&](std::size_t i) {
    return std::abs(glm::length(Vec3(recording.force[i])) - standard_gravity) < most_push;
  };
  for (std::size_t i = 0; i + 1 < recording.size();) {
    std::size_t k = i;
    Vec3 angle(0);
    bool hardly_pushed = quiet(i);
    while (k + 1 < recording.size() && time[k] - time[i] < gravity_span && hardly_pushed) {
      const double step = time[k + 1] - time[k];
      angle += 0.5 * step * (Vec3(recording.rate[k]) + Vec3(recording.rate[k + 1]));
      ++k;
      hardly_pushed = quiet(k) && step < 0.5 * gravity_span;
    }
    if (hardly_pushed && k > i) {
      // In the axes of the sensor gravity goes round the other way; about itself it is not seen to turn.
      const Vec3 before = glm::normalize(Vec3(recording.force[i]));
      const Vec3 seen = glm::cross(glm::normalize(Vec3(recording.force[k])), before);
      const Vec3 told = angle - glm::dot(angle, before) * before;
      if (glm::length(seen) > least_turn || glm::length(told) > least_turn) fit.add(seen, told);
    }
    i = std::max(k, i + 1);
  }
  return fit.answer();
}

Outcome rate_question(const RateScale& scale, const char* against) {
  if (scale.mirrored() > 0 && scale.right() > 0) {
    return Problem{
        "", "record",
        fmt::format("some axes of the gyroscope turn against {} and some with it: their signs were "
                    "changed on the way; export the record anew, all columns in one set of axes",
                    against)};
  }
  const double size = std::abs(scale.scale);
  if (scale.fit < least_fit) return std::nullopt;
  // Degrees and radians lie a factor of 57 apart, seconds and milliseconds 1000: 4 is far from all of them.
  if (size > 0.25 && size < 4) return std::nullopt;
  return Problem{"", "--rate-unit",
                 fmt::format("the gyroscope turns {:.3g} times as fast as {}: its unit, or that of the time, "
                             "is wrong; give --rate-unit rad/s or deg/s, --time-unit s, ms, us or ns",
                             size, against)};
}

void mend_mirrored_rates(Recording& recording, const std::optional<RateScale>& scale, const char* against) {
  if (!scale || scale->fit < least_fit || scale->scale > 0) return;
  for (Reading& rate : recording.rate) rate = -rate;
  recording.conventions.push_back(
      {"signs of the gyroscope", "mirrored", fmt::format("found: it turns against {}", against)});
}

}  // namespace halfturn
