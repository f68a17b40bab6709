#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/file.hpp"
#include "format/gate_rules.hpp"
#include "format/ladder_json.hpp"
#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "logbook_options.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "simulations.hpp"

namespace halfturn {
namespace {

/// What the command line said, still as text.
struct LadderOptions {
  std::string plan, base, to, from, hold, start_heading, landing_heading, mark, side, timing, takeoff, setup,
      surface, shape, step, air_time, floor_turn, foot_turn, incline, lean, kick_leg, vocabulary, cycle,
      athlete, output, logbook, athlete_name, gate;
  bool json = false;
  bool finish = false;
  bool demo = false;
};

std::vector<std::string> split(const std::string& text, char separator) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == separator) {
      parts.emplace_back();
    } else {
      parts.back() += c;
    }
  }
  return parts;
}

/// "180", "180,90,90", "180,takeoff=step"; parts joined by + belong to one step.
Result<std::vector<Step>> parse_steps(const std::string& text) {
  std::vector<Step> steps;
  for (const std::string& item : split(text, ',')) {
    Step step;
    for (const std::string& part : split(item, '+')) {
      const std::size_t equals = part.find('=');
      if (equals == std::string::npos) {
        const Result<double> degrees = parse_number(part, "--step");
        if (!degrees) return degrees.problem();
        if (*degrees < 1 || *degrees > 360 || *degrees != std::floor(*degrees)) {
          return Problem{"", "--step",
                         fmt::format("is {}, must be a whole number of degrees from 1 to 360", part)};
        }
        step.twist_deg = *degrees;
        continue;
      }
      const std::string key = part.substr(0, equals);
      const std::string value = part.substr(equals + 1);
      if (key == "takeoff") {
        step.takeoff = value;
      } else if (key == "setup") {
        step.setup = value;
      } else if (key == "shape") {
        step.shape = value;
      } else if (key == "surface") {
        step.surface = value;
      } else {
        return Problem{
            "", "--step",
            fmt::format("\"{}\" cannot change; a step changes degrees, takeoff, setup, shape or surface",
                        key)};
      }
    }
    steps.push_back(std::move(step));
  }
  return steps;
}

void set_text(std::optional<std::string>& target, const std::string& text) {
  if (!text.empty()) target = text;
}

/// The plan file's key of a problem as the option that a person typed.
Problem as_option(Problem problem) {
  std::string& place = problem.place;
  if (place.starts_with("rungs[")) {
    const std::size_t dot = place.find('.');
    problem.text = place.substr(0, dot) + " " + problem.text;
    place = "--step";
    return problem;
  }
  if (place == "held_heading_deg") {
    place = "--start-heading or --landing-heading";
    return problem;
  }
  if (place.ends_with("_deg")) place.resize(place.size() - 4);
  if (place.ends_with("_s")) place.resize(place.size() - 2);
  std::replace(place.begin(), place.end(), '_', '-');
  if (!place.empty() && !place.starts_with("--")) place.insert(0, "--");
  return problem;
}

Outcome set_headings(Plan& plan, const LadderOptions& options, bool holds_start) {
  const std::string& held = holds_start ? options.start_heading : options.landing_heading;
  const std::string& other = holds_start ? options.landing_heading : options.start_heading;
  if (!other.empty()) {
    return Problem{
        "", holds_start ? "--landing-heading" : "--start-heading",
        fmt::format("this ladder holds the {}, the other end follows from it; give {} or change --hold",
                    holds_start ? "start" : "landing",
                    holds_start ? "--start-heading" : "--landing-heading")};
  }
  std::optional<double> heading;
  if (Outcome problem = set_number(heading, held, holds_start ? "--start-heading" : "--landing-heading"))
    return problem;
  plan.held_heading_deg = heading.value_or(0);
  return std::nullopt;
}

/// A plan from the options alone.
Result<Plan> plan_of(const LadderOptions& options, const Vocabulary& vocabulary) {
  if (options.base.empty()) {
    return Problem{"", "--base",
                   "is missing: name the skill the athlete owns, for instance --base \"back flip\""};
  }
  if (options.to.empty()) return Problem{"", "--to", "is missing: say how many degrees the target has"};
  Plan plan;
  plan.base = options.base;
  plan.side = options.side == "right" ? Side::right : Side::left;
  plan.timing = options.timing;
  plan.cycle = options.cycle;
  set_text(plan.hold, options.hold);
  set_text(plan.takeoff, options.takeoff);
  set_text(plan.setup, options.setup);
  set_text(plan.surface, options.surface);
  set_text(plan.shape, options.shape);
  set_text(plan.kick_leg, options.kick_leg);
  const struct {
    std::optional<double>& target;
    const std::string& text;
    const char* option;
  } numbers[] = {{plan.from_deg, options.from, "--from"},
                 {plan.mark_deg, options.mark, "--mark"},
                 {plan.air_time_s, options.air_time, "--air-time"},
                 {plan.floor_turn_deg, options.floor_turn, "--floor-turn"},
                 {plan.foot_turn_deg, options.foot_turn, "--foot-turn"},
                 {plan.incline_deg, options.incline, "--incline"},
                 {plan.lean_deg, options.lean, "--lean"}};
  for (const auto& number : numbers) {
    if (Outcome problem = set_number(number.target, number.text, number.option)) return *problem;
  }
  // The steps need the base's first rung; an unknown base or choice is told by make_ladder, before any of
  // this matters.
  const Result<Ladder> bare = make_ladder(plan, vocabulary, built_in_difficulty());
  if (!bare) return as_option(bare.problem());
  if (Outcome problem = set_headings(plan, options, bare->holds_start)) return *problem;
  const Result<double> to = parse_number(options.to, "--to");
  if (!to) return to.problem();
  const Result<std::vector<Step>> given = parse_steps(options.step);
  if (!given) return given.problem();
  const double first = first_deg(plan, *bare->base);
  Result<std::vector<Step>> steps = steps_to(first, *to, *given);
  if (!steps) return as_option(steps.problem());
  plan.steps = std::move(steps).value();
  plan.base = bare->base->name;
  plan.title = fmt::format("{} to {:.6g}", plan.base, *to);
  return plan;
}

constexpr std::string_view usual_air_words =
    "the low end of what is usual for the skill (common practice), nobody's in particular;\n"
    "  --athlete FILE flies a body and says what that body needs";
constexpr std::string_view simulated_air_words =
    "the least in which the simulated flight of this body lands with control (a model's estimate)";

std::string seconds(double value) {
  return fmt::format("{:.2f} s", value);
}

/// The finish of every rung for a person.
std::string finish_text(const Ladder& ladder, const std::vector<FinishPlan>& finishes,
                        const std::vector<RungSimulation>& simulations) {
  std::string text = "\nhow to finish (times are estimates, from takeoff)\n";
  const auto out = std::back_inserter(text);
  for (std::size_t k = 0; k < finishes.size(); ++k) {
    fmt::format_to(out, "{:>4}  {}\n", k == 0 ? "base" : fmt::format("{}", k), ladder.rungs[k].title);
    if (k < simulations.size() && !flies_simulated(simulations[k])) {
      fmt::format_to(out, "      NOT WITH THIS JUMP: {}\n",
                     fmt::join(simulations[k].solved.feasibility.shortfalls, "; "));
    }
    std::optional<FinishPart> part;
    for (const FinishLine& line : finishes[k].lines) {
      fmt::format_to(out, "      {:<16}  {:>6}  {}\n", part == line.part ? "" : finish_part_word(line.part),
                     line.time_s ? seconds(*line.time_s) : "", line.text);
      part = line.part;
    }
    fmt::format_to(out, "      {}\n", finishes[k].source);
  }
  return text;
}

/// The ladder for a person: target on top, as it is climbed.
std::string ladder_text(const Ladder& ladder, const std::vector<FinishPlan>& finishes,
                        const std::vector<RungSimulation>& simulations) {
  std::string text;
  const auto out = std::back_inserter(text);
  const Walls& walls = ladder.plan.walls;
  fmt::format_to(out, "{} to {}, twisting {}, the {} is held\n\n", ladder.rungs.front().title,
                 ladder.rungs.back().title, word(ladder.plan.side), ladder.holds_start ? "start" : "landing");
  std::size_t title_width = 5;
  std::size_t start_width = 5;
  std::size_t landing_width = 5;
  for (const Rung& rung : ladder.rungs) {
    title_width = std::max(title_width, rung.title.size());
    start_width = std::max(start_width,
                           facing_words(rung.start.heading_deg, walls).size() + rung.start.stance.size() + 2);
    landing_width = std::max(landing_width, facing_words(rung.landing.heading_deg, walls).size());
  }
  fmt::format_to(out, "{:>4}  {:<{}}  {:>6}  {:<{}}  {:<{}}  {:<10}  {}\n", "rung", "skill", title_width,
                 "turn", "start", start_width, "lands facing", std::max<std::size_t>(landing_width, 12),
                 "landing", simulations.empty() ? "air, usually from" : "air needed (estimate)");
  for (auto rung = ladder.rungs.rbegin(); rung != ladder.rungs.rend(); ++rung) {
    fmt::format_to(out, "{:>4}  {:<{}}  {:>+6.6g}  {:<{}}  {:<{}}  {:<10}  {}",
                   rung->index == 0 ? "base" : fmt::format("{}", rung->index), rung->title, title_width,
                   rung->turn_deg,
                   fmt::format("{}, {}", facing_words(rung->start.heading_deg, walls), rung->start.stance),
                   start_width, facing_words(rung->landing.heading_deg, walls),
                   std::max<std::size_t>(landing_width, 12), rung->landing.kind,
                   static_cast<std::size_t>(rung->index) < simulations.size() &&
                           !simulations[static_cast<std::size_t>(rung->index)].air_time_needed_s
                       ? std::string("no air time found that is enough")
                       : seconds(told_air_s(rung->air_time_needed_s)));
    if (rung->air_time_margin_s)
      fmt::format_to(out, ", {}", air_margin_words(rung->air_time_needed_s, *rung->air_time_margin_s));
    if (rung->difficulty)
      fmt::format_to(out, ", difficulty {:.1f} (FIG {})", *rung->difficulty, ladder.cycle);
    text += '\n';
  }
  fmt::format_to(out, "\nair needed: {}\n", simulations.empty() ? usual_air_words : simulated_air_words);
  text += "\nwalk it\n";
  for (const Rung& rung : ladder.rungs) {
    fmt::format_to(out, "{:>4}  {}\n", rung.index == 0 ? "base" : fmt::format("{}", rung.index),
                   rung.floor_walk);
    for (const std::string& warning : rung.warnings) fmt::format_to(out, "      note: {}\n", warning);
    if (rung.forms.size() > 1) {
      fmt::format_to(out, "      the same kick:");
      for (const RungForm& form : rung.forms)
        fmt::format_to(out, " {} turns {:.6g};", form.label, std::abs(form.turn_deg));
      text.back() = '\n';
    }
  }
  if (!finishes.empty()) text += finish_text(ladder, finishes, simulations);
  fmt::format_to(out, "\n{}\n", ladder_caution);
  return text;
}

/// A plan that is there already says what these options would say for a new one.
Outcome only_of_new_plans(const LadderOptions& o) {
  if (o.demo && !o.plan.empty()) return Problem{"", "--demo", "a plan is given too; give one of them"};
  // What the command line fills in by itself was not asked for.
  const std::string none, left = "left", late = "late", half = "180";
  const std::pair<const char*, const std::string*> options[] = {
      {"--base", &o.base},
      {"--to", &o.to},
      {"--from", &o.from},
      {"--hold", &o.hold},
      {"--start-heading", &o.start_heading},
      {"--landing-heading", &o.landing_heading},
      {"--mark", &o.mark},
      {"--side", o.side == left ? &none : &o.side},
      {"--timing", o.timing == late ? &none : &o.timing},
      {"--takeoff", &o.takeoff},
      {"--setup", &o.setup},
      {"--surface", &o.surface},
      {"--shape", &o.shape},
      {"--step", o.step == half ? &none : &o.step},
      {"--air-time", &o.air_time},
      {"--floor-turn", &o.floor_turn},
      {"--foot-turn", &o.foot_turn},
      {"--incline", &o.incline},
      {"--lean", &o.lean},
      {"--kick-leg", &o.kick_leg},
      {"--cycle", &o.cycle}};
  for (const auto& [name, value] : options) {
    if (!value->empty())
      return Problem{"", name,
                     "is for a new plan made with --base; change it in the plan's file or in the viewer"};
  }
  return std::nullopt;
}

Exit run_ladder(const LadderOptions& options) {
  Vocabulary vocabulary = built_in_vocabulary();
  if (!options.vocabulary.empty()) {
    const Result<std::string> text = read_file(options.vocabulary);
    if (!text) return report_bad_input(text.problem());
    Result<Vocabulary> extended = read_vocabulary(*text, options.vocabulary, std::move(vocabulary));
    if (!extended) return report_bad_input(extended.problem());
    vocabulary = std::move(extended).value();
  }
  PlanFile file;
  if (options.demo || !options.plan.empty()) {
    if (const Outcome problem = only_of_new_plans(options)) return report_bad_input(*problem);
  }
  if (options.demo) {
    file = demo_plan();
  } else if (!options.plan.empty()) {
    Result<PlanFile> loaded = load_plan(options.plan);
    if (!loaded) return report_bad_input(loaded.problem());
    file = std::move(loaded).value();
  } else {
    Result<Plan> plan = plan_of(options, vocabulary);
    if (!plan) return report_bad_input(plan.problem());
    file.plan = std::move(plan).value();
  }
  if (!options.gate.empty()) {
    const Result<GateRules> rules = change_gate_rules(file.plan.gate, options.gate, "--gate");
    if (!rules) return report_bad_input(rules.problem());
    file.plan.gate = *rules;
  }
  Result<Ladder> made = make_ladder(file.plan, vocabulary, built_in_difficulty());
  if (!made) {
    Problem problem = options.plan.empty() ? as_option(made.problem()) : made.problem();
    problem.file = options.plan;
    return report_bad_input(problem);
  }
  Ladder ladder = std::move(made).value();
  std::optional<Flyer> flyer;
  std::vector<RungSimulation> simulations;
  if (!options.athlete.empty()) {
    Result<Flyer> loaded = load_flyer(options.athlete);
    if (!loaded) return report_bad_input(loaded.problem());
    flyer = std::move(loaded).value();
    simulations = simulations_of(ladder, *flyer);
    take_air_times(ladder, simulations);
  }
  std::vector<FinishPlan> finishes;
  if (options.json || options.finish)
    finishes = flyer ? finishes_of(ladder, *flyer, simulations) : finishes_of(ladder);
  const Result<std::vector<Gate>> gates = named_gates(options.logbook, options.athlete_name, ladder);
  if (!gates) return report_logbook(gates.problem());
  if (!options.output.empty()) {
    if (const Outcome problem = write_file(options.output, write_plan(file)))
      return report_no_output(*problem);
  }
  Json json = options.json ? ladder_json(ladder, finishes, simulations) : Json();
  for (std::size_t k = 0; options.json && k < gates->size(); ++k)
    json["rungs"][k]["gate"] = gate_json((*gates)[k]);
  const Exit printed =
      print(options.json ? json_text(json)
                         : ladder_text(ladder, finishes, simulations) +
                               (flyer ? simulations_text(ladder, *flyer, simulations) : std::string()) +
                               gates_text(ladder, *gates));
  if (printed != Exit::done) return printed;
  const bool short_of_air = std::any_of(ladder.rungs.begin(), ladder.rungs.end(), [](const Rung& rung) {
    return rung.air_time_margin_s && *rung.air_time_margin_s < 0;
  });
  return short_of_air ? Exit::no : Exit::done;
}

}  // namespace

void add_ladder_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<LadderOptions>();
  LadderOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("ladder", "Compute the checkpoints from a base skill to a target");
  command->add_option("plan", o.plan, "A plan file to read instead of --base, --to and --step");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command->add_option("--base", o.base, "Skill the athlete owns, for instance \"back flip\"");
  command->add_option("--to", o.to, "Target in degrees: twist of a flip or jump, whole turn of a kick");
  command
      ->add_option("--step", o.step,
                   "Degrees of each step (180), a list (180,90,90), or changes of parts (180,takeoff=step)")
      ->default_val("180");
  command->add_option("--from", o.from, "Degrees of the first rung, if it is not the base's own");
  command->add_option("--side", o.side, "The way the chest turns")
      ->check(CLI::IsMember({"left", "right"}))
      ->default_val("left");
  command->add_option("--hold", o.hold, "Which end stays: flips hold the start, kicks the landing")
      ->check(CLI::IsMember({"start", "landing"}));
  command->add_option("--start-heading", o.start_heading,
                      "Heading at the start when it is held, degrees, left positive");
  command->add_option("--landing-heading", o.landing_heading, "Heading on landing when it is held");
  command->add_option("--mark", o.mark, "Heading of the mark (target or audience)");
  command->add_option("--timing", o.timing, "Early (Arabian) or late (back half) twist")
      ->check(CLI::IsMember({"early", "late"}))
      ->default_val("late");
  command->add_option("--takeoff", o.takeoff, "both feet, one leg swinging through, step or punch");
  command->add_option("--setup", o.setup, "standing, run, hop, roundoff or cartwheel");
  command->add_option("--surface", o.surface, "sprung floor, mat, grass, tumble track or trampoline");
  command->add_option("--shape", o.shape, "tuck, pike, straight or open, as the skill allows");
  command->add_option("--air-time", o.air_time, "Measured air time in seconds");
  command->add_option("--floor-turn", o.floor_turn, "Degrees turned before the last foot leaves");
  command->add_option("--foot-turn", o.foot_turn, "Degrees turned on the foot after contact");
  command->add_option("--incline", o.incline, "Inclination of the flip axis in degrees");
  command->add_option("--lean", o.lean, "Lean in degrees");
  command->add_option("--kick-leg", o.kick_leg, "The leg that kicks")
      ->check(CLI::IsMember({"left", "right"}));
  command->add_option("--vocabulary", o.vocabulary, "A coach's own skills, added to the built-in ones");
  command->add_option("--cycle", o.cycle, "FIG cycle whose difficulty is shown");
  command->add_option(
      "--gate", o.gate,
      "Change the rules for passing a rung, for instance needed=2,attempts_cap=8; kept in the plan");
  command->add_option("--athlete-name", o.athlete_name, "Show where this athlete of the logbook stands");
  command->add_option("--athlete", o.athlete,
                      "Fly every rung with the body of this athlete file: what it needs and what is short");
  command->add_option("--logbook", o.logbook, "File of the logbook, instead of the default one");
  command->add_option("-o,--output", o.output, "Write the plan to this file");
  command->add_flag("--finish", o.finish, "Print how to finish every rung");
  command->add_flag("--json", o.json, "Print one JSON object");
  command->callback([options, &chosen] { chosen = [options] { return run_ladder(*options); }; });
}

}  // namespace halfturn
