#include "flight/drawn.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <utility>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double gravity = 9.80665;        // m/s2, standard
constexpr double lean_change_onset = 0.6;  // share of the flight at which the lean goes to its landing value

/// Horizontal unit vector at a heading (+ to the left); exact at whole quarters and exactly mirrored for
/// -heading.
Vec3 direction(double heading_deg) {
  const double quarters = heading_deg / 90.0;
  if (quarters == std::round(quarters)) {
    constexpr double cosine[] = {1, 0, -1, 0};
    const int index = static_cast<int>(std::fmod(std::abs(quarters), 4.0));
    const double sine = cosine[(index + 3) % 4];
    return {cosine[index], 0.0, quarters < 0 ? sine : -sine};
  }
  return {std::cos(to_rad(heading_deg)), 0.0, -std::sin(to_rad(heading_deg))};
}

}  // namespace

// q(u) = exp(a Phi(u)) exp(m lambda(u)) exp(y Psi(u)) turned by the heading at takeoff:
// a flip about an axis fixed in the world, a lean, and a twist about the body's long axis.
DrawnOrientation::DrawnOrientation(const DrawnParameters& parameters) : p_(parameters) {
  h0_ = to_rad(p_.start_heading_deg + p_.floor_turn_deg);
  q_heading_ = rotation_y(h0_);
  const Vec3 up(0, 1, 0);
  if (p_.flips) {
    const double incline = to_rad(p_.incline_deg);
    const Vec3 level = glm::cross(up, direction(p_.flip_toward_deg));
    flip_axis_W_ = p_.incline_deg == 0 ? level : std::cos(incline) * level + p_.side * std::sin(incline) * up;
    lean_axis_W_ = glm::cross(up, direction(p_.flip_toward_deg - p_.side * 90.0));
  } else {
    // Upright: the lean is fixed in the world and goes away from the mark.
    lean_axis_W_ = -glm::cross(up, direction(p_.mark_heading_deg - p_.start_heading_deg - p_.floor_turn_deg));
  }
}

MakerAngles DrawnOrientation::angles(double u) const {
  MakerAngles angles;
  if (p_.flips) {
    angles.flip = to_rad(p_.takeoff_phase_deg + u * (360.0 - p_.landing_phase_deg - p_.takeoff_phase_deg));
  }
  const double settle = minimum_jerk((u - lean_change_onset) / (1.0 - lean_change_onset));
  angles.lean = to_rad(p_.lean_deg + settle * (p_.landing_lean_deg - p_.lean_deg));
  const double window = p_.twist_end - p_.twist_onset;
  angles.twist = to_rad(p_.air_turn_deg) * (window > 0 ? minimum_jerk((u - p_.twist_onset) / window) : 1.0);
  return angles;
}

Quat DrawnOrientation::at(double u) const {
  const MakerAngles now = angles(u);
  return q_heading_ * rotation_about(flip_axis_W_, now.flip) * rotation_about(lean_axis_W_, now.lean) *
         rotation_y(now.twist);
}

Vec3 DrawnOrientation::rate_B(double u) const {
  const MakerAngles now = angles(u);
  const double flip_rate = p_.flips ? to_rad(360.0 - p_.landing_phase_deg - p_.takeoff_phase_deg) : 0.0;
  const double lean_span = 1.0 - lean_change_onset;
  const double lean_rate = to_rad(p_.landing_lean_deg - p_.lean_deg) *
                           minimum_jerk_rate((u - lean_change_onset) / lean_span) / lean_span;
  const double window = p_.twist_end - p_.twist_onset;
  const double twist_rate =
      window > 0 ? to_rad(p_.air_turn_deg) * minimum_jerk_rate((u - p_.twist_onset) / window) / window : 0.0;
  // Each rate is carried into the body through the rotations that follow it.
  const Quat after_lean = rotation_y(-now.twist);
  const Quat after_flip = after_lean * rotation_about(lean_axis_W_, -now.lean);
  return flip_rate * (after_flip * flip_axis_W_) + lean_rate * (after_lean * lean_axis_W_) +
         Vec3(0, twist_rate, 0);
}

double DrawnOrientation::highest_angle() const {
  // The angle is smooth with one top or flat ends: a coarse scan, then golden-section search around the best.
  constexpr int scan = 64;
  int best = 0;
  double highest = 0;
  for (int i = 0; i <= scan; ++i) {
    const double angle = angle_from_vertical(at(double(i) / scan));
    if (angle > highest) {
      highest = angle;
      best = i;
    }
  }
  double low = std::max(0.0, double(best - 1) / scan);
  double high = std::min(1.0, double(best + 1) / scan);
  constexpr double golden = 0.6180339887498949;
  for (int i = 0; i < 60; ++i) {
    const double left = high - golden * (high - low);
    const double right = low + golden * (high - low);
    if (angle_from_vertical(at(left)) < angle_from_vertical(at(right))) {
      low = left;
    } else {
      high = right;
    }
  }
  return std::max(highest, angle_from_vertical(at(0.5 * (low + high))));
}

namespace {

class DrawnMaker final : public Flight::Maker {
 public:
  DrawnMaker(const DrawnParameters& parameters, DrawnCourse course)
      : orientation_(parameters), course_(std::move(course)) {}

  [[nodiscard]] FlightSample sample(double time) const override {
    const double u = time / course_.duration;
    FlightSample sample;
    sample.time = time;
    sample.q_WB = orientation_.at(u);
    sample.omega_B = orientation_.rate_B(u) / course_.duration;
    sample.com_W = u * course_.travel_W;
    sample.com_W.y = course_.takeoff_com_m + u * (course_.landing_com_m - course_.takeoff_com_m) +
                     0.5 * gravity * time * (course_.duration - time);
    sample.pose = course_.shape.at(time);
    sample.angles = orientation_.angles(u);
    return sample;
  }
  [[nodiscard]] Quat orientation(double time) const override {
    return orientation_.at(time / course_.duration);
  }

 private:
  DrawnOrientation orientation_;
  DrawnCourse course_;
};

}  // namespace

Flight make_drawn_flight(const DrawnParameters& parameters, DrawnCourse course) {
  const double duration = course.duration;
  std::vector<FlightEvent> events = course.events;
  const Vec3 axis = rotation_y(to_rad(parameters.start_heading_deg + parameters.floor_turn_deg)) *
                    DrawnOrientation(parameters).flip_axis_W();
  return Flight(std::make_shared<DrawnMaker>(parameters, std::move(course)), Provenance::drawn, duration,
                std::move(events), axis, std::nullopt);
}

}  // namespace halfturn
