#include "ladder/rung_simulation.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rung_travel.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

/// Twists add 6 to 19 % to the momentum of the same somersault without (Sanders and Wilson 1987, three
/// divers): beyond that the takeoff itself has to grow.
constexpr double usual_momentum_ratio = 1.2;
constexpr double thin_margin_s = 0.05, in_hand_s = 0.02;  // this project's choice

FlightShape flight_shape(const Rung& rung) {
  if (rung.flip_deg == 0) return FlightShape::upright;
  if (rung.shape == "open" || rung.values.incline_deg > 45) return FlightShape::butterfly;
  if (rung.air_turn_deg != 0) return FlightShape::straight;
  if (rung.shape == "tuck") return FlightShape::tuck;
  if (rung.shape == "pike") return FlightShape::pike;
  // Sideways off a step the legs follow each other.
  return rung.takeoff == "step" ? FlightShape::split : FlightShape::straight;
}

bool off_one_leg(const Rung& rung) {
  return rung.takeoff == "one leg swinging through";
}

/// |H| of the ladder's base, flown straight, in the same air time.
std::optional<double> momentum_of_base(const Ladder& ladder, const Rung& rung, const Flyer& flyer,
                                       double air_time_s) {
  const Rung& base = ladder.rungs.front();
  if (rung.flip_deg == 0 || base.flip_deg == 0 || base.air_turn_deg != 0 || rung.air_turn_deg == 0)
    return std::nullopt;
  SolveRequest request = solve_request(base, flyer, air_time_s);
  if (request.shape != FlightShape::butterfly) request.shape = FlightShape::straight;
  const SolvedFlight solved = solve_flight(request);
  if (!solved.flight) return std::nullopt;
  return solved.numbers.momentum;
}

/// "a", "a and b", "a, b and c".
std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (std::size_t i = 0; i < words.size(); ++i)
    text += (i == 0 ? "" : i + 1 == words.size() ? " and " : ", ") + words[i];
  return text;
}

void add_air_time_words(RungSimulation& s, const std::vector<std::string>& binding) {
  Feasibility& f = s.solved.feasibility;
  if (!s.air_time_needed_s) return;
  const double margin = s.air_time_s - *s.air_time_needed_s;
  if (!f.feasible && margin < 0) {
    f.shortfalls.insert(
        f.shortfalls.begin(),
        fmt::format("air time: {:.2f} s needed, {} {:.2f} s: {}{}", told_air_s(*s.air_time_needed_s),
                    s.air_time_measured ? "measured" : "flown in", s.air_time_s,
                    air_margin_words(*s.air_time_needed_s, margin),
                    binding.empty() ? "" : "; with less, what binds is " + joined(binding)));
  }
  if (f.feasible && s.air_time_measured && margin < thin_margin_s)
    f.cautions.push_back("only " + air_margin_words(*s.air_time_needed_s, margin));
}

}  // namespace

Flyer make_flyer(const Athlete& athlete, const ShapeBook& shapes, std::string_view whose) {
  return {athlete, std::make_shared<const HumanBody>(human_body(athlete)),
          std::make_shared<const ShapeBook>(shapes), std::string(whose)};
}

std::string_view effort_word(TakeoffEffort effort) {
  switch (effort) {
    case TakeoffEffort::standing:
      return "standing";
    case TakeoffEffort::one_leg:
      return "one leg";
    case TakeoffEffort::running:
      return "run-up";
    case TakeoffEffort::bed:
      return "bed";
  }
  return "";
}

TakeoffEffort takeoff_effort(const Rung& rung) {
  if (rung.surface == "trampoline") return TakeoffEffort::bed;
  if (off_one_leg(rung) || rung.takeoff == "step") return TakeoffEffort::one_leg;
  if (rung.setup != "standing") return TakeoffEffort::running;
  return rung.flip_deg != 0 && flight_shape(rung) == FlightShape::straight ? TakeoffEffort::running
                                                                           : TakeoffEffort::standing;
}

std::optional<double> measured_air_time(const Rung& rung, const Athlete& athlete) {
  if (rung.air_time_s) return rung.air_time_s;
  if (!athlete.surface.empty() && athlete.surface != rung.surface) return std::nullopt;
  return athlete.air_time_s;
}

SolveRequest solve_request(const Rung& rung, const Flyer& flyer, double air_time_s) {
  SolveRequest request;
  request.body = flyer.body;
  request.shapes = flyer.shapes;
  request.plan = drawn_parameters(rung);
  request.air_time = air_time_s;
  request.shape = flight_shape(rung);
  request.effort = takeoff_effort(rung);
  request.swings_leg = rung.flip_deg != 0 && off_one_leg(rung);
  request.lands_on_one_foot = on_one_foot(rung.landing.feet);
  if (rung.kick) {
    request.strike = StrikePlan{rung.kick->kind + " kick", rung.kick->leg == "left",
                                rung.kick->strike_share.value_or(StrikePlan{}.share)};
  }
  request.travel_W = travel_of(rung);
  const bool like_a_somersault = rung.flip_deg != 0 && request.shape != FlightShape::butterfly;
  if (like_a_somersault) request.momentum_available = flyer.athlete.angular_momentum_kgm2_s;
  return request;
}

std::string simulation_key(const Ladder& ladder, std::size_t index, const Flyer& flyer) {
  const auto words = [](const Rung& r) {
    const DrawnParameters p = drawn_parameters(r);
    std::string kick;
    if (r.kick) kick = fmt::format("{} {} {}", r.kick->leg, r.kick->kind, r.kick->strike_share.value_or(-1));
    return fmt::format(
        "{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}|{}", r.skill->name,
        r.takeoff, r.setup, r.surface, r.shape, r.landing.feet, kick, r.skill->travel, r.skill->travel_m,
        p.side, p.start_heading_deg, p.floor_turn_deg, p.air_turn_deg, p.flip_toward_deg, p.incline_deg,
        p.lean_deg, p.landing_lean_deg, p.takeoff_phase_deg, p.landing_phase_deg, p.twist_onset, p.twist_end,
        p.mark_heading_deg, r.values.air_time_low_s, r.values.air_time_high_s, r.air_time_s.value_or(0));
  };
  const Athlete& a = flyer.athlete;
  return fmt::format("{}\n{}\n{}|{}|{}|{}|{}|{}|{}|{}", words(ladder.rungs[index]),
                     words(ladder.rungs.front()), index == 0, a.height_m, a.mass_kg,
                     segment_table_word(a.table), a.air_time_s.value_or(0),
                     a.angular_momentum_kgm2_s.value_or(0), a.surface, a.shoulder_half_width_m.value_or(0));
}

RungSimulation simulate_rung(const Ladder& ladder, std::size_t index, const Flyer& flyer) {
  const Rung& rung = ladder.rungs[index];
  RungSimulation s;
  s.effort = takeoff_effort(rung);
  const std::optional<double> measured = measured_air_time(rung, flyer.athlete);
  s.air_time_measured = measured.has_value();
  const double middle = 0.5 * (rung.values.air_time_low_s + rung.values.air_time_high_s);
  s.air_time_s = measured.value_or(middle);
  FlightSolver solver(solve_request(rung, flyer, s.air_time_s));
  s.air_time_needed_s = solver.least_air_time();
  if (measured && s.air_time_needed_s) s.air_time_margin_s = *measured - *s.air_time_needed_s;
  if (!measured && s.air_time_needed_s && *s.air_time_needed_s + in_hand_s <= rung.values.air_time_high_s)
    s.air_time_s = std::max(middle, *s.air_time_needed_s + in_hand_s);
  s.solved = solver.solve(s.air_time_s);
  if (!measured && s.air_time_needed_s && !s.solved.feasibility.feasible &&
      s.air_time_s > *s.air_time_needed_s) {
    // The search may miss in one air time what it finds in another.
    s.air_time_s = *s.air_time_needed_s;
    s.solved = solver.solve(s.air_time_s);
  }
  if (index > 0) s.base_momentum = momentum_of_base(ladder, rung, flyer, s.air_time_s);
  add_air_time_words(
      s, s.air_time_needed_s ? solver.tight_limits(*s.air_time_needed_s) : std::vector<std::string>());
  if (s.solved.feasibility.feasible && s.base_momentum &&
      s.solved.numbers.momentum > usual_momentum_ratio * *s.base_momentum) {
    s.solved.feasibility.cautions.push_back(fmt::format(
        "needs {:.0f} percent more angular momentum than the same flip in a layout without the turn",
        100 * (s.solved.numbers.momentum / *s.base_momentum - 1)));
  }
  return s;
}

void take_air_times(Ladder& ladder, const std::vector<RungSimulation>& simulations) {
  for (std::size_t k = 0; k < simulations.size(); ++k) {
    Rung& rung = ladder.rungs[k];
    rung.air_time_margin_s = simulations[k].air_time_margin_s;
    if (!simulations[k].air_time_needed_s) continue;
    rung.air_time_needed_s = *simulations[k].air_time_needed_s;
    rung.air_time_simulated = true;
  }
}

bool flies_simulated(const RungSimulation& simulation) {
  return simulation.solved.flight && simulation.solved.feasibility.feasible;
}

Flight shown_flight(const Rung& rung, const RungSimulation& simulation, const ShapeBook& shapes) {
  return flies_simulated(simulation) ? *simulation.solved.flight : drawn_flight(rung, shapes);
}

std::string flight_label(const RungSimulation& simulation) {
  if (flies_simulated(simulation)) return "simulated";
  const std::vector<std::string>& short_of = simulation.solved.feasibility.shortfalls;
  return short_of.empty() ? "drawn" : "drawn: " + short_of.front();
}

}  // namespace halfturn
