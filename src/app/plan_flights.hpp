#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "ladder/ladder.hpp"
#include "ladder/rung_simulation.hpp"
#include "scene/foot.hpp"

namespace halfturn {

/// Whose flights a command hands over; neither: drawn ones.
struct FlightChoice {
  std::string athlete;       ///< file of the athlete who flies
  std::string athlete_name;  ///< or the athlete's name in the logbook
  std::string logbook;       ///< file; empty: the default one
  bool simulated = false;    ///< flown by an average adult
};
void add_flight_options(CLI::App& command, FlightChoice& choice);

/// A flight as it is handed over, and what has to be said of it.
struct ToldFlight {
  Flight flight;
  FootPart told;  ///< "simulated", "drawn: this jump is 0.21 s short of air"
};

/// The flights of rungs as they are handed over: flown by a body where that was asked for and the body gets
/// there, else drawn.
class PlanFlights {
 public:
  /// The problem names the athlete's file.
  [[nodiscard]] static Result<PlanFlights> make(const FlightChoice& choice);

  [[nodiscard]] bool simulates() const { return simulates_; }
  /// Flies all rungs of a ladder ahead, shared out among the processors, warns of those that stay drawn, and
  /// puts the air times that they took into the ladder. Nothing where flights are drawn.
  void fly_all(Ladder& ladder);
  /// Of the ladder that was flown ahead.
  [[nodiscard]] Flight flight(const Ladder& ladder, std::size_t rung) const;
  [[nodiscard]] ToldFlight told_flight(const Ladder& ladder, std::size_t rung) const;
  /// Of one rung of any ladder; warns where it stays drawn.
  [[nodiscard]] ToldFlight tell(const Ladder& ladder, std::size_t rung) const;
  [[nodiscard]] Flight fly(const Ladder& ladder, std::size_t rung) const { return tell(ladder, rung).flight; }

  [[nodiscard]] const Flyer& flyer() const { return flyer_; }
  /// By rung of the ladder that was flown ahead; empty where flights are drawn.
  [[nodiscard]] const std::vector<RungSimulation>& simulations() const { return simulations_; }

 private:
  PlanFlights(Flyer flyer, bool simulates) : flyer_(std::move(flyer)), simulates_(simulates) {}

  Flyer flyer_;
  bool simulates_;
  std::vector<RungSimulation> simulations_;
};

}  // namespace halfturn
