#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ladder/rung_form.hpp"
#include "session/compare.hpp"
#include "session/edit.hpp"

namespace halfturn {
namespace {

constexpr const char* off_both_feet = "both feet";
constexpr const char* off_one_leg = "one leg swinging through";

Problem none(std::string text) {
  return Problem{"", "", std::move(text)};
}

Result<ComparedStage> on_plan(const Plan& plan, std::size_t rung, const Library& library) {
  const Result<Ladder> ladder = make_ladder(plan, library.vocabulary, library.difficulty);
  if (!ladder) return ladder.problem();
  const std::size_t top = ladder->rungs.size() - 1;
  return ComparedStage{std::make_shared<const Ladder>(*ladder), std::min(rung, top)};
}

/// Rotations stay; the rest is what the other takeoff has of its own.
void take_takeoff(Plan& plan, const std::string& takeoff) {
  plan.takeoff = takeoff;
  plan.incline_deg.reset();
  plan.lean_deg.reset();
  plan.air_time_s.reset();
  for (Step& step : plan.steps) step.takeoff.reset();
}

Result<ComparedStage> other_axis(const Ladder& ladder, std::size_t rung, const Library& library) {
  const Skill& skill = *ladder.rungs[rung].skill;
  const bool one_leg = skill.takeoff == off_one_leg;
  const char* takeoff = one_leg ? off_both_feet : off_one_leg;
  const Skill* counterpart = library.vocabulary.with_takeoff(skill, takeoff);
  if (counterpart == nullptr || counterpart == &skill)
    return none(fmt::format("the vocabulary has no form of the {} off {}", skill.name, takeoff));
  Plan plan = ladder.plan;
  take_takeoff(plan, takeoff);
  return on_plan(plan, rung, library);
}

Result<ComparedStage> other_form(const Ladder& ladder, std::size_t rung, std::size_t form) {
  const std::size_t forms = ladder.rungs[rung].forms.size();
  if (forms < 2) return none(fmt::format("the {} has one form only", ladder.rungs[rung].title));
  const std::size_t chosen = form >= 1 && form < forms ? form : 1;
  return ComparedStage{std::make_shared<const Ladder>(ladder_in_form(ladder, rung, chosen)), rung};
}

Result<ComparedStage> any_rung(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                               const StageChoice& choice, const Library& library) {
  rung = choice.rung.value_or(rung);
  if (choice.base.empty() && choice.takeoff.empty() && !choice.side) {
    if (rung >= ladder->rungs.size()) return none("the climb has no such rung");
    return ComparedStage{ladder, rung};
  }
  Plan plan = ladder->plan;
  if (!choice.base.empty()) {
    const Skill* base = library.vocabulary.find(choice.base);
    if (base == nullptr) return none("there is no skill named \"" + choice.base + "\"");
    plan = with_base(plan, *base, *ladder->base);
  }
  if (!choice.takeoff.empty()) take_takeoff(plan, choice.takeoff);
  if (choice.side) plan.side = *choice.side;
  return on_plan(plan, rung, library);
}

Result<ComparedStage> chosen_stage(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                                   const StageChoice& choice, const Library& library) {
  switch (choice.pairing) {
    case Pairing::axes:
      return other_axis(*ladder, rung, library);
    case Pairing::sides: {
      Plan plan = ladder->plan;
      plan.side = other(plan.side);
      return on_plan(plan, rung, library);
    }
    case Pairing::forms:
      return other_form(*ladder, rung, choice.form);
    case Pairing::next: {
      const std::size_t count = ladder->rungs.size();
      if (count < 2) return none("the climb has one rung only");
      return ComparedStage{ladder, rung + 1 < count ? rung + 1 : rung - 1};
    }
    case Pairing::rung:
      return any_rung(ladder, rung, choice, library);
  }
  return none("no such pair");
}

/// Whether two stages would show the same rung.
bool same_stage(const ComparedStage& a, const ComparedStage& b) {
  return a.rung == b.rung && (a.ladder == b.ladder || a.ladder->plan == b.ladder->plan);
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

std::string_view flight_source_word(FlightSource source) {
  switch (source) {
    case FlightSource::simulated:
      return "simulated";
    case FlightSource::drawn:
      return "drawn";
    case FlightSource::recorded:
      return "recorded";
  }
  return "";
}

Comparison pair_of(Pairing pairing) {
  Comparison comparison;
  comparison.beside.front().pairing = pairing;
  return comparison;
}

Comparison with_record(const std::optional<Comparison>& comparison) {
  const StageChoice recorded{.pairing = Pairing::rung, .source = FlightSource::recorded};
  Comparison more;
  if (!comparison) {
    more.beside = {recorded};
    return more;
  }
  more = *comparison;
  if (recorded_stage(comparison) > 0) return more;
  if (more.beside.size() + 1 >= most_stages) more.beside.pop_back();
  more.beside.push_back(recorded);
  return more;
}

std::optional<Comparison> without_record(const Comparison& comparison) {
  Comparison fewer = comparison;
  std::erase_if(fewer.beside, [](const StageChoice& s) { return s.source == FlightSource::recorded; });
  if (fewer.beside.empty()) return std::nullopt;
  return fewer;
}

std::size_t recorded_stage(const std::optional<Comparison>& comparison) {
  if (!comparison) return 0;
  const auto& beside = comparison->beside;
  const auto found = std::find_if(beside.begin(), beside.end(),
                                  [](const StageChoice& s) { return s.source == FlightSource::recorded; });
  return found == beside.end() ? 0 : static_cast<std::size_t>(found - beside.begin()) + 1;
}

std::optional<Comparison> toggled_pair(const Session& session, Pairing pairing) {
  if (!session.look.comparison) return pair_of(pairing);
  Comparison wanted = *session.look.comparison;
  StageChoice& first = wanted.beside.front();
  if (first.pairing != pairing) {
    const bool recorded = first.source == FlightSource::recorded;
    first = {.pairing = pairing, .source = recorded ? FlightSource::simulated : first.source};
    return wanted;
  }
  if (pairing == Pairing::forms && first.form == 1 && session.rung_now().forms.size() > 2) {
    first.form = 2;
    return wanted;
  }
  return without_stage(wanted, 1);
}

Result<ComparedStage> stage_of(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                               const StageChoice& choice, const Library& library) {
  Result<ComparedStage> stage = chosen_stage(ladder, rung, choice, library);
  if (!stage) return stage;
  ComparedStage chosen = std::move(stage).value();
  chosen.source = choice.source;
  return chosen;
}

Result<Comparison> with_stage(const Session& session, const Library& library) {
  Comparison comparison;
  if (session.look.comparison) {
    comparison = *session.look.comparison;
  } else {
    comparison.beside.clear();
  }
  if (comparison.beside.size() + 1 >= most_stages)
    return none(fmt::format("{} stages are the most", most_stages));
  std::vector<ComparedStage> shown = session.stages;
  if (shown.empty()) shown.push_back({session.ladder, session.rung, comparison.source});
  StageChoice choice;
  const auto is_new = [&] {
    const Result<ComparedStage> stage = stage_of(session.ladder, session.rung, choice, library);
    return stage && std::none_of(shown.begin(), shown.end(),
                                 [&](const ComparedStage& other) { return same_stage(other, *stage); });
  };
  constexpr std::array usual{Pairing::next, Pairing::axes, Pairing::forms, Pairing::sides};
  for (const Pairing pairing : usual) {
    choice = {.pairing = pairing};
    if (!is_new()) continue;
    comparison.beside.push_back(choice);
    return comparison;
  }
  for (std::size_t i = 0; i < session.ladder->rungs.size(); ++i) {
    choice = {.pairing = Pairing::rung, .rung = i};
    if (!is_new()) continue;
    comparison.beside.push_back(choice);
    return comparison;
  }
  return none("there is nothing left to put beside it");
}

std::optional<Comparison> without_stage(const Comparison& comparison, std::size_t stage) {
  Comparison fewer = comparison;
  if (stage >= 1 && stage <= fewer.beside.size())
    fewer.beside.erase(fewer.beside.begin() + static_cast<std::ptrdiff_t>(stage - 1));
  if (fewer.beside.empty()) return std::nullopt;
  return fewer;
}

std::vector<double> compared_times(const Session& session, std::span<const Flight> flights) {
  const double t = session.playback.t;
  const Lock lock = session.look.comparison ? session.look.comparison->lock : Lock::share;
  std::vector<double> times;
  // By time all clocks run on; the one that has landed stands.
  for (const Flight& flight : flights)
    times.push_back(lock == Lock::time || times.empty() ? t : locked_time(t, flights[0], flight, lock));
  return times;
}

std::size_t leading_flight(const Comparison& comparison, std::span<const Flight> flights) {
  std::size_t leads = 0;
  if (comparison.lock != Lock::time) return leads;
  for (std::size_t i = 1; i < flights.size(); ++i) {
    if (flights[i].duration() > flights[leads].duration()) leads = i;
  }
  return leads;
}

double compared_duration(const Comparison& comparison, std::span<const Flight> flights) {
  return flights[leading_flight(comparison, flights)].duration();
}

}  // namespace halfturn
