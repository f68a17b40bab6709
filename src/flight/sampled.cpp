#include "flight/sampled.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <utility>

#include "base/expect.hpp"

namespace halfturn {
namespace {

// Below this angle, rad, the factors of the two derivatives below are taken from their series, where the
// quotients would lose digits.
constexpr double small_angle = 1e-2;

/// Angular velocity in body axes of exp([v]) while v changes by `rate`.
Vec3 velocity_of(const Vec3& v, const Vec3& rate) {
  const double angle = glm::length(v), square = angle * angle;
  const bool small = angle < small_angle;
  const double first = small ? 0.5 - square / 24.0 : (1.0 - std::cos(angle)) / square;
  const double second = small ? 1.0 / 6.0 - square / 120.0 : (angle - std::sin(angle)) / (square * angle);
  const Vec3 turned = glm::cross(v, rate);
  return rate - first * turned + second * glm::cross(v, turned);
}

/// How v changes where exp([v]) turns with `omega_B`: the inverse of velocity_of.
Vec3 rate_of(const Vec3& v, const Vec3& omega_B) {
  const double angle = glm::length(v), square = angle * angle;
  const double factor = angle < small_angle
                            ? 1.0 / 12.0 + square / 720.0
                            : 1.0 / square - (1.0 + std::cos(angle)) / (2.0 * angle * std::sin(angle));
  const Vec3 turned = glm::cross(v, omega_B);
  return omega_B + 0.5 * turned + factor * glm::cross(v, turned);
}

class SampledMaker final : public Flight::Maker {
  /// A value between samples: Hermite's cubic, with the slope at a sample that of the parabola through it and
  /// its neighbours, or through the three at that end.
  template <typename Read>
  [[nodiscard]] auto through(std::size_t k, double u, const Read& read) const {
    const auto at = [&](std::size_t i) { return read(samples_[i]); };
    const auto slope = [&](std::size_t i) -> decltype(at(0)) {
      const std::size_t last = samples_.size() - 1;
      if (last == 1) return at(1) - at(0);
      if (i == 0) return -1.5 * at(0) + 2.0 * at(1) - 0.5 * at(2);
      if (i == last) return 1.5 * at(last) - 2.0 * at(last - 1) + 0.5 * at(last - 2);
      return 0.5 * (at(i + 1) - at(i - 1));
    };
    const auto from = at(k), whole = at(k + 1) - from, first = slope(k), last = slope(k + 1);
    const auto square = 3.0 * whole - 2.0 * first - last, cube = first + last - 2.0 * whole;
    return from + u * (first + u * (square + u * cube));
  }

 public:
  explicit SampledMaker(std::vector<FlightSample> samples) : samples_(std::move(samples)) {
    HT_EXPECT(samples_.size() >= 2 && samples_.front().time == 0 && samples_.back().time > 0);
    step_ = samples_.back().time / static_cast<double>(samples_.size() - 1);
    for (std::size_t k = 1; k < samples_.size(); ++k) {
      HT_EXPECT(std::abs(samples_[k].time - static_cast<double>(k) * step_) < 1e-9 * samples_.back().time);
      HT_EXPECT(angle_between(samples_[k - 1].q_WB, samples_[k].q_WB) <= most_turn_between_samples);
    }
  }

  [[nodiscard]] FlightSample sample(double time) const override {
    const auto [k, u] = place(time);
    if (const FlightSample* at = exact(k, time)) return *at;
    FlightSample now;
    now.time = time;
    const Turned turned = turned_at(k, u);
    now.q_WB = turned.q_WB;
    now.omega_B = turned.omega_B;
    now.com_W = through(k, u, [](const FlightSample& s) { return s.com_W; });
    for (std::size_t joint = 0; joint < segment_count; ++joint)
      now.pose.angles[joint] = through(k, u, [joint](const FlightSample& s) { return s.pose.angles[joint]; });
    now.angles.flip = through(k, u, [](const FlightSample& s) { return s.angles.flip; });
    now.angles.lean = through(k, u, [](const FlightSample& s) { return s.angles.lean; });
    now.angles.twist = through(k, u, [](const FlightSample& s) { return s.angles.twist; });
    return now;
  }

  [[nodiscard]] Quat orientation(double time) const override {
    const auto [k, u] = place(time);
    const FlightSample* at = exact(k, time);
    return at ? at->q_WB : turned_at(k, u).q_WB;
  }

 private:
  struct Turned {
    Quat q_WB{1, 0, 0, 0};
    Vec3 omega_B{};
  };

  /// The sample at or before a time, the last one left out, and the share of the step after it.
  [[nodiscard]] std::pair<std::size_t, double> place(double time) const {
    const auto last = static_cast<double>(samples_.size() - 2);
    const double steps = std::clamp(std::floor(time / step_), 0.0, last);
    const auto k = static_cast<std::size_t>(steps);
    return {k, std::clamp((time - samples_[k].time) / step_, 0.0, 1.0)};
  }

  [[nodiscard]] const FlightSample* exact(std::size_t k, double time) const {
    if (time == samples_[k].time) return &samples_[k];
    return time == samples_[k + 1].time ? &samples_[k + 1] : nullptr;
  }

  [[nodiscard]] Turned turned_at(std::size_t k, double u) const {
    const FlightSample &from = samples_[k], &to = samples_[k + 1];
    const Vec3 whole = log_rotation(glm::conjugate(from.q_WB) * to.q_WB);
    const Vec3 first = step_ * from.omega_B, last = step_ * rate_of(whole, to.omega_B);
    // Hermite's cubic from 0 to the whole turn, and its derivative by u.
    const Vec3 square = 3.0 * whole - 2.0 * first - last, cube = first + last - 2.0 * whole;
    const Vec3 v = u * (first + u * (square + u * cube));
    const Vec3 rate = first + u * (2.0 * square + 3.0 * u * cube);
    return {from.q_WB * exp_rotation(v), velocity_of(v, rate / step_)};
  }

  std::vector<FlightSample> samples_;
  double step_ = 0;  // s
};

}  // namespace

std::vector<FlightSample> samples_of(const Flight& flight, double hz) {
  HT_EXPECT(hz > 0);
  // A product that is whole but for its rounding needs no step more.
  const double steps = std::max(1.0, std::ceil(flight.duration() * hz - 1e-9));
  std::vector<FlightSample> samples;
  const auto count = static_cast<std::size_t>(steps);
  samples.reserve(count + 1);
  for (std::size_t k = 0; k <= count; ++k)
    samples.push_back(
        flight.at(k == count ? flight.duration() : flight.duration() * (static_cast<double>(k) / steps)));
  return samples;
}

Flight sampled_flight(std::vector<FlightSample> samples, Provenance provenance,
                      std::vector<FlightEvent> events, const Vec3& flip_axis_W,
                      std::vector<ArmMove> arm_moves) {
  HT_EXPECT(!samples.empty());
  const double duration = samples.back().time;
  return Flight(std::make_shared<const SampledMaker>(std::move(samples)), provenance, duration,
                std::move(events), flip_axis_W, std::nullopt, std::move(arm_moves));
}

}  // namespace halfturn
