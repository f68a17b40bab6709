#include "measure/frame_marks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "flight/solve.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double longest_air_time = 5;  // s; slow motion given at its playback rate would be longer

/// Least squares over onset and end on a grid; for each of them the turn follows at once.
FittedTwist fit_twist(const std::vector<TurnMark>& marks, double takeoff, double landing) {
  FittedTwist best;
  double least = -1;
  for (int onset = 0; onset <= 90; ++onset) {
    for (int end = onset + 10; end <= 100; ++end) {
      double product = 0, square = 0;
      const auto blend = [&](const TurnMark& mark) {
        const double share = (mark.frame - takeoff) / (landing - takeoff);
        return minimum_jerk((100 * share - onset) / (end - onset));
      };
      for (const TurnMark& mark : marks) {
        product += blend(mark) * mark.turned_deg;
        square += blend(mark) * blend(mark);
      }
      const double turn = square > 0 ? product / square : 0;
      double error = 0;
      for (const TurnMark& mark : marks) {
        const double off = turn * blend(mark) - mark.turned_deg;
        error += off * off;
      }
      if (least >= 0 && error >= least) continue;
      least = error;
      best = {turn, onset / 100.0, end / 100.0, std::sqrt(error / static_cast<double>(marks.size()))};
    }
  }
  return best;
}

}  // namespace

Result<FrameMeasures> measure_frames(const FrameMarks& marks) {
  if (!(marks.frames_per_second >= 10 && marks.frames_per_second <= 10000)) {
    return Problem{
        "", "--fps",
        fmt::format("is {:g}, must be between 10 and 10000 frames a second", marks.frames_per_second)};
  }
  const double seconds = (marks.landing - marks.takeoff) / marks.frames_per_second;
  if (!(seconds >= 0.05 && seconds <= longest_air_time)) {
    return Problem{
        "", "--frames",
        fmt::format("{:g} to {:g} would be {:.2f} s in the air: give takeoff and landing in this order, and "
                    "with --fps the rate of the camera, not that of a slow playback",
                    marks.takeoff, marks.landing, seconds)};
  }
  FrameMeasures measures;
  measures.air_time_s =
      air_time_of_frames(static_cast<int>(marks.landing - marks.takeoff), marks.frames_per_second);
  // Either moment lies evenly somewhere within a frame.
  measures.air_time_doubt_s = std::sqrt(2.0 / 12.0) / marks.frames_per_second;
  std::vector<TurnMark> turned = marks.turned;
  std::sort(turned.begin(), turned.end(),
            [](const TurnMark& a, const TurnMark& b) { return a.frame < b.frame; });
  for (std::size_t k = 0; k < turned.size(); ++k) {
    const bool inside = marks.takeoff <= turned[k].frame && turned[k].frame <= marks.landing;
    if (!inside || (k > 0 && turned[k].frame == turned[k - 1].frame)) {
      return Problem{"", "--turned",
                     fmt::format("frame {:g} {}", turned[k].frame,
                                 inside ? "is marked twice" : "is not between takeoff and landing")};
    }
  }
  if (turned.size() < 2) return measures;
  const auto rate = [&](const TurnMark& a, const TurnMark& b) {
    return (b.turned_deg - a.turned_deg) / (b.frame - a.frame) * marks.frames_per_second;
  };
  measures.mean_rate_deg_s = rate(turned.front(), turned.back());
  double fastest = 0;
  for (std::size_t k = 1; k < turned.size(); ++k) {
    const double now = rate(turned[k - 1], turned[k]);
    if (std::abs(now) > std::abs(fastest)) fastest = now;
  }
  measures.fastest_rate_deg_s = fastest;
  if (turned.size() >= 3) measures.fit = fit_twist(turned, marks.takeoff, marks.landing);
  return measures;
}

}  // namespace halfturn
