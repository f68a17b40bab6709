#pragma once

#include "flight/flight.hpp"

namespace halfturn {

/// The parameters of a drawn flight (design of the closed form in drawn.cpp). Angles in degrees, shares of
/// the flight 0..1.
struct DrawnParameters {
  double side = 1;               ///< +1 twists left, -1 right
  double start_heading_deg = 0;  ///< where the chest faces when standing before the first step
  double floor_turn_deg = 0;     ///< signed, turned before the last foot leaves
  double air_turn_deg = 0;       ///< signed, turned in the air
  bool flips = true;             ///< false: upright kicks and jumps, no flip at all
  double flip_toward_deg = 180;  ///< signed by side; from the chest at takeoff: 0 front, 180 back, +90 left
  double incline_deg = 0;        ///< unsigned; 0 on-axis
  double lean_deg = 0;           ///< unsigned
  double landing_lean_deg = 0;   ///< unsigned
  double takeoff_phase_deg = 0;  ///< flip already made when the last foot leaves
  double landing_phase_deg = 0;  ///< flip still to make at first contact
  double twist_onset = 0;        ///< share of the flight
  double twist_end = 1;          ///< share of the flight
  double mark_heading_deg = 0;   ///< only upright: the lean goes away from the mark
};

/// Orientation in closed form; time-free: u is the share of the flight, 0..1.
class DrawnOrientation {
 public:
  explicit DrawnOrientation(const DrawnParameters& parameters);
  [[nodiscard]] Quat at(double u) const;
  /// d/du of the orientation as angular velocity in body axes, rad per flight.
  [[nodiscard]] Vec3 rate_B(double u) const;
  [[nodiscard]] MakerAngles angles(double u) const;
  [[nodiscard]] Vec3 flip_axis_W() const { return flip_axis_W_; }
  /// Greatest angle of the long axis from vertical over the flight, rad.
  [[nodiscard]] double highest_angle() const;

 private:
  DrawnParameters p_;
  double h0_ = 0;
  Vec3 flip_axis_W_{};
  Vec3 lean_axis_W_{};
  Quat q_heading_{1, 0, 0, 0};
};

/// What else a drawn flight needs beside its orientation.
struct DrawnCourse {
  double duration = 0.8;     ///< air time, s
  double takeoff_com_m = 1;  ///< height of the centre of mass at takeoff, m
  double landing_com_m = 1;  ///< the same at first contact, m
  Vec3 travel_W{};           ///< horizontal displacement from takeoff to landing, m
  ShapeTrack shape;          ///< pose over time, s
  std::vector<FlightEvent> events;
};

[[nodiscard]] Flight make_drawn_flight(const DrawnParameters& parameters, DrawnCourse course);

}  // namespace halfturn
