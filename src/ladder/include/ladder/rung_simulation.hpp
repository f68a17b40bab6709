#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/human.hpp"
#include "flight/solve.hpp"
#include "ladder/ladder.hpp"

namespace halfturn {

/// An athlete made ready to fly rungs.
struct Flyer {
  Athlete athlete;
  std::shared_ptr<const HumanBody> body;
  std::shared_ptr<const ShapeBook> shapes;
  std::string whose{average_adult};  ///< what the body is called in a sentence
};
[[nodiscard]] Flyer make_flyer(const Athlete& athlete, const ShapeBook& shapes,
                               std::string_view whose = average_adult);

/// "standing", "one leg", "run-up", "bed".
[[nodiscard]] std::string_view effort_word(TakeoffEffort effort);
/// How a rung leaves the floor. A straight flip off both feet counts as out of a run-up even where the setup
/// is standing: the air times of the table are those of a roundoff (common practice).
[[nodiscard]] TakeoffEffort takeoff_effort(const Rung& rung);

/// The athlete's measured air time on a rung, s: the plan's, else the athlete's own from the same surface.
[[nodiscard]] std::optional<double> measured_air_time(const Rung& rung, const Athlete& athlete);

/// What a rung asks of the solver: the air part of its turn, its travel, shape, effort and strike.
[[nodiscard]] SolveRequest solve_request(const Rung& rung, const Flyer& flyer, double air_time_s);

/// A rung as this body would fly it. All of it is an estimate of a model.
struct RungSimulation {
  double air_time_s = 0;  ///< of the flight below
  bool air_time_measured = false;
  TakeoffEffort effort = TakeoffEffort::standing;
  SolvedFlight solved;  ///< its flight only where one lands as planned
  /// Least air time of a controlled landing, s; empty: none found up to 2.5 s.
  std::optional<double> air_time_needed_s;
  std::optional<double> air_time_margin_s;  ///< measured less needed
  /// |H| of the ladder's base in a layout of the same air time, kg m2/s; empty for kicks, jumps and the base.
  std::optional<double> base_momentum;
};

/// With a measured air time the rung is flown in that; without, in the middle of the table's range, or in
/// what it needs where that is more and still in the range.
[[nodiscard]] RungSimulation simulate_rung(const Ladder& ladder, std::size_t rung, const Flyer& flyer);

/// All that simulate_rung depends on, as text: equal keys give equal simulations.
[[nodiscard]] std::string simulation_key(const Ladder& ladder, std::size_t rung, const Flyer& flyer);

/// Puts the simulated air times and their margins in place of the table's, where there are any.
void take_air_times(Ladder& ladder, const std::vector<RungSimulation>& simulations);

/// The simulated flight where there is a feasible one, else the drawn one.
[[nodiscard]] bool flies_simulated(const RungSimulation& simulation);
[[nodiscard]] Flight shown_flight(const Rung& rung, const RungSimulation& simulation,
                                  const ShapeBook& shapes);
/// "simulated" or "drawn: " and what is short first, for the eye.
[[nodiscard]] std::string flight_label(const RungSimulation& simulation);

}  // namespace halfturn
