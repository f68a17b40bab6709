#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/json_reader.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/spread_answer.hpp"
#include "ladder/spread_fit.hpp"
#include "logbook_options.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "rotation/heading.hpp"
#include "session/spread_shown.hpp"
#include "share_out.hpp"
#include "simulations.hpp"

namespace halfturn {
namespace {

struct SpreadOptions {
  std::string plan, rung, athlete, logbook, athlete_name;
  SpreadQuestion question;
  double direction_deg = to_deg(question.spread.direction);
  unsigned threads = 0;
  bool demo = false, json = false;
};

/// Who flies, and how that athlete's takeoffs vary.
struct Takeoffs {
  Flyer flyer;
  std::string body;  ///< whose body it is, in words
  std::string source;
  std::optional<SpreadFit> fit;  ///< with a logbook
};

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
  for (const TakeoffFactor factor : takeoff_factors) {
    json["sensitivity"].push_back({{"factor", takeoff_factor_word(factor)},
                                   {"heading_deg_per_deviation", c.heading_by_deg(factor)},
                                   {"angle_deg_per_deviation", c.angle_by_deg(factor)}});
  }
  return json;
}

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

std::string off_words(const std::optional<double>& error_deg) {
  const double error = std::round(error_deg.value_or(0));
  if (error == 0) return "on the plan on average";
  return fmt::format("{:.0f} degrees {} on average", std::abs(error), error < 0 ? "short" : "long");
}

std::string spread_text(const Rung& rung, const SpreadAnswer& answer, const Takeoffs& takeoffs,
                        const SpreadQuestion& q) {
  const RungSpread& s = *answer.landings;
  const LandingCounts& c = s.counts;
  std::string text;
  const auto out = std::back_inserter(text);
  fmt::format_to(out, "{}: {} of {} flights controlled, {}; a model estimate\n", rung.title, c.controlled,
                 c.flights, share_words(s));
  fmt::format_to(out, "heading at first contact: {:+.0f} +- {:.0f} degrees, {:.0f} allowed\n",
                 c.heading_mean_deg(), c.heading_sd_deg(), to_deg(s.tolerance.heading));
  fmt::format_to(
      out, "long axis from vertical: {:.0f} +- {:.0f} degrees, planned {:.0f}, {:.0f} more allowed\n",
      c.angle_mean_deg(), c.angle_sd_deg(), rung.landing.contact_angle_deg, to_deg(s.tolerance.upright));
  fmt::format_to(out, "what one usual error does (the swing is the angular momentum of the takeoff)\n");
  for (const TakeoffFactor factor : takeoff_factors) {
    fmt::format_to(out, "  {:<21} heading {:+5.1f}, from vertical {:+5.1f} degrees\n",
                   takeoff_factor_word(factor), c.heading_by_deg(factor), c.angle_by_deg(factor));
  }
  fmt::format_to(out, "most sensitive to: {}\n", takeoff_factor_word(answer.most_sensitive));
  fmt::format_to(out, "{}\n", next_step_words(answer, q, rung.title));
  fmt::format_to(out, "body: {}; spread: {}\n", takeoffs.body, takeoffs.source);
  if (takeoffs.fit && takeoffs.fit->turn) {
    const FittedDeviation& turn = *takeoffs.fit->turn;
    fmt::format_to(out,
                   "  angular momentum, direction and timing {:.1f} times the default ({:.1f} to {:.1f}): a "
                   "landing heading does not tell them apart\n",
                   turn.deviation, turn.low, turn.high);
    fmt::format_to(out, "  in the logbook the landings are {}; the model aims at the plan\n",
                   off_words(takeoffs.fit->heading_mean_deg));
  }
  const TakeoffSpread& spread = q.spread;
  fmt::format_to(out,
                 "standard deviations: air time {:.3f} s, angular momentum {:.1f} %, its direction {:.1f} "
                 "degrees,\ntiming {:.3f} s; {} of an error is taken out in the air. {}\n",
                 spread.air_time, 100 * spread.momentum, to_deg(spread.direction), spread.timing,
                 percent(spread.correction), ladder_caution);
  return text;
}

Json fitted_json(const std::optional<FittedDeviation>& fitted) {
  if (!fitted) return nullptr;
  return {
      {"attempts", fitted->values}, {"value", fitted->deviation}, {"interval", {fitted->low, fitted->high}}};
}

Json fit_json(const std::optional<SpreadFit>& fit) {
  if (!fit) return nullptr;
  return {{"fewest_attempts", fewest_fitted},
          {"air_times", fit->air_times},
          {"headings", fit->headings},
          {"air_time_s", fitted_json(fit->air_time)},
          {"turn_scale", fitted_json(fit->turn)},
          {"air_time_from_profile", fit->air_time_from_profile},
          {"heading_mean_deg", fit->heading_mean_deg ? Json(*fit->heading_mean_deg) : Json(nullptr)}};
}

/// The body and the spread that the options name.
Result<Takeoffs> takeoffs_of(SpreadOptions& o, const Ladder& ladder, const ShareOut& share) {
  Takeoffs takeoffs{make_flyer(Athlete{}, embedded_shapes()), "an average adult", "default, or as given", {}};
  if (!o.athlete.empty()) {
    Result<Flyer> loaded = load_flyer(o.athlete);
    if (!loaded) return loaded.problem();
    takeoffs.flyer = std::move(loaded).value();
    takeoffs.body = "as in " + o.athlete;
  }
  if (o.logbook.empty() && o.athlete_name.empty()) return takeoffs;
  const Result<LoggedAthlete> logged = named_athlete(o.logbook, o.athlete_name, ladder);
  if (!logged) return logged.problem();
  if (o.athlete.empty()) {
    takeoffs.flyer = flyer_of(logged->profile);
    takeoffs.body = body_of(logged->profile) ? logged->profile.name + "'s"
                                             : "an average adult, since the profile lacks height or mass";
  }
  takeoffs.fit = fit_spread(ladder, logged->records, takeoffs.flyer, o.question.spread,
                            logged->profile.air_time_spread_s, share);
  o.question.spread = takeoffs.fit->spread;
  takeoffs.source = fit_words(*takeoffs.fit);
  return takeoffs;
}

Exit run_spread(SpreadOptions o) {
  o.question.spread.direction = to_rad(o.direction_deg);
  const Result<LoadedPlan> plan = load_ladder(o.plan, o.demo);
  if (!plan) return report_bad_input(plan.problem());
  const Ladder& ladder = plan->ladder;
  const Result<std::size_t> rung = parse_rung_number(o.rung, ladder);
  if (!rung) return report_bad_input(rung.problem());
  const ShareOut share = [&o](std::size_t count, const std::function<void(std::size_t)>& work) {
    share_out(count, work, o.threads);
  };
  const Result<Takeoffs> takeoffs = takeoffs_of(o, ladder, share);
  if (!takeoffs) return report_bad_input(takeoffs.problem());
  const SpreadAnswer answer = answer_spread(ladder, *rung, takeoffs->flyer, o.question, built_in_vocabulary(),
                                            built_in_difficulty(), share);
  const std::string& title = ladder.rungs[*rung].title;
  const std::vector<std::string>& shortfalls = answer.simulation.solved.feasibility.shortfalls;
  const TakeoffSpread& spread = o.question.spread;
  Json json;
  json["rung"] = *rung;
  json["title"] = title;
  json["feasible"] = answer.landings.has_value();
  json["shortfalls"] = shortfalls;
  json["body"] = takeoffs->body;
  json["assumed"] = {{"air_time_s", spread.air_time},
                     {"momentum_share", spread.momentum},
                     {"direction_deg", to_deg(spread.direction)},
                     {"timing_s", spread.timing},
                     {"correction_share", spread.correction},
                     {"source", takeoffs->source}};
  json["fit"] = fit_json(takeoffs->fit);
  json["seed"] = o.question.seed;
  json["threshold"] = o.question.threshold;
  json["note"] = "model estimate";
  json["landings"] = nullptr;
  json["next_step"] = nullptr;
  if (!answer.landings) {
    std::string text = fmt::format("{}: no flight to vary; a model estimate\n", title);
    for (const std::string& sentence : shortfalls) text += fmt::format("  short: {}\n", sentence);
    const Exit printed = print(o.json ? json_text(json) : text);
    return printed == Exit::done ? Exit::no : printed;
  }
  json["landings"] = counts_json(*answer.landings);
  json["most_sensitive_to"] = takeoff_factor_word(answer.most_sensitive);
  if (const auto& next = answer.next) {
    json["next_step"] = {{"step_deg", next->step_deg},
                         {"title", next->title},
                         {"share", next->spread.share},
                         {"interval", {next->spread.interval.low, next->spread.interval.high}}};
  }
  return print(o.json ? json_text(json) : spread_text(ladder.rungs[*rung], answer, *takeoffs, o.question));
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
  CLI::Option* logbook =
      command->add_option("--logbook", o.logbook,
                          "Logbook whose attempts tell how this athlete's takeoffs vary; with too few, "
                          "the defaults");
  CLI::Option* name =
      command->add_option("--athlete-name", o.athlete_name, "Athlete in the logbook; else that of the plan");
  command->add_option("--flights", o.question.flights, "How many takeoffs")
      ->check(CLI::Range(1, 100000000))
      ->capture_default_str();
  command->add_option("--seed", o.question.seed, "The same seed gives the same answer")
      ->capture_default_str();
  command
      ->add_option("--threads", o.threads, "0: as many as the machine has; the answer does not depend on it")
      ->check(CLI::Range(0, 256))
      ->capture_default_str();
  command
      ->add_option("--threshold", o.question.threshold, "Share of controlled landings a next step must reach")
      ->check(CLI::Range(0.0, 1.0))
      ->capture_default_str();
  // What is fitted from a logbook is not given besides.
  const auto add_deviation = [&](const char* option, double& value, const char* what, double greatest) {
    command->add_option(option, value, what)
        ->check(CLI::Range(0.0, greatest))
        ->capture_default_str()
        ->excludes(logbook)
        ->excludes(name);
  };
  TakeoffSpread& spread = o.question.spread;
  add_deviation("--air-time-sd", spread.air_time, "Standard deviation of the air time, s", 0.3);
  add_deviation("--momentum-sd", spread.momentum, "Of the angular momentum, as a share of it", 0.5);
  add_deviation("--direction-sd", o.direction_deg, "Of its direction, degrees", 30);
  add_deviation("--timing-sd", spread.timing, "Of the timing of arms and body, s", 0.1);
  command->add_option("--correction", spread.correction, "Share of an error that is taken out in the air")
      ->check(CLI::Range(0.0, 1.0))
      ->capture_default_str();
  command->add_flag("--json", o.json, "Print one JSON object");
  command->callback([options, &chosen] { chosen = [options] { return run_spread(*options); }; });
}

}  // namespace halfturn
