#include "plan_flights.hpp"

#include <fmt/format.h>

#include "format/shape_file.hpp"
#include "logbook_options.hpp"
#include "logged_athlete.hpp"
#include "report.hpp"
#include "simulations.hpp"

namespace halfturn {
namespace {

void warn_if_drawn(const Rung& rung, const RungSimulation& simulation) {
  if (!flies_simulated(simulation))
    report_warning(fmt::format("{}: {}", rung.title, flight_label(simulation)));
}

/// Who made the flight that is shown; strong where the body does not get there.
FootPart told_of(const Rung& rung, const RungSimulation* simulation) {
  if (simulation != nullptr && flies_simulated(*simulation)) return {"simulated", false};
  const std::optional<double> needed =
      simulation != nullptr ? simulation->air_time_needed_s : rung.air_time_needed_s;
  const std::optional<double> margin =
      simulation != nullptr ? simulation->air_time_margin_s : rung.air_time_margin_s;
  const double told = needed && margin ? told_margin_s(*needed, *margin) : 0;
  if (told < 0) return {fmt::format("drawn: this jump is {:.2f} s short of air", -told), true};
  if (simulation != nullptr) return {flight_label(*simulation), true};
  return {"drawn, not simulated", false};
}

}  // namespace

void add_flight_options(CLI::App& command, FlightChoice& choice) {
  CLI::Option* athlete = command.add_option(
      "--athlete", choice.athlete, "Flights as the body of this athlete file would fly them (an estimate)");
  CLI::Option* name = command.add_option(
      "--athlete-name", choice.athlete_name,
      "Flights as this athlete of the logbook would fly them (an estimate); initials stand for the name");
  name->excludes(athlete);
  command.add_option("--logbook", choice.logbook, "File of the logbook, instead of the default one")
      ->needs(name);
  command
      .add_flag("--simulated", choice.simulated,
                "Flights as an average adult would fly them (an estimate); without it they are drawn")
      ->excludes(athlete)
      ->excludes(name);
}

Result<PlanFlights> PlanFlights::make(const FlightChoice& choice) {
  if (!choice.athlete_name.empty()) {
    const Result<Logbook> logbook = open_logbook({choice.logbook, false}, Logbook::Mode::read);
    if (!logbook) return logbook.problem();
    const Result<LoggedAthlete> logged = read_logged(*logbook, choice.athlete_name);
    if (!logged) return logged.problem();
    Flyer flyer = flyer_of(logged->profile);
    // What is handed over carries no full name.
    if (flyer.whose == logged->profile.name) flyer.whose = initials(logged->profile.name);
    return PlanFlights(std::move(flyer), true);
  }
  if (choice.athlete.empty()) return PlanFlights(make_flyer(Athlete{}, embedded_shapes()), choice.simulated);
  Result<Flyer> flyer = load_flyer(choice.athlete);
  if (!flyer) return flyer.problem();
  return PlanFlights(std::move(flyer).value(), true);
}

void PlanFlights::fly_all(Ladder& ladder) {
  if (!simulates_) return;
  simulations_ = simulations_of(ladder, flyer_);
  for (std::size_t k = 0; k < simulations_.size(); ++k) warn_if_drawn(ladder.rungs[k], simulations_[k]);
  take_air_times(ladder, simulations_);
}

Flight PlanFlights::flight(const Ladder& ladder, std::size_t rung) const {
  if (rung < simulations_.size()) return shown_flight(ladder.rungs[rung], simulations_[rung], *flyer_.shapes);
  return drawn_flight(ladder.rungs[rung], *flyer_.shapes);
}

ToldFlight PlanFlights::told_flight(const Ladder& ladder, std::size_t rung) const {
  return {flight(ladder, rung),
          told_of(ladder.rungs[rung], rung < simulations_.size() ? &simulations_[rung] : nullptr)};
}

ToldFlight PlanFlights::tell(const Ladder& ladder, std::size_t rung) const {
  const Rung& r = ladder.rungs[rung];
  if (!simulates_) return {drawn_flight(r, *flyer_.shapes), told_of(r, nullptr)};
  const RungSimulation simulation = simulate_rung(ladder, rung, flyer_);
  warn_if_drawn(r, simulation);
  return {shown_flight(r, simulation, *flyer_.shapes), told_of(r, &simulation)};
}

}  // namespace halfturn
