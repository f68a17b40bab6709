#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "body/human.hpp"
#include "body/pose.hpp"
#include "flight/drawn.hpp"
#include "flight/flight.hpp"

namespace halfturn {

/// What the body does between takeoff and landing.
enum class FlightShape { tuck, pike, straight, butterfly, split, upright };

/// How the takeoff makes its angular momentum; sets the limit of what is believable.
enum class TakeoffEffort { standing, one_leg, running, bed };

/// Greatest believable angular momentum of a takeoff, kg m2/s, for this body: a multiple of mass x height^2.
[[nodiscard]] double believable_momentum(const HumanBody& body, TakeoffEffort effort, FlightShape shape);

/// A kick during an upright flight.
struct StrikePlan {
  std::string shape = "inside kick";  ///< named shape, for the right leg
  bool left_leg = false;              ///< the mirrored shape
  double share = 0.75;                ///< of the flight
};

/// What is to be solved: the plan of a drawn flight (its end is the target, the rest the first guess) for a
/// body and an air time. Only the air part of the turn counts.
struct SolveRequest {
  std::shared_ptr<const HumanBody> body;
  std::shared_ptr<const ShapeBook> shapes;
  DrawnParameters plan;
  double air_time = 0.8;  ///< s
  FlightShape shape = FlightShape::straight;
  TakeoffEffort effort = TakeoffEffort::standing;
  bool swings_leg = false;         ///< leaves the floor off one leg, the other swinging through
  bool lands_on_one_foot = false;  ///< a flip that comes down on one foot alone: no turn is left to it
  std::optional<StrikePlan> strike;
  Vec3 travel_W{};                           ///< horizontal way from takeoff to landing, m
  std::optional<double> momentum_available;  ///< measured, kg m2/s; empty: the believable one
};

/// Numbers about a solved flight that a coach can check.
struct SolvedNumbers {
  double momentum = 0;                   ///< |H|, kg m2/s
  double momentum_limit = 0;             ///< what the takeoff can give, kg m2/s
  double peak_flip_rate = 0;             ///< rev/s
  double peak_twist_rate = 0;            ///< rev/s
  double contact_twist_deg = 0;          ///< on-axis: how far the takeoff turns H towards the long axis
  double incline_deg = 0;                ///< of H against the horizontal (upright: against the vertical)
  double takeoff_lean_deg = 0;           ///< long axis from vertical at takeoff
  double greatest_tilt_deg = 0;          ///< of the long axis against the plane square to H
  double landing_tilt_deg = 0;           ///< the same at first contact; + twists on to the athlete's side
  double landing_twist_rate_deg = 0;     ///< about the long axis at first contact, deg/s, + to the left
  double heading_error_deg = 0;          ///< at first contact against the plan, + to the left
  double landing_angle_deg = 0;          ///< long axis from vertical at first contact
  double planned_landing_angle_deg = 0;  ///< the same in the plan
  double open_time = 0;                  ///< s, when the first arm, or the body, begins to open
  double flip_error_deg = 0, twist_error_deg = 0;  ///< at first contact against the plan
};

/// Whether the flight is possible for this body, and what is short if not.
struct Feasibility {
  bool feasible = false;
  std::vector<std::string> shortfalls;  ///< sentences; empty if feasible
  std::vector<std::string> cautions;    ///< sentences about thin margins
};

/// A solved flight. `flight` is empty when no flight of this body comes down at the plan's end.
struct SolvedFlight {
  std::optional<Flight> flight;  ///< Provenance::simulated
  SolvedNumbers numbers;
  std::string finish;  ///< how to take the twist out, in words
  Feasibility feasibility;
};

/// Finds momentum, takeoff and timing of the arms so that the flight lands at the plan's end.
[[nodiscard]] SolvedFlight solve_flight(const SolveRequest& request);

/// Least air time at which solve_flight finds a controlled landing, s; empty: none up to 2.5 s.
[[nodiscard]] std::optional<double> least_air_time(const SolveRequest& request);

/// Both for one request at several air times, with what was searched before kept. An answer depends on the
/// request and the air time alone, never on what was asked before.
class FlightSolver {
 public:
  explicit FlightSolver(const SolveRequest& request);
  ~FlightSolver();
  FlightSolver(const FlightSolver&) = delete;
  FlightSolver& operator=(const FlightSolver&) = delete;
  /// solve_flight() in this air time, s.
  [[nodiscard]] SolvedFlight solve(double air_time);
  /// least_air_time(), looked for from the air time of the request on.
  [[nodiscard]] std::optional<double> least_air_time();
  /// What a flight in this air time, s, is up against, such as "the twist left at landing": at the least air
  /// time, what binds.
  [[nodiscard]] std::vector<std::string> tight_limits(double air_time);

 private:
  class Memory;
  std::unique_ptr<Memory> memory_;
};

/// Air time, s, of a jump whose centre of mass lands as high as it left: from its rise in m, or from frames.
[[nodiscard]] double air_time_of_rise(double rise_m);
[[nodiscard]] double rise_of_air_time(double air_time_s);
[[nodiscard]] double air_time_of_frames(int frames, double frames_per_second);

}  // namespace halfturn
