#include "measure/recording.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "base/expect.hpp"
#include "flight/simulated.hpp"

namespace halfturn {
namespace {

constexpr double rate_window = 0.010;                    // s to either side of a sample
const double still_rate = to_rad(15.0);                  // rad/s
constexpr double still_force = 0.05 * standard_gravity;  // m/s2

}  // namespace

std::size_t sample_before(const Recording& recording, double time) {
  const auto after = std::upper_bound(recording.time.begin(), recording.time.end(), time);
  return after == recording.time.begin() ? 0 : static_cast<std::size_t>(after - recording.time.begin()) - 1;
}

void note_steps(Recording& recording) {
  HT_EXPECT(recording.size() >= 2);
  std::vector<float> steps;
  steps.reserve(recording.size() - 1);
  recording.longest_step = 0;
  for (std::size_t i = 1; i < recording.size(); ++i) {
    const double step = recording.time[i] - recording.time[i - 1];
    steps.push_back(static_cast<float>(step));
    if (step > recording.longest_step) {
      recording.longest_step = step;
      recording.longest_step_at = recording.time[i - 1];
    }
  }
  const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
  std::nth_element(steps.begin(), middle, steps.end());
  recording.step = static_cast<double>(*middle);
}

Vec3 rate_of_orientation(const Recording& recording, std::size_t first, std::size_t last) {
  return log_rotation(glm::conjugate(recording.orientation[first]) * recording.orientation[last]) /
         (recording.time[last] - recording.time[first]);
}

Vec3 rate_at(const Recording& recording, std::size_t i) {
  if (!recording.rate.empty()) return Vec3(recording.rate[i]);
  const std::vector<double>& time = recording.time;
  std::size_t first = i, last = i;
  while (first > 0 && time[i] - time[first] < rate_window) --first;
  while (last + 1 < time.size() && time[last] - time[i] < rate_window) ++last;
  if (first == last) return Vec3(0);
  return rate_of_orientation(recording, first, last);
}

std::vector<Span> still_spans(const Recording& recording, double shortest) {
  std::vector<Span> spans;
  const bool has_turns = !recording.rate.empty() || !recording.orientation.empty();
  if (!has_turns) return spans;
  std::size_t start = 0;
  bool open = false;
  Vec3 first_force(0);
  const auto close = [&](std::size_t end) {
    if (open && recording.time[end] - recording.time[start] >= shortest) {
      spans.push_back({recording.time[start], recording.time[end]});
    }
    open = false;
  };
  for (std::size_t i = 0; i < recording.size(); ++i) {
    const bool turns = glm::length(rate_at(recording, i)) > still_rate;
    const Vec3 force = recording.force.empty() ? Vec3(0) : Vec3(recording.force[i]);
    const bool moved = open && glm::length(force - first_force) > 2 * still_force;
    if (turns || moved) close(i > 0 ? i - 1 : 0);
    if (!turns && !open) {
      open = true;
      start = i;
      first_force = force;
    } else if (open) {
      first_force += 0.02 * (force - first_force);  // follows slow drift, averages noise
    }
  }
  if (recording.size() > 0) close(recording.size() - 1);
  if (recording.force.empty()) return spans;
  // Free fall reads nothing: that is no stance.
  std::erase_if(spans, [&](const Span& span) {
    Vec3 sum(0);
    double count = 0;
    for (std::size_t i = sample_before(recording, span.from); i < recording.size(); ++i) {
      if (recording.time[i] > span.to) break;
      sum += Vec3(recording.force[i]);
      ++count;
    }
    const double size = glm::length(sum / count);
    return std::abs(size - standard_gravity) > 0.15 * standard_gravity;
  });
  return spans;
}

Quat orientation_at(const Recording& recording, double time) {
  HT_EXPECT(!recording.orientation.empty());
  const std::vector<double>& t = recording.time;
  const std::vector<Quat>& q = recording.orientation;
  if (time <= t.front()) return q.front();
  if (time >= t.back()) return q.back();
  const std::size_t i = sample_before(recording, time);
  const double u = (time - t[i]) / (t[i + 1] - t[i]);
  // Neighbours of even steps only: a gap beside this one would bend the curve.
  const double step = t[i + 1] - t[i];
  const bool even_before = i > 0 && t[i] - t[i - 1] < 1.5 * step && t[i] - t[i - 1] > step / 1.5;
  const bool even_after =
      i + 2 < t.size() && t[i + 2] - t[i + 1] < 1.5 * step && t[i + 2] - t[i + 1] > step / 1.5;
  if (!even_before || !even_after) return slerp(q[i], q[i + 1], u);
  return squad(q[i - 1], q[i], q[i + 1], q[i + 2], u);
}

}  // namespace halfturn
