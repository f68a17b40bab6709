#include "session/compare.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "ladder/rung_form.hpp"
#include "rotation/heading.hpp"
#include "session/session.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr const char* off_both_feet = "both feet";
constexpr const char* off_one_leg = "one leg swinging through";
/// Air times that are told apart, s.
constexpr double told_air_s = 0.005;

Problem none(std::string text) {
  return Problem{"", "", std::move(text)};
}

Result<Partner> on_plan(const Plan& plan, std::size_t rung, const Library& library) {
  const Result<Ladder> ladder = make_ladder(plan, library.vocabulary, library.difficulty);
  if (!ladder) return ladder.problem();
  return Partner{std::make_shared<const Ladder>(*ladder), rung};
}

Result<Partner> other_axis(const Ladder& ladder, std::size_t rung, const Library& library) {
  const Skill& skill = *ladder.rungs[rung].skill;
  const bool one_leg = skill.takeoff == off_one_leg;
  const char* takeoff = one_leg ? off_both_feet : off_one_leg;
  const Skill* counterpart = library.vocabulary.with_takeoff(skill, takeoff);
  if (counterpart == nullptr || counterpart == &skill)
    return none(fmt::format("the vocabulary has no form of the {} off {}", skill.name, takeoff));
  Plan plan = ladder.plan;
  plan.takeoff = takeoff;
  // Rotations stay; the rest is the other form's own.
  plan.incline_deg.reset();
  plan.lean_deg.reset();
  plan.air_time_s.reset();
  for (Step& step : plan.steps) step.takeoff.reset();
  return on_plan(plan, rung, library);
}

Result<Partner> other_form(const Ladder& ladder, std::size_t rung, std::size_t form) {
  const std::size_t forms = ladder.rungs[rung].forms.size();
  if (forms < 2) return none(fmt::format("the {} has one form only", ladder.rungs[rung].title));
  const std::size_t chosen = form >= 1 && form < forms ? form : 1;
  return Partner{std::make_shared<const Ladder>(ladder_in_form(ladder, rung, chosen)), rung};
}

std::string feet_words(const std::string& feet) {
  if (feet == "both") return "off two feet";
  if (feet == "bed") return "off the bed";
  return "off the " + feet + " foot";
}

std::string wall_of(const Rung& rung, const Walls& walls) {
  return facing_words(rung.landing.heading_deg, walls);
}

bool off_axis(const Rung& rung) {
  return rung.values.incline_deg != 0;
}

}  // namespace

std::string_view pairing_word(Pairing pairing) {
  switch (pairing) {
    case Pairing::axes:
      return "axis";
    case Pairing::sides:
      return "sides";
    case Pairing::forms:
      return "forms";
    case Pairing::next:
      return "next";
    case Pairing::rung:
      return "rung";
  }
  return "";
}

Result<Partner> partner_of(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                           const Comparison& comparison, const Library& library) {
  const std::size_t count = ladder->rungs.size();
  switch (comparison.pairing) {
    case Pairing::axes:
      return other_axis(*ladder, rung, library);
    case Pairing::sides: {
      Plan plan = ladder->plan;
      plan.side = other(plan.side);
      return on_plan(plan, rung, library);
    }
    case Pairing::forms:
      return other_form(*ladder, rung, comparison.form);
    case Pairing::next:
      if (count < 2) return none("the climb has one rung only");
      return Partner{ladder, rung + 1 < count ? rung + 1 : rung - 1};
    case Pairing::rung:
      if (comparison.rung >= count) return none("the climb has no such rung");
      return Partner{ladder, comparison.rung};
  }
  return none("no such pair");
}

std::array<double, 2> compared_times(const Session& session, const Flight& first, const Flight& second) {
  const double t = session.playback.t;
  const Lock lock = session.look.comparison ? session.look.comparison->lock : Lock::share;
  // By time both clocks run on; the one that has landed stands.
  if (lock == Lock::time) return {t, t};
  return {t, locked_time(t, first, second, lock)};
}

double compared_duration(const Comparison& comparison, const Flight& first, const Flight& second) {
  return comparison.lock == Lock::time ? std::max(first.duration(), second.duration()) : first.duration();
}

std::string stage_words(const Rung& rung) {
  const std::string feet = feet_words(rung.takeoff_feet);
  if (rung.flip_deg == 0) return fmt::format("{}, {}", rung.start.stance, feet);
  return fmt::format("{}, {}", off_axis(rung) ? "off-axis" : "on-axis", feet);
}

CompareWords compare_words(const Rung& first, const FlightFacts& first_facts, const Rung& second,
                           const FlightFacts& second_facts, const Walls& walls) {
  CompareWords words;
  const std::string a = wall_of(first, walls), b = wall_of(second, walls);
  words.same_wall = a == b;
  words.lead = words.same_wall ? "both land facing" : "they land facing";
  words.wall = words.same_wall ? a : a + " and " + b;
  std::vector<std::string> parts;
  if (first.flip_deg != 0 && second.flip_deg != 0 && off_axis(first) != off_axis(second))
    parts.emplace_back("axis");
  if (first.side != second.side) parts.emplace_back("side");
  if (first.side == second.side && first.turn_deg != second.turn_deg) {
    const double turn = std::abs(std::abs(second.turn_deg) - std::abs(first.turn_deg));
    parts.push_back(turn_words(turn) + " of turn");
  }
  if (first.takeoff != second.takeoff || first.takeoff_feet != second.takeoff_feet)
    parts.emplace_back("takeoff");
  if (first.start.stance != second.start.stance) parts.emplace_back("stance");
  const double air = std::abs(first_facts.air_time_s - second_facts.air_time_s);
  if (air >= told_air_s) parts.push_back(fmt::format("{:.2f} s of air", air));
  words.differs = parts.empty() ? "no difference" : fmt::format("differs: {}", fmt::join(parts, ", "));
  return words;
}

std::vector<CompareRow> compare_table(const Rung& first, const FlightFacts& first_facts, const Rung& second,
                                      const FlightFacts& second_facts, const Walls& walls) {
  std::vector<CompareRow> rows;
  rows.push_back({"lands facing", wall_of(first, walls), wall_of(second, walls)});
  const auto row = [&](const char* caption, auto&& words) {
    rows.push_back({caption, words(first_facts), words(second_facts)});
  };
  const auto whole = [](double value) { return std::round(value) + 0.0; };
  row("air time", [](const FlightFacts& f) { return fmt::format("{:.2f} s", f.air_time_s); });
  row("momentum |H|", [&](const FlightFacts& f) {
    return f.momentum ? fmt::format("{:.1f} kg m\u00b2/s", *f.momentum) : std::string("not simulated");
  });
  row("most tilt",
      [&](const FlightFacts& f) { return fmt::format("{:.0f}\u00b0", whole(f.greatest_lean_deg)); });
  row("fastest twist",
      [&](const FlightFacts& f) { return fmt::format("{:.0f}\u00b0/s", whole(f.peak_twist_rate_deg_s)); });
  row("twist left",
      [&](const FlightFacts& f) { return fmt::format("{:.0f}\u00b0", whole(f.turn_left_at_landing_deg)); });
  row("upside down", [](const FlightFacts& f) { return fmt::format("{:.2f} s", f.upside_down_s); });
  row("sees landing", [](const FlightFacts& f) {
    return f.floor_seen_from_s ? fmt::format("from {:.2f} s", *f.floor_seen_from_s) : std::string("not seen");
  });
  return rows;
}

}  // namespace halfturn
