// Athletes of the logbook as the window lists, shows and changes them.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "class_keeper.hpp"
#include "format/plan_file.hpp"
#include "logbook_options.hpp"

namespace halfturn {
namespace {

std::string typed(const std::optional<double>& value) {
  return value ? fmt::format("{:.6g}", *value) : "";
}

/// A number as people type it, with a comma or a point; empty: not known.
Result<std::optional<double>> read_typed(std::string text, const char* what) {
  std::erase(text, ' ');
  if (text.empty()) return std::optional<double>();
  std::replace(text.begin(), text.end(), ',', '.');
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size())
    return Problem{"", "", fmt::format("{}: \"{}\" is not a number", what, text)};
  return std::optional(value);
}

struct Bounds {
  const char* what;
  const char* option;  ///< as the logbook names it
};
constexpr Bounds fields[] = {{"height, m", "--height"},
                             {"mass, kg", "--mass"},
                             {"air time, s", "--air-time"},
                             {"give or take, s", "--air-time-spread"}};

/// The profile with what was typed.
Result<AthleteProfile> typed_profile(AthleteProfile profile, const AthleteForm& form) {
  const std::string* texts[] = {&form.height_m, &form.mass_kg, &form.air_time_s, &form.air_time_spread_s};
  std::optional<double>* values[] = {&profile.height_m, &profile.mass_kg, &profile.air_time_s,
                                     &profile.air_time_spread_s};
  for (std::size_t i = 0; i < std::size(texts); ++i) {
    const Result<std::optional<double>> value = read_typed(*texts[i], fields[i].what);
    if (!value) return value.problem();
    *values[i] = *value;
  }
  profile.name = form.name;
  while (profile.name.ends_with(' ')) profile.name.pop_back();
  profile.table = form.table;
  profile.side = form.side;
  profile.surface = form.surface;
  return profile;
}

/// A problem of the logbook in the words of the page.
std::string page_words(const Problem& problem) {
  for (const Bounds& field : fields) {
    if (problem.place == field.option) return std::string(field.what) + " " + problem.text;
  }
  return problem.message();
}

}  // namespace

std::vector<Edit> ClassKeeper::athletes() {
  if (const Outcome problem = open()) return {Notice{problem->message(), true}};
  const Result<std::vector<AthleteEntry>> entries = logbook_->athletes();
  if (!entries) return {Notice{entries.problem().message(), true}};
  ShowAthletes shown;
  for (const AthleteEntry& entry : *entries) {
    const Result<std::vector<PlanInWork>> plans = logbook_->plans(entry.id);
    const std::string plan = plans && !plans->empty() ? ", on " + plans->front().title : ", no plan yet";
    shown.athletes.push_back({entry.id, entry.profile.name,
                              fmt::format("twists {}{}, attempts {}, crashes {}", word(entry.profile.side),
                                          plan, entry.attempts, entry.crashes)});
  }
  return {shown};
}

std::vector<Edit> ClassKeeper::athlete_form(std::int64_t id) {
  ShowAthlete shown;
  if (id == 0) return {shown};
  if (const Outcome problem = open()) return {Notice{problem->message(), true}};
  const Result<std::vector<AthleteEntry>> entries = logbook_->athletes();
  if (!entries) return {Notice{entries.problem().message(), true}};
  const auto entry =
      std::find_if(entries->begin(), entries->end(), [&](const auto& e) { return e.id == id; });
  if (entry == entries->end()) return {Notice{"the athlete is not there any more", true}};
  const AthleteProfile& p = entry->profile;
  AthleteForm& form = shown.form;
  form = {id,
          p.name,
          typed(p.height_m),
          typed(p.mass_kg),
          typed(p.air_time_s),
          typed(p.air_time_spread_s),
          p.surface,
          p.table,
          p.side};
  const Result<std::vector<PlanInWork>> plans = logbook_->plans(id);
  if (plans && !plans->empty()) form.plan = plans->front().title;
  return {shown};
}

std::vector<Edit> ClassKeeper::save_athlete(const Session& session) {
  if (const Outcome problem = open()) return {Notice{problem->message(), true}};
  const AthleteForm& form = session.form;
  const auto wrong = [](const Problem& problem) {
    return std::vector<Edit>{Notice{page_words(problem), true}};
  };
  AthleteProfile before;
  std::int64_t id = form.id;
  if (id != 0) {
    const Result<std::vector<AthleteEntry>> entries = logbook_->athletes();
    if (!entries) return wrong(entries.problem());
    for (const AthleteEntry& entry : *entries) {
      if (entry.id == id) before = entry.profile;
    }
  }
  const Result<AthleteProfile> profile = typed_profile(before, form);
  if (!profile) return wrong(profile.problem());
  if (id == 0) {
    const Result<AthleteEntry> added = logbook_->add_athlete(*profile, now_ms());
    if (!added) return wrong(added.problem());
    id = added->id;
  } else if (const Outcome problem = logbook_->change_athlete(id, *profile)) {
    return wrong(*problem);
  }
  if (form.takes_plan) {
    const PlanFile file = plan_file(session);
    if (const Outcome problem = logbook_->put_plan(id, {file.plan.title, write_plan(file), now_ms()}))
      return wrong(*problem);
  }
  stale_ = true;
  std::vector<Edit> edits{ShowSheet{Sheet::athletes}};
  for (Edit& edit : athletes()) edits.push_back(std::move(edit));
  const bool other_side = form.takes_plan && session.plan.side != profile->side;
  const Notice backup = backup_notice();
  edits.emplace_back(!backup.text.empty() ? backup
                     : other_side
                         ? Notice{fmt::format("kept; {} twists {}, the plan twists {}", profile->name,
                                              word(profile->side), word(session.plan.side)),
                                  true}
                         : Notice{"kept: " + profile->name, false});
  return edits;
}

}  // namespace halfturn
