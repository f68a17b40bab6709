#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/json_reader.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/rung_spread.hpp"
#include "logbook_options.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "rotation/heading.hpp"
#include "share_out.hpp"
#include "simulations.hpp"

namespace halfturn {
namespace {

constexpr std::size_t flights_for_a_step = 4096;
// Steps of 60 degrees and more are all allowed the same error of heading, smaller ones less (the gate's half
// step).
constexpr double upwards_deg[] = {90, 135, 180, 270, 360}, downwards_deg[] = {45, 30};
constexpr TakeoffFactor factors[] = {TakeoffFactor::air_time, TakeoffFactor::momentum,
                                     TakeoffFactor::direction_up, TakeoffFactor::direction_round,
                                     TakeoffFactor::timing};

struct SpreadOptions {
  std::string plan, rung, athlete;
  TakeoffSpread spread;
  double direction_deg = to_deg(spread.direction);
  std::size_t flights = 20000;
  std::uint64_t seed = 1;
  unsigned threads = 0;
  double threshold = 0.8;
  bool demo = false, json = false;
};

/// A step from a rung whose landings would still be controlled often enough.
struct NextStep {
  double step_deg = 0;
  std::string title;
  RungSpread spread;
};

std::optional<NextStep> next_step(const SpreadOptions& o, const Ladder& ladder, std::size_t rung,
                                  const Flyer& flyer, const ShareOut& share, double step_deg) {
  const std::optional<Plan> plan = with_next_step(ladder, rung, step_deg);
  if (!plan) return std::nullopt;
  const Result<Ladder> next = make_ladder(*plan, built_in_vocabulary(), built_in_difficulty());
  if (!next) return std::nullopt;
  const RungSimulation simulation = simulate_rung(*next, rung + 1, flyer);
  const std::optional<RungSpread> landings =
      rung_spread(*next, rung + 1, flyer, simulation, o.spread, flights_for_a_step, o.seed, share);
  if (!landings || landings->interval.low < o.threshold) return std::nullopt;
  return NextStep{step_deg, next->rungs[rung + 1].title, *landings};
}

/// The largest such step. A larger one counts only when the smaller ones before it hold too: a model that
/// likes a double and not the full on the way to it is not to be followed there.
std::optional<NextStep> largest_next_step(const SpreadOptions& o, const Ladder& ladder, std::size_t rung,
                                          const Flyer& flyer, const ShareOut& share) {
  std::optional<NextStep> largest;
  for (const double step_deg : upwards_deg) {
    std::optional<NextStep> step = next_step(o, ladder, rung, flyer, share, step_deg);
    if (!step) break;
    largest = std::move(step);
  }
  for (const double step_deg : downwards_deg) {
    if (!largest) largest = next_step(o, ladder, rung, flyer, share, step_deg);
  }
  return largest;
}

Json counts_json(const RungSpread& s) {
  const LandingCounts& c = s.counts;
  Json json;
  json["flights"] = c.flights;
  json["controlled"] = c.controlled;
  json["share"] = s.share;
  json["interval"] = {s.interval.low, s.interval.high};
  json["interval_kind"] = "Wilson, 95 percent, of the sampling alone";
  json["heading_met"] = c.heading_met;
  json["upright_met"] = c.upright_met;
  json["without_heading"] = c.without_heading;
  json["air_time_s"] = s.air_time_s;
  json["heading_tolerance_deg"] = to_deg(s.tolerance.heading);
  json["upright_tolerance_deg"] = to_deg(s.tolerance.upright);
  json["heading_error_deg"] = {{"mean", c.heading_mean_deg()}, {"deviation", c.heading_sd_deg()}};
  json["angle_from_vertical_deg"] = {{"mean", c.angle_mean_deg()}, {"deviation", c.angle_sd_deg()}};
  json["heading_bins"] = {
      {"from_deg", -180}, {"width_deg", LandingCounts::heading_bin_deg}, {"counts", c.headings}};
  json["upright_bins"] = {
      {"from_deg", 0}, {"width_deg", LandingCounts::upright_bin_deg}, {"counts", c.uprightness}};
  json["sensitivity"] = Json::array();
  for (const TakeoffFactor factor : factors) {
    json["sensitivity"].push_back({{"factor", takeoff_factor_word(factor)},
                                   {"heading_deg_per_deviation", c.heading_by_deg(factor)},
                                   {"angle_deg_per_deviation", c.angle_by_deg(factor)}});
  }
  return json;
}

/// The factor whose usual error moves the landing most, against what the landing allows.
TakeoffFactor most_sensitive(const RungSpread& s) {
  const auto weight = [&](TakeoffFactor factor) {
    return std::max(std::abs(s.counts.heading_by_deg(factor)) / to_deg(s.tolerance.heading),
                    std::abs(s.counts.angle_by_deg(factor)) / std::max(1.0, to_deg(s.tolerance.upright)));
  };
  return *std::max_element(std::begin(factors), std::end(factors),
                           [&](TakeoffFactor a, TakeoffFactor b) { return weight(a) < weight(b); });
}

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

std::string spread_text(const Rung& rung, const RungSpread& s, const std::optional<NextStep>& next,
                        const SpreadOptions& o) {
  const LandingCounts& c = s.counts;
  std::string text;
  const auto out = std::back_inserter(text);
  fmt::format_to(out, "{}: {} of {} flights controlled, {} ({} to {}); a model estimate\n", rung.title,
                 c.controlled, c.flights, percent(s.share), percent(s.interval.low),
                 percent(s.interval.high));
  fmt::format_to(out, "heading at first contact: {:+.0f} +- {:.0f} degrees, {:.0f} allowed\n",
                 c.heading_mean_deg(), c.heading_sd_deg(), to_deg(s.tolerance.heading));
  fmt::format_to(
      out, "long axis from vertical: {:.0f} +- {:.0f} degrees, planned {:.0f}, {:.0f} more allowed\n",
      c.angle_mean_deg(), c.angle_sd_deg(), rung.landing.contact_angle_deg, to_deg(s.tolerance.upright));
  fmt::format_to(out, "what one usual error does\n");
  for (const TakeoffFactor factor : factors) {
    fmt::format_to(out, "  {:<37} heading {:+5.1f}, from vertical {:+5.1f} degrees\n",
                   takeoff_factor_word(factor), c.heading_by_deg(factor), c.angle_by_deg(factor));
  }
  fmt::format_to(out, "most sensitive to: {}\n", takeoff_factor_word(most_sensitive(s)));
  if (next) {
    fmt::format_to(out, "largest next step with {} controlled: {:.0f} degrees, to the {} ({})\n",
                   percent(o.threshold), next->step_deg, next->title, percent(next->spread.share));
  } else if (s.interval.low < o.threshold) {
    fmt::format_to(out, "no next step yet: the {} itself is not controlled {} of the time\n", rung.title,
                   percent(o.threshold));
  } else {
    fmt::format_to(out, "no next step of 30 degrees or more would be controlled {} of the time\n",
                   percent(o.threshold));
  }
  fmt::format_to(out,
                 "assumed spread (standard deviations): air time {:.3f} s, angular momentum {:.1f} %, its "
                 "direction {:.1f} degrees,\ntiming {:.3f} s; {} of an error is taken out in the air. {}\n",
                 o.spread.air_time, 100 * o.spread.momentum, to_deg(o.spread.direction), o.spread.timing,
                 percent(o.spread.correction), ladder_caution);
  return text;
}

Exit run_spread(SpreadOptions o) {
  o.spread.direction = to_rad(o.direction_deg);
  const Result<LoadedPlan> plan = load_ladder(o.plan, o.demo);
  if (!plan) return report_bad_input(plan.problem());
  const Ladder& ladder = plan->ladder;
  const Result<std::size_t> rung = parse_rung_number(o.rung, ladder);
  if (!rung) return report_bad_input(rung.problem());
  const Result<Flyer> flyer =
      o.athlete.empty() ? Result<Flyer>(make_flyer(Athlete{}, embedded_shapes())) : load_flyer(o.athlete);
  if (!flyer) return report_bad_input(flyer.problem());
  const ShareOut share = [&o](std::size_t count, const std::function<void(std::size_t)>& work) {
    share_out(count, work, o.threads);
  };
  const RungSimulation simulation = simulate_rung(ladder, *rung, *flyer);
  const std::optional<RungSpread> landings =
      rung_spread(ladder, *rung, *flyer, simulation, o.spread, o.flights, o.seed, share);
  const std::string& title = ladder.rungs[*rung].title;
  Json json;
  json["rung"] = *rung;
  json["title"] = title;
  json["feasible"] = landings.has_value();
  json["shortfalls"] = simulation.solved.feasibility.shortfalls;
  json["assumed"] = {{"air_time_s", o.spread.air_time},         {"momentum_share", o.spread.momentum},
                     {"direction_deg", o.direction_deg},        {"timing_s", o.spread.timing},
                     {"correction_share", o.spread.correction}, {"source", "stated defaults or options"}};
  json["seed"] = o.seed;
  json["threshold"] = o.threshold;
  json["note"] = "model estimate";
  json["landings"] = nullptr;
  json["next_step"] = nullptr;
  if (!landings) {
    std::string text = fmt::format("{}: no flight to vary; a model estimate\n", title);
    for (const std::string& sentence : simulation.solved.feasibility.shortfalls)
      text += fmt::format("  short: {}\n", sentence);
    const Exit printed = print(o.json ? json_text(json) : text);
    return printed == Exit::done ? Exit::no : printed;
  }
  // Nobody moves on from a rung that is not controlled.
  const std::optional<NextStep> next = landings->interval.low >= o.threshold
                                           ? largest_next_step(o, ladder, *rung, *flyer, share)
                                           : std::nullopt;
  json["landings"] = counts_json(*landings);
  json["most_sensitive_to"] = takeoff_factor_word(most_sensitive(*landings));
  if (next) {
    json["next_step"] = {{"step_deg", next->step_deg},
                         {"title", next->title},
                         {"share", next->spread.share},
                         {"interval", {next->spread.interval.low, next->spread.interval.high}}};
  }
  return print(o.json ? json_text(json) : spread_text(ladder.rungs[*rung], *landings, next, o));
}

}  // namespace

void add_spread_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<SpreadOptions>();
  SpreadOptions& o = *options;
  CLI::App* command = program.add_subcommand(
      "spread", "Estimate how a rung would land when takeoffs vary, and the largest next step");
  command->add_option("plan", o.plan, "The plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command->add_option("--rung", o.rung, "Number of the rung, the base is 0")->required();
  command->add_option("--athlete", o.athlete, "Athlete file; else an average adult");
  command->add_option("--flights", o.flights, "How many takeoffs")
      ->check(CLI::Range(1, 100000000))
      ->capture_default_str();
  command->add_option("--seed", o.seed, "The same seed gives the same answer")->capture_default_str();
  command
      ->add_option("--threads", o.threads, "0: as many as the machine has; the answer does not depend on it")
      ->check(CLI::Range(0, 256))
      ->capture_default_str();
  command->add_option("--threshold", o.threshold, "Share of controlled landings a next step must reach")
      ->check(CLI::Range(0.0, 1.0))
      ->capture_default_str();
  command->add_option("--air-time-sd", o.spread.air_time, "Standard deviation of the air time, s")
      ->check(CLI::Range(0.0, 0.3))
      ->capture_default_str();
  command->add_option("--momentum-sd", o.spread.momentum, "Of the angular momentum, as a share of it")
      ->check(CLI::Range(0.0, 0.5))
      ->capture_default_str();
  command->add_option("--direction-sd", o.direction_deg, "Of its direction, degrees")
      ->check(CLI::Range(0.0, 30.0))
      ->capture_default_str();
  command->add_option("--timing-sd", o.spread.timing, "Of the timing of arms and body, s")
      ->check(CLI::Range(0.0, 0.1))
      ->capture_default_str();
  command->add_option("--correction", o.spread.correction, "Share of an error that is taken out in the air")
      ->check(CLI::Range(0.0, 1.0))
      ->capture_default_str();
  command->add_flag("--json", o.json, "Print one JSON object");
  command->callback([options, &chosen] { chosen = [options] { return run_spread(*options); }; });
}

}  // namespace halfturn
