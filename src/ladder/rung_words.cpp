#include "rung_words.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// "quarter", "half", "full and a half", "30\u00b0": the twist in the title of a rung that has no name of its
/// own.
std::string short_twist(double twist_deg) {
  const double amount = std::abs(twist_deg);
  if (std::fmod(amount, 90.0) != 0) return degrees_text(amount) + "\u00b0";
  static const char* const quarters[] = {"", "quarter", "half", "three-quarter"};
  static const char* const wholes[] = {"", "full", "double full", "triple full", "quadruple full"};
  const int whole = static_cast<int>(amount / 360.0);
  const int part = static_cast<int>(amount / 90.0) % 4;
  if (whole == 0) return quarters[part];
  if (part == 0) return wholes[whole];
  return fmt::format("{} and {}", wholes[whole],
                     part == 3 ? "three quarters" : fmt::format("a {}", quarters[part]));
}

/// "both feet", "the right foot", "the right, then the left foot", "the bed".
std::string feet_words(const std::string& feet) {
  if (feet == "both") return "both feet";
  if (feet == "bed") return "the bed, both feet";
  if (feet == "right, left") return "the right, then the left foot";
  if (feet == "left, right") return "the left, then the right foot";
  return fmt::format("the {} foot", feet);
}

/// Amount of a turn for a sentence: "half (180 degrees)", "30 degrees"; in quarters the word comes first.
std::string amount_words(double turn_deg) {
  const double amount = std::abs(turn_deg);
  if (std::fmod(amount, 90.0) != 0) return degrees_text(amount) + " degrees";
  return fmt::format("{} ({} degrees)", turn_words(amount), degrees_text(amount));
}

/// "Turn a quarter (90 degrees) left", "Turn 30 degrees right", "Turn two full turns (720 degrees) left".
std::string turn_sentence(double turn_deg) {
  const double amount = std::abs(turn_deg);
  const bool counted =
      amount == 90 || amount == 180 || (amount >= 360 && amount < 720 && std::fmod(amount, 90.0) == 0);
  return fmt::format("Turn {}{} {}", counted ? "a " : "", amount_words(turn_deg),
                     turn_deg < 0 ? "right" : "left");
}

/// What the trade calls so much twist of a skill; empty where it has no name.
std::optional<std::string> trade_name(const Skill& skill, double twist_deg, bool early) {
  if (const SkillName* name = name_at(skill, twist_deg, early)) return name->name;
  if (!skill.counted_name.empty())
    return fmt::format(fmt::runtime(skill.counted_name), degrees_text(twist_deg));
  return twist_deg == 0 ? std::optional(skill.name) : std::nullopt;
}

constexpr double rounding = 1e-6;  // 0.75 is told as 0.75 though it is no binary fraction

}  // namespace

std::string rung_title(const Skill& skill, double twist_deg, bool early) {
  return trade_name(skill, twist_deg, early)
      .value_or(fmt::format("{} {}", skill.stem, short_twist(twist_deg)));
}

double told_air_s(double needed_s) {
  return std::ceil(100 * needed_s - rounding) / 100;
}

double told_margin_s(double needed_s, double margin_s) {
  constexpr double hundredth = 0.01;
  const double told = needed_s + margin_s - told_air_s(needed_s);
  if (margin_s < -rounding) return std::min(-hundredth, told);
  return std::max(0.0, std::floor(100 * told + rounding) / 100);
}

std::string air_margin_words(double needed_s, double margin_s) {
  const double told = told_margin_s(needed_s, margin_s);
  return fmt::format("{:.2f} s {}", std::abs(told), told < 0 ? "short" : "in hand");
}

std::string air_needed_words(const Rung& rung) {
  const std::string needed = fmt::format("{:.2f} s", told_air_s(rung.air_time_needed_s));
  return rung.air_time_simulated ? "air needed " + needed + ", simulated (an estimate)"
                                 : "air usually from " + needed + " (an estimate)";
}

std::string on_side(const std::string& text, Side side) {
  return side == Side::left ? text : swap_sides(text);
}

void name_rung(Rung& rung, const Plan& plan) {
  const Skill& skill = *rung.skill;
  const double twist = std::abs(rung.twist_deg);
  const bool early = plan.timing == "early";
  rung.name = trade_name(skill, twist, early);
  rung.title = rung_title(skill, twist, early);
  rung.aliases.clear();
  if (const SkillName* name = name_at(skill, twist, early)) {
    rung.aliases = name->aliases;
  } else if (twist == 0 && skill.counted_name.empty()) {
    rung.aliases = skill.aliases;
  }

  std::string& text = rung.description;
  text = skill.description;
  if (rung.takeoff != skill.takeoff) text += fmt::format(" ({} takeoff)", rung.takeoff);
  if (twist == 0) {
    text += ", no twist";
  } else {
    text += fmt::format(", {} degrees of {} to the {}", degrees_text(twist),
                        skill.kicks.empty() ? "twist" : "turn", word(rung.side));
  }
  if (rung.kick) text += fmt::format(", {} {} kick", rung.kick->leg, rung.kick->kind);
  if (skill.kicks.empty()) text += fmt::format(", {}", rung.shape);
  text += fmt::format("; lands on {}", feet_words(rung.landing.feet));
  if (rung.landing.kind != "upright") {
    text +=
        rung.landing.kind == "sees floor" ? " and sees the floor" : fmt::format(", {}", rung.landing.kind);
  }
}

void write_floor_walk(Rung& rung, const Rung* before, bool holds_start, const Plan& plan) {
  const Walls& walls = plan.walls;
  const auto face = [&](double heading_deg) { return facing_words(heading_deg, walls); };
  const double held = holds_start ? rung.landing.heading_deg : rung.start.heading_deg;
  rung.walk_face_deg = held;
  if (before == nullptr) {
    rung.walk_stand_deg = held;
    rung.walk_turn_deg = 0;
    rung.floor_walk = fmt::format("Stand at the start, facing the {}. You land facing the {}.",
                                  face(rung.start.heading_deg), face(rung.landing.heading_deg));
    return;
  }
  rung.walk_stand_deg = holds_start ? before->landing.heading_deg : before->start.heading_deg;
  // The landing turns the way you twist by the step; a held landing is reached from a start turned back by
  // it.
  const double turn = rung.turn_deg - before->turn_deg;
  rung.walk_turn_deg = holds_start ? turn : -turn;
  std::string& text = rung.floor_walk;
  text.clear();
  const auto out = std::back_inserter(text);
  if (holds_start) {
    fmt::format_to(out, "Stand as you landed: facing the {}. ", face(rung.walk_stand_deg));
    if (turn == 0) {
      fmt::format_to(out, "Do not turn: you land facing the {} again.", face(held));
    } else {
      fmt::format_to(out, "{}, the way you twist. You face the {}. That is your next landing.",
                     turn_sentence(turn), face(held));
    }
    return;
  }
  fmt::format_to(out, "Stand where you started last time: facing the {}, {}. ", face(rung.walk_stand_deg),
                 before->start.stance);
  if (turn == 0) {
    fmt::format_to(out, "Do not turn: you start from there again. ");
  } else {
    fmt::format_to(out, "{}, against your spin. You face the {}, {}", turn_sentence(-turn), face(held),
                   rung.start.stance);
    const bool other_foot =
        rung.start.feet != before->start.feet && rung.start.feet.find("ahead") != std::string::npos;
    if (other_foot)
      fmt::format_to(out, ", {} foot {}", rung.start.feet.substr(0, rung.start.feet.find(' ')), "ahead");
    text += ". That is your next start. ";
  }
  fmt::format_to(out, "You land facing the {}, as always.", face(rung.landing.heading_deg));
}

}  // namespace halfturn
