#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/flight.hpp"
#include "measure/alignment.hpp"

namespace halfturn {

/// What a flight came to, read off its orientations alone, so that a recorded and a planned flight are
/// measured by the same rule. Degrees; turns + to the left, somersault + backward (and + sideways).
struct FlightMeasures {
  double air_time_s = 0;
  bool flips = false;                     ///< the long axis passes 75 degrees from vertical
  std::optional<double> flip_toward_deg;  ///< 0 front, 180 back, +90 left, from the chest at takeoff
  std::optional<double> somersault_deg;   ///< made in the air; empty where the split is ill-conditioned
  std::optional<double> twist_deg;        ///< made in the air; the same
  std::optional<double> twist_onset_s;    ///< a twentieth of the twist is made; empty under 20 degrees of it
  std::optional<double> takeoff_heading_deg;  ///< by swing-twist; empty upside down
  std::optional<double> landing_heading_deg;
  double takeoff_angle_deg = 0, landing_angle_deg = 0;  ///< long axis from vertical
  double greatest_tilt_deg = 0, landing_tilt_deg = 0;   ///< out of the plane of the flip, head to the right +
  double peak_somersault_rate_deg_s = 0;                ///< across the long axis, unsigned
  double peak_twist_rate_deg_s = 0;                     ///< about the long axis, + left
  double landing_somersault_rate_deg_s = 0, landing_twist_rate_deg_s = 0;
};
/// Looks at the flight 2000 times; times are exact to a 2000th of it.
[[nodiscard]] FlightMeasures measure_flight(const Flight& flight);

/// About one standard deviation of each measure: an estimate.
struct MeasureDoubt {
  double air_time_s = 0, somersault_deg = 0, twist_deg = 0, heading_deg = 0;
};

/// All that a record says about one of its flights.
struct AttemptMeasures {
  FlightMeasures flight;
  double takeoff_s = 0, landing_s = 0;      ///< in the record's time
  std::optional<double> start_heading_deg;  ///< stood up before takeoff
  std::optional<double> floor_turn_deg;     ///< from the still stance to takeoff: early twist on the floor
  std::optional<double> stood_heading_deg;  ///< first moment under 20 degrees from vertical from contact on
  std::optional<double> stood_after_s;      ///< that moment, s after contact
  std::optional<double> turn_deg;           ///< whole turn, stood to stood
  MeasureDoubt doubt;
  std::vector<std::string> cautions;  ///< whole sentences
};

/// The recorded flight, q_WB over [takeoff, landing]. The record knows no joint angles: the pose is a
/// straight stand. Its centre of mass is the parabola of the air time, an estimate.
[[nodiscard]] Flight recorded_flight(const Recording& recording, const Alignment& alignment,
                                     const FoundFlight& found);

/// The turn of a recorded flight with the limbs and the travel of another at the same share of it, for the
/// eye: a sensor on the trunk knows neither. In between it falls freely from feet on the floor to feet on the
/// floor, m.
[[nodiscard]] Flight with_limbs_of(const Flight& limbs, const Flight& recorded);

/// Measures one flight of a settled and aligned record. Problems: a gap in which the turn cannot be known.
[[nodiscard]] Result<AttemptMeasures> measure_attempt(const Recording& recording, const Alignment& alignment,
                                                      const FoundFlight& found);

/// How a measured turn stands against a planned one, deg, the way the skill turns (side +1 left, -1 right).
struct AgainstPlan {
  double turn_error_deg = 0;  ///< whole turn at first contact; short is negative
  std::optional<double> somersault_error_deg;
  std::optional<double> heading_error_deg;  ///< at first contact, (-180, 180]
  double uprightness_error_deg = 0;         ///< long axis from vertical at contact, measured minus planned
  double air_time_error_s = 0;
};
/// `planned` is the plan's own flight under the same rule, `planned_floor_turn_deg` signed. Empty where the
/// twist of either could not be told.
[[nodiscard]] std::optional<AgainstPlan> against_plan(const AttemptMeasures& measured,
                                                      const FlightMeasures& planned, double side,
                                                      double planned_floor_turn_deg,
                                                      double planned_start_heading_deg);

}  // namespace halfturn
