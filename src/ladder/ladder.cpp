#include "ladder/ladder.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "planned_values.hpp"
#include "rotation/heading.hpp"
#include "rung_words.hpp"

namespace halfturn {
namespace {

Problem at(std::string place, std::string text) {
  return Problem{"", std::move(place), std::move(text)};
}

bool is_whole(double value) {
  return std::isfinite(value) && value == std::floor(value);
}

bool contains(const std::vector<std::string>& list, const std::string& text) {
  return std::find(list.begin(), list.end(), text) != list.end();
}

/// A choice that must be one of a list; empty when it is, or when nothing was chosen.
Outcome check_choice(const std::optional<std::string>& choice, const std::vector<std::string>& known,
                     const std::string& place) {
  if (!choice || contains(known, *choice)) return std::nullopt;
  return at(place, fmt::format("\"{}\" is not known; known are: {}", *choice, fmt::join(known, ", ")));
}

Outcome check_range(const std::optional<double>& value, double low, double high, const char* place) {
  if (!value || (low <= *value && *value <= high)) return std::nullopt;
  return at(place, fmt::format("is {}, must be between {} and {}", *value, low, high));
}

Outcome check_numbers(const Plan& plan, const Skill& base) {
  const struct {
    std::optional<double> value;
    double low, high;
    const char* place;
  } ranges[] = {
      {plan.held_heading_deg, -360, 360, "held_heading_deg"},
      {plan.mark_deg, -360, 360, "mark_deg"},
      {plan.floor_turn_deg, 0, 360, "floor_turn_deg"},
      {plan.foot_turn_deg, 0, 360, "foot_turn_deg"},
      {plan.incline_deg, 0, 90, "incline_deg"},
      {plan.lean_deg, 0, 90, "lean_deg"},
      {plan.air_time_s, 0.05, 5, "air_time_s"},
  };
  for (const auto& range : ranges) {
    if (Outcome problem = check_range(range.value, range.low, range.high, range.place)) return problem;
  }
  const double lowest = base.kicks.empty() ? 0 : 180;
  if (plan.from_deg &&
      (!is_whole(*plan.from_deg) || *plan.from_deg < lowest || *plan.from_deg > greatest_twist_deg)) {
    return at("from_deg", fmt::format("is {}, must be a whole number of degrees from {} to {}",
                                      *plan.from_deg, lowest, greatest_twist_deg));
  }
  return std::nullopt;
}

Outcome check_steps(const Plan& plan, const Skill& base, const Vocabulary& vocabulary) {
  double reached = first_deg(plan, base);
  for (std::size_t i = 0; i < plan.steps.size(); ++i) {
    const Step& step = plan.steps[i];
    const std::string place = fmt::format("rungs[{}].", i + 1);
    if (auto complaint = step_complaint(step)) return at(place + "step_deg", std::move(*complaint));
    reached += step.twist_deg;
    if (reached > greatest_twist_deg) {
      return at(place + "step_deg",
                fmt::format("leads to {} degrees, ladders go up to {}", reached, greatest_twist_deg));
    }
    if (Outcome problem = check_choice(step.takeoff, vocabulary.takeoffs, place + "takeoff")) return problem;
    if (Outcome problem = check_choice(step.setup, vocabulary.setups, place + "setup")) return problem;
    if (Outcome problem = check_choice(step.surface, vocabulary.surfaces, place + "surface")) return problem;
    if (Outcome problem = check_choice(step.shape, base.shapes, place + "shape")) return problem;
  }
  return std::nullopt;
}

Outcome check_choices(const Plan& plan, const Skill& base, const Vocabulary& vocabulary) {
  static const std::vector<std::string> holds = {"start", "landing"};
  static const std::vector<std::string> timings = {"late", "early"};
  static const std::vector<std::string> legs = {"left", "right"};
  if (Outcome problem = check_choice(plan.hold, holds, "hold")) return problem;
  if (Outcome problem = check_choice(plan.timing, timings, "timing")) return problem;
  if (Outcome problem = check_choice(plan.kick_leg, legs, "kick_leg")) return problem;
  if (Outcome problem = check_choice(plan.takeoff, vocabulary.takeoffs, "takeoff")) return problem;
  if (Outcome problem = check_choice(plan.setup, vocabulary.setups, "setup")) return problem;
  if (Outcome problem = check_choice(plan.surface, vocabulary.surfaces, "surface")) return problem;
  if (Outcome problem = check_choice(plan.shape, base.shapes, "shape")) return problem;
  if (plan.kick_leg && base.kicks.empty())
    return at("kick_leg", fmt::format("the {} has no kick", base.name));
  return std::nullopt;
}

/// The choices that hold on a rung, as the steps so far have changed them.
struct Choices {
  std::optional<std::string> takeoff, setup, surface, shape;

  void take(const Step& step) {
    if (step.takeoff) takeoff = step.takeoff;
    if (step.setup) setup = step.setup;
    if (step.surface) surface = step.surface;
    if (step.shape) shape = step.shape;
  }
};

/// How the turn of a rung is shared out; all unsigned.
struct TurnShares {
  double turn_deg, floor_deg, air_deg, foot_deg;
};

TurnShares share_turn(const Skill& skill, const FlightValues& values, const Plan& plan, double twist_deg) {
  TurnShares shares{};
  shares.turn_deg = twist_deg + skill.turn_beyond_twist_deg;
  // A turn smaller than its share on the floor is all made there.
  shares.floor_deg = std::min(plan.floor_turn_deg.value_or(values.floor_turn_deg), shares.turn_deg);
  shares.foot_deg =
      std::min(plan.foot_turn_deg.value_or(values.foot_turn_deg), shares.turn_deg - shares.floor_deg);
  shares.air_deg = shares.turn_deg - shares.floor_deg - shares.foot_deg;
  return shares;
}

/// The kick of a turn: an inside kick strikes when the chest passes the mark for the last time before
/// contact, an outside kick a quarter before that (common practice).
RungKick kick_of(const Skill& skill, const Kick& kick, const Plan& plan, double turn_deg,
                 double landing_heading_deg, double mark_deg) {
  const double sign = sign_of(plan.side);
  const FlightValues values = values_at(skill, turn_deg, plan.timing == "early", "", "");
  const TurnShares shares = share_turn(skill, values, plan, turn_deg);
  RungKick result{kick.leg, kick.kind, std::nullopt, mark_deg};
  const double before_strike = kick.kind == "outside" ? 90.0 : 0.0;
  result.strike_heading_deg = wrap_deg(mark_deg - sign * before_strike);
  // Turn still to make when the chest points where the kick strikes, the last time before contact.
  double to_go = std::fmod(sign * wrap_deg(landing_heading_deg - mark_deg) + 360.0, 360.0) + before_strike;
  to_go -= shares.foot_deg;
  if (to_go < 0) to_go += 360.0;
  if (shares.air_deg > 0 && to_go <= shares.air_deg) {
    const double done = minimum_jerk_inverse((shares.air_deg - to_go) / shares.air_deg);
    result.strike_share = values.twist_onset + done * (values.twist_end - values.twist_onset);
  }
  return result;
}

RungStart start_of(const Skill& skill, const Plan& plan, double heading_deg, double mark_deg) {
  RungStart start;
  start.heading_deg = heading_deg;
  start.stance = stance_at(heading_deg, mark_deg);
  start.feet = skill.start_feet == "of the stance" ? feet_of_stance(heading_deg, mark_deg)
                                                   : on_side(skill.start_feet, plan.side);
  return start;
}

/// Orientation at first contact: exact degrees where the flip axis is level and nothing leans, else from the
/// flight.
void set_contact(Rung& rung) {
  const FlightValues& v = rung.values;
  const bool upright = rung.skill->rotation == Rotation::upright;
  RungLanding& landing = rung.landing;
  if (upright || (v.incline_deg == 0 && v.lean_deg == 0 && v.landing_lean_deg == 0)) {
    landing.contact_angle_deg = upright ? v.landing_lean_deg : v.landing_phase_deg;
    landing.contact_heading_deg = wrap_deg(landing.heading_deg - rung.foot_turn_deg);
  } else {
    const Quat q_WB = DrawnOrientation(drawn_parameters(rung)).at(1.0);
    landing.contact_angle_deg = to_deg(angle_from_vertical(q_WB));
    const std::optional<double> heading_rad = heading(q_WB);
    landing.contact_heading_deg = heading_rad ? std::optional(to_deg(*heading_rad)) : std::nullopt;
  }
  if (landing.contact_angle_deg >= 179) landing.contact_heading_deg.reset();
}

void set_forms(Rung& rung, const Plan& plan) {
  const Skill& skill = *rung.skill;
  rung.forms.push_back({rung.start.stance, rung.turn_deg, rung.start, rung.kick, rung.landing.feet,
                        rung.floor_turn_deg, rung.air_turn_deg, rung.foot_turn_deg});
  if (!rung.kick) return;
  const double turn = std::abs(rung.turn_deg);
  for (const double form_turn : {turn - 180, turn + 180}) {
    if (form_turn < 180) continue;
    RungForm form;
    form.turn_deg = sign_of(rung.side) * form_turn;
    form.start = start_of(skill, plan, wrap_deg(rung.landing.heading_deg - form.turn_deg), rung.mark_deg);
    form.label = form.start.stance + (form_turn < turn ? ", lighter" : ", heavier");
    form.kick = kick_of(skill, {rung.kick->leg, rung.kick->kind}, plan, form_turn, rung.landing.heading_deg,
                        rung.mark_deg);
    form.landing_feet = rung.landing.feet;
    const FlightValues values = values_at(skill, form_turn, plan.timing == "early", "", "");
    const TurnShares shares = share_turn(skill, values, plan, form_turn);
    form.floor_turn_deg = sign_of(rung.side) * shares.floor_deg + 0.0;
    form.air_turn_deg = sign_of(rung.side) * shares.air_deg + 0.0;
    form.foot_turn_deg = sign_of(rung.side) * shares.foot_deg + 0.0;
    rung.forms.push_back(std::move(form));
  }
}

std::string takeoff_feet(const Skill& skill, const std::string& takeoff, Side side) {
  if (Vocabulary::accepts(skill, takeoff)) return on_side(skill.takeoff_feet, side);
  const bool both = takeoff == "both feet" || takeoff == "punch";
  return both ? "both" : on_side("left", side);
}

/// Everything of one rung but its words.
Rung make_rung(const Plan& plan, const Choices& choices, const Skill& skill, double twist_deg,
               bool holds_start, const DifficultyRule& rule) {
  const double sign = sign_of(plan.side);
  Rung rung;
  rung.skill = &skill;
  rung.side = plan.side;
  rung.takeoff = choices.takeoff.value_or(skill.takeoff);
  rung.setup = choices.setup.value_or(skill.setup);
  rung.surface = choices.surface.value_or(skill.surface);
  rung.shape =
      choices.shape.value_or(twist_deg > 0 && !skill.twist_shape.empty() ? skill.twist_shape : skill.shape);
  rung.takeoff_feet = takeoff_feet(skill, rung.takeoff, plan.side);

  rung.values = planned_values(plan, skill, twist_deg, rung.setup, rung.surface);
  const TurnShares shares = share_turn(skill, rung.values, plan, twist_deg);
  rung.flip_deg = skill.rotation == Rotation::flip ? 360 : 0;
  rung.twist_deg = sign * twist_deg + 0.0;
  rung.turn_deg = sign * shares.turn_deg + 0.0;
  rung.floor_turn_deg = sign * shares.floor_deg + 0.0;
  rung.air_turn_deg = sign * shares.air_deg + 0.0;
  rung.foot_turn_deg = sign * shares.foot_deg + 0.0;
  rung.flip_toward_deg = sign * skill.flip_toward_deg + 0.0;

  const double held = wrap_deg(plan.held_heading_deg);
  const double start_heading = holds_start ? held : wrap_deg(held - rung.turn_deg);
  rung.landing.heading_deg = holds_start ? wrap_deg(held + rung.turn_deg) : held;
  const double own_mark =
      skill.kicks.empty() ? start_heading : wrap_deg(rung.landing.heading_deg - sign * 90.0);
  rung.mark_deg = plan.mark_deg ? wrap_deg(*plan.mark_deg) : own_mark;
  rung.start = start_of(skill, plan, start_heading, rung.mark_deg);
  rung.landing.stance = stance_at(rung.landing.heading_deg, rung.mark_deg);
  rung.landing.feet = on_side(rung.values.landing_feet, plan.side);
  rung.landing.kind =
      skill.rotation == Rotation::upright ? "upright" : landing_kind(rung.flip_toward_deg, rung.twist_deg);

  if (!skill.kicks.empty()) {
    const KickRow& row = kick_at(skill, twist_deg);
    const Kick kick{plan.kick_leg.value_or(on_side(row.kick.leg, plan.side)), row.kick.kind};
    rung.kick = kick_of(skill, kick, plan, twist_deg, rung.landing.heading_deg, rung.mark_deg);
    rung.landing.feet = on_side(row.landing_feet, plan.side);
    rung.counted_deg = twist_deg;
  }
  set_contact(rung);
  set_forms(rung, plan);

  rung.air_time_needed_s = rung.values.air_time_low_s;
  rung.air_time_s = plan.air_time_s;
  if (plan.air_time_s) rung.air_time_margin_s = *plan.air_time_s - rung.air_time_needed_s;
  const bool on_bed =
      skill.discipline == "trampoline" || (rung.surface == "trampoline" && rung.landing.feet == "both");
  if (on_bed && skill.rotation == Rotation::flip && skill.turn_beyond_twist_deg == 0) {
    rung.difficulty =
        single_somersault_difficulty(rule, twist_deg, rung.shape == "straight" || rung.shape == "pike");
  }
  return rung;
}

/// A warning when a step changes more than one part.
void warn_of_many_changes(Rung& rung, const Step& step) {
  std::vector<const char*> parts;
  if (step.twist_deg > 0) parts.push_back("twist");
  if (step.takeoff) parts.push_back("takeoff");
  if (step.setup) parts.push_back("setup");
  if (step.shape) parts.push_back("shape");
  if (step.surface) parts.push_back("surface");
  if (parts.size() > 1) {
    rung.warnings.push_back(fmt::format("{} parts change at once: {}; change one at a time", parts.size(),
                                        fmt::join(parts, ", ")));
  }
}

}  // namespace

double first_deg(const Plan& plan, const Skill& base) {
  return plan.from_deg.value_or(base.first_deg);
}

Result<Ladder> make_ladder(const Plan& plan, const Vocabulary& vocabulary,
                           const DifficultyTable& difficulty) {
  const Skill* base = vocabulary.find(plan.base);
  if (base == nullptr) {
    const std::vector<std::string> near = vocabulary.near_matches(plan.base);
    std::string text = fmt::format("\"{}\" is not a skill of the vocabulary", plan.base);
    if (!near.empty()) text += fmt::format("; did you mean {}?", fmt::join(near, ", "));
    return at("base", text);
  }
  Ladder ladder;
  ladder.plan = plan;
  ladder.base = base;
  ladder.holds_start = plan.hold.value_or(base->hold) == "start";
  ladder.cycle = plan.cycle.empty() ? difficulty.default_cycle : plan.cycle;
  const DifficultyRule* rule = difficulty.find(ladder.cycle);
  if (rule == nullptr) {
    std::vector<std::string> cycles;
    for (const DifficultyRule& known : difficulty.rules) cycles.push_back(known.cycle);
    return at("cycle", fmt::format("no rule for the cycle \"{}\"; known are: {}", ladder.cycle,
                                   fmt::join(cycles, ", ")));
  }
  if (Outcome problem = check_choices(plan, *base, vocabulary)) return *problem;
  if (Outcome problem = check_numbers(plan, *base)) return *problem;
  if (Outcome problem = check_steps(plan, *base, vocabulary)) return *problem;

  Choices choices{plan.takeoff, plan.setup, plan.surface, plan.shape};
  double twist_deg = first_deg(plan, *base);
  ladder.rungs.reserve(plan.steps.size() + 1);
  for (std::size_t k = 0; k <= plan.steps.size(); ++k) {
    if (k > 0) {
      choices.take(plan.steps[k - 1]);
      twist_deg += plan.steps[k - 1].twist_deg;
    }
    // Another takeoff makes another skill of the same rotation, which brings its incline, lean, phases and
    // air time.
    const Skill* counterpart = choices.takeoff ? vocabulary.with_takeoff(*base, *choices.takeoff) : base;
    const Skill& skill = counterpart != nullptr ? *counterpart : *base;
    Rung rung = make_rung(plan, choices, skill, twist_deg, ladder.holds_start, *rule);
    rung.index = static_cast<int>(k);
    if (counterpart == nullptr) {
      rung.warnings.push_back(fmt::format(
          "no skill of the vocabulary does this with the takeoff \"{}\": the values of the {} are kept",
          *choices.takeoff, base->name));
    }
    if (k > 0) {
      rung.step_deg = plan.steps[k - 1].twist_deg;
      rung.cue = plan.steps[k - 1].cue;
      warn_of_many_changes(rung, plan.steps[k - 1]);
    } else {
      rung.cue = plan.base_cue;
    }
    name_rung(rung, plan);
    write_floor_walk(rung, k > 0 ? &ladder.rungs.back() : nullptr, ladder.holds_start, plan);
    ladder.rungs.push_back(std::move(rung));
  }
  return ladder;
}

}  // namespace halfturn
