#pragma once

#include <cmath>
#include <functional>
#include <glm/geometric.hpp>
#include <random>
#include <vector>

#include "flight/drawn.hpp"
#include "flight/simulated.hpp"
#include "measure/measure_record.hpp"
#include "measure/recording.hpp"
#include "rotation/heading.hpp"

/// Records of flights whose truth is known, because the flight is made here: a still stance, a push, the
/// flight, a landing and standing again, seen by a sensor somewhere on the trunk.
namespace record_maker {

using namespace halfturn;

/// Uniform on [0, 1) and a normal number, the same on every machine.
inline double uniform(std::mt19937_64& random) {
  return static_cast<double>(random() >> 11) * 0x1p-53;
}
inline double normal(std::mt19937_64& random) {
  return std::sqrt(-2 * std::log(1 - uniform(random))) * std::cos(2 * pi * uniform(random));
}
inline Vec3 normal_vector(std::mt19937_64& random) {
  const double x = normal(random), y = normal(random);
  return {x, y, normal(random)};
}

/// What happens, as a function of time.
struct Story {
  Flight flight;
  double stance_heading_deg = 0;
  double takeoff = 2.0;               ///< s
  double after = 1.5;                 ///< s from contact to the end
  double bow_at = -1;                 ///< s, the middle of a bow of 60 degrees; below 0: none
  double turn_at = -1;                ///< s, the middle of a turn and back again; below 0: none
  double turn_deg = 90;               ///< + left, held from turn_at + 0.3 s to turn_at + 0.6 s, then back
  double push = 0.30, absorb = 0.35;  ///< s

  [[nodiscard]] double landing() const { return takeoff + flight.duration(); }
  [[nodiscard]] double end() const { return landing() + after; }

  [[nodiscard]] Quat q_WB(double t) const {
    const Quat stance = rotation_y(to_rad(stance_heading_deg));
    if (t < takeoff) {
      Quat q = stance;
      if (turn_at >= 0) {
        const double there =
            minimum_jerk((t - turn_at + 0.3) / 0.6) - minimum_jerk((t - turn_at - 0.6) / 0.6);
        q = q * rotation_y(to_rad(turn_deg) * there);
      }
      if (bow_at >= 0) {
        const double down = minimum_jerk((t - bow_at + 0.5) / 0.5) - minimum_jerk((t - bow_at) / 0.5);
        q = q * rotation_z(-to_rad(60) * down);
      }
      const FlightSample first = flight.at(0);
      const Quat back = first.q_WB * exp_rotation((t - takeoff) * first.omega_B);
      return slerp(q, back, minimum_jerk((t - takeoff + push) / push));
    }
    if (t <= landing()) return flight.orientation(t - takeoff);
    const FlightSample last = flight.at(flight.duration());
    const Quat on = last.q_WB * exp_rotation((t - landing()) * last.omega_B);
    const Quat stood = rotation_y(heading(last.q_WB).value_or(0));
    return slerp(on, stood, minimum_jerk((t - landing()) / absorb));
  }
  /// Upward force of the floor per mass, m/s2: nothing in the air; it goes and comes within some ms.
  [[nodiscard]] double floor_force(double t) const {
    const double g = standard_gravity;
    if (t < takeoff - push) return g;
    if (t < takeoff) {
      const double u = (t - takeoff + push) / push;
      return (g + 16 * std::sin(pi * u)) * std::min(1.0, (takeoff - t) / 0.03);
    }
    if (t <= landing()) return 0;
    const double since = t - landing();
    return (g + 30 * std::exp(-since / 0.05)) * std::min(1.0, since / 0.02);
  }
};

/// The sensor and its faults.
struct Sensor {
  double hertz = 200;
  Quat q_SB{1, 0, 0, 0};         ///< body -> sensor
  Quat q_RW{1, 0, 0, 0};         ///< W -> world of the record
  Vec3 place_B{-0.12, 0.25, 0};  ///< from the centre of mass, m
  double orientation_noise_deg = 0, force_noise = 0, rate_noise_deg_s = 0;
  Vec3 rate_bias_deg_s{0};
  double clip_deg_s = 1e9;
  double jitter_s = 0, dropped = 0;  ///< standard deviation of the clock's steps; share of rows lost
  bool has_orientation = true, has_rate = false, has_force = true;
  unsigned seed = 1;
};

inline Recording record(const Story& story, const Sensor& sensor) {
  std::mt19937_64 random(sensor.seed);
  Recording recording;
  const Quat q_BS = glm::conjugate(sensor.q_SB);
  const auto q_WS = [&](double t) { return story.q_WB(t) * q_BS; };
  const auto rows = static_cast<int>(story.end() * sensor.hertz);
  for (int i = 0; i <= rows; ++i) {
    double t = i / sensor.hertz;
    if (sensor.jitter_s > 0) t += sensor.jitter_s * (2 * uniform(random) - 1);
    if (sensor.dropped > 0 && uniform(random) < sensor.dropped) continue;
    if (!recording.time.empty() && t <= recording.time.back()) continue;
    recording.time.push_back(t);
    const Quat q = q_WS(t);
    if (sensor.has_orientation) {
      const Vec3 noise = to_rad(sensor.orientation_noise_deg) * normal_vector(random);
      recording.orientation.push_back(sensor.q_RW * q * exp_rotation(noise));
    }
    // The flight's ends are corners of the rate: look to the side that t lies on.
    constexpr double h = 1e-4;
    if (sensor.has_rate) {
      Vec3 rate = log_rotation(glm::conjugate(q_WS(t - h)) * q_WS(t + h)) / (2 * h);
      rate += to_rad(1.0) * (sensor.rate_bias_deg_s + sensor.rate_noise_deg_s * normal_vector(random));
      const double limit = to_rad(sensor.clip_deg_s);
      for (int k = 0; k < 3; ++k) rate[k] = std::min(std::max(rate[k], -limit), limit);
      recording.rate.emplace_back(rate);
    }
    if (sensor.has_force) {
      const auto arm = [&](double s) { return story.q_WB(s) * sensor.place_B; };
      const Vec3 swing = (arm(t + h) - 2.0 * arm(t) + arm(t - h)) / (h * h);
      const Vec3 force = glm::conjugate(q) * (Vec3(0, story.floor_force(t), 0) + swing);
      recording.force.emplace_back(force + sensor.force_noise * normal_vector(random));
    }
  }
  note_steps(recording);
  return recording;
}

/// Drawn flights of the design's table: back full, front Rudi and so on.
inline Flight drawn(DrawnParameters parameters, double air_time) {
  DrawnCourse course;
  course.duration = air_time;
  return make_drawn_flight(parameters, course);
}
inline DrawnParameters back_twist(double twist_deg, double side = 1) {
  DrawnParameters p;
  p.side = side;
  p.air_turn_deg = side * twist_deg;
  p.takeoff_phase_deg = 10;
  p.landing_phase_deg = 15;
  p.twist_onset = 0.12;
  p.twist_end = 0.85;
  return p;
}

/// A still stance, a turn to the left and a bow before a flight, and the marks for them.
inline Story calibrated(Flight flight) {
  Story story{std::move(flight)};
  story.turn_at = 1.0;
  story.bow_at = 3.0;
  story.takeoff = 5.5;
  return story;
}
inline MeasureRequest marks() {
  MeasureRequest request;
  request.frame.turn = KnownTurn{{0.6, 1.45}, 90};
  request.frame.bow = Span{2.4, 3.1};
  request.frame.still = Span{4.2, 5.1};
  return request;
}

}  // namespace record_maker
