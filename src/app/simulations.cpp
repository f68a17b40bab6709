#include "simulations.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "format/athlete_file.hpp"
#include "format/file.hpp"
#include "format/shape_file.hpp"
#include "ladder/sight.hpp"
#include "share_out.hpp"

namespace halfturn {
namespace {

std::string needed_words(const RungSimulation& s) {
  if (!s.air_time_needed_s) return "none up to 2.5 s";
  return fmt::format("{:.2f} s", told_air_s(*s.air_time_needed_s));
}

}  // namespace

Result<Flyer> load_flyer(const std::string& path) {
  const Result<std::string> text = read_file(path);
  if (!text) return text.problem();
  const Result<Athlete> athlete = read_athlete(*text, path);
  if (!athlete) return athlete.problem();
  return make_flyer(*athlete, embedded_shapes(), "this athlete's body");
}

std::vector<RungSimulation> simulations_of(const Ladder& ladder, const Flyer& flyer) {
  std::vector<RungSimulation> simulations(ladder.rungs.size());
  share_out(simulations.size(), [&](std::size_t k) { simulations[k] = simulate_rung(ladder, k, flyer); });
  return simulations;
}

std::string simulations_text(const Ladder& ladder, const Flyer& flyer,
                             const std::vector<RungSimulation>& simulations) {
  std::string text =
      fmt::format("\nin the air, as a body of {:.2f} m and {:.0f} kg would fly (a model: estimates)\n",
                  flyer.athlete.height_m, flyer.athlete.mass_kg);
  const auto out = std::back_inserter(text);
  fmt::format_to(out, "{:>4}  {:<9}  {:<16}  {:<14}  {:<12}  {:<12}  {:<10}  {}\n", "rung", "flight",
                 "air needed", "momentum", "flip, twist", "tilt, open", "turns still", "");
  for (std::size_t k = simulations.size(); k-- > 0;) {
    const RungSimulation& s = simulations[k];
    const SolvedNumbers& n = s.solved.numbers;
    const bool flown = s.solved.flight.has_value();
    fmt::format_to(
        out, "{:>4}  {:<9}  {:<16}  {:<14}  {:<12}  {:<12}  {:<10}  {}\n",
        k == 0 ? "base" : fmt::format("{}", k), flies_simulated(s) ? "simulated" : "drawn", needed_words(s),
        fmt::format("{:.0f} of {:.0f}", std::ceil(n.momentum), std::floor(n.momentum_limit)),
        flown ? fmt::format("{:.1f}, {:.1f}", n.peak_flip_rate, n.peak_twist_rate) : "-",
        flown ? fmt::format("{:.0f}, {:.2f} s", n.greatest_tilt_deg, n.open_time) : "-",
        flown ? fmt::format("{:.0f} deg/s", n.landing_twist_rate_deg) : "-", ladder.rungs[k].title);
    for (const std::string& sentence : s.solved.feasibility.shortfalls)
      fmt::format_to(out, "      short: {}\n", sentence);
    for (const std::string& sentence : s.solved.feasibility.cautions)
      fmt::format_to(out, "      caution: {}\n", sentence);
  }
  text +=
      "      momentum in kg m2/s, needed of what such a takeoff gives; peak rates in turns a second; "
      "greatest "
      "tilt in degrees and\n      when to open; how fast the turn still goes at first contact\n";
  return text;
}

std::vector<FinishPlan> finishes_of(const Ladder& ladder) {
  return finishes_of(ladder, make_flyer(Athlete{}, embedded_shapes()), {});
}

std::vector<FinishPlan> finishes_of(const Ladder& ladder, const Flyer& flyer,
                                    const std::vector<RungSimulation>& simulations) {
  std::vector<FinishPlan> finishes(ladder.rungs.size());
  share_out(finishes.size(), [&](std::size_t k) {
    const Rung& rung = ladder.rungs[k];
    const Flight flight = k < simulations.size() ? shown_flight(rung, simulations[k], *flyer.shapes)
                                                 : drawn_flight(rung, *flyer.shapes);
    const auto sight = landing_sight(*flyer.body, flight, Gaze::neutral, rung.side);
    finishes[k] = finish_plan(ladder, k, flight, sight, flyer.whose);
  });
  return finishes;
}

}  // namespace halfturn
