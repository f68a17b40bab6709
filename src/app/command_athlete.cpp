#include <fmt/format.h>
#include <fmt/ranges.h>

#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/athlete_file.hpp"
#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/time_text.hpp"
#include "logbook_options.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

struct AthleteOptions : LogbookOptions {
  std::string name, new_name, height, mass, table, side, surface, air_time, air_time_spread, note, plan,
      output;
  std::vector<std::string> skills;
  bool yes = false, from_backups = false, with_mass = false, with_name = false, all = false;
};

Json profile_json(const AthleteEntry& entry, bool body) {
  const AthleteProfile& p = entry.profile;
  const auto or_null = [](const std::optional<double>& value) {
    return value ? Json(*value) : Json(nullptr);
  };
  Json json;
  json["id"] = entry.uid;
  json["name"] = p.name;
  json["twisting_side"] = word(p.side);
  json["height_m"] = or_null(p.height_m);
  if (body) json["mass_kg"] = or_null(p.mass_kg);
  json["segment_table"] = segment_table_word(p.table);
  json["surface"] = p.surface;
  json["air_time_s"] = or_null(p.air_time_s);
  json["air_time_spread_s"] = or_null(p.air_time_spread_s);
  json["skills"] = p.skills;
  json["note"] = p.note;
  json["attempts"] = entry.attempts;
  json["crashes"] = entry.crashes;
  return json;
}

/// The profile with what the options change.
Outcome set_profile(AthleteProfile& p, const AthleteOptions& o) {
  const struct {
    const std::string& text;
    std::optional<double>& value;
    const char* option;
  } numbers[] = {{o.height, p.height_m, "--height"},
                 {o.mass, p.mass_kg, "--mass"},
                 {o.air_time, p.air_time_s, "--air-time"},
                 {o.air_time_spread, p.air_time_spread_s, "--air-time-spread"}};
  for (const auto& number : numbers) {
    if (number.text.empty()) continue;
    if (number.text == "none") {
      number.value.reset();
      continue;
    }
    const Result<double> value = parse_number(number.text, number.option);
    if (!value) return value.problem();
    number.value = *value;
  }
  if (!o.table.empty()) p.table = o.table == "female" ? SegmentTableKind::female : SegmentTableKind::male;
  if (!o.side.empty()) p.side = o.side == "right" ? Side::right : Side::left;
  if (!o.surface.empty()) p.surface = o.surface;
  if (!o.skills.empty()) p.skills = o.skills;
  if (!o.note.empty()) p.note = o.note;
  return std::nullopt;
}

/// Keeps a plan file as the athlete's plan in work.
Outcome keep_plan(Logbook& logbook, const AthleteEntry& athlete, const std::string& path) {
  if (path.empty()) return std::nullopt;
  const Result<PlanFile> plan = load_plan(path);
  if (!plan) return plan.problem();
  if (plan->plan.side != athlete.profile.side) {
    report_warning(fmt::format("{} twists {}, the plan twists {}", athlete.profile.name,
                               word(athlete.profile.side), word(plan->plan.side)));
  }
  return logbook.put_plan(athlete.id, {plan->plan.title, write_plan(*plan), now_ms()});
}

Exit run_add(const AthleteOptions& o) {
  AthleteProfile profile;
  profile.name = o.name;
  if (const Outcome problem = set_profile(profile, o)) return report_bad_input(*problem);
  if (!o.plan.empty()) {
    if (const Result<PlanFile> plan = load_plan(o.plan); !plan) return report_bad_input(plan.problem());
  }
  Result<Logbook> logbook = open_logbook(o, Logbook::Mode::write);
  if (!logbook) return report_logbook(logbook.problem());
  Logbook open = std::move(logbook).value();
  const Result<AthleteEntry> added = open.add_athlete(profile, now_ms());
  if (!added) return report_logbook(added.problem());
  if (const Outcome problem = keep_plan(open, *added, o.plan)) return report_logbook(*problem);
  report_backup(open);
  if (o.json) return print(json_text(profile_json(*added, true)));
  return print(fmt::format("added: {}, in {}\n", added->profile.name, open.path()));
}

Exit run_list(const AthleteOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  const Result<std::vector<AthleteEntry>> athletes = logbook->athletes();
  if (!athletes) return report_logbook(athletes.problem());
  if (o.json) {
    Json list = Json::array();
    for (const AthleteEntry& entry : *athletes) list.push_back(profile_json(entry, false));
    return print(json_text({{"athletes", list}}));
  }
  std::string text;
  std::int64_t crashes = 0;
  for (const AthleteEntry& entry : *athletes) {
    text += fmt::format("{:<20}  twists {:<5}  attempts {:>6}  crashes {:>3}\n", entry.profile.name,
                        word(entry.profile.side), entry.attempts, entry.crashes);
    crashes += entry.crashes;
  }
  text += fmt::format("athletes {}, crashes {} (the aim is 0)\n", athletes->size(), crashes);
  return print(text);
}

Exit run_show(const AthleteOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  const Result<AthleteEntry> entry = logbook->athlete(o.name);
  if (!entry) return report_logbook(entry.problem());
  const Result<std::vector<PlanInWork>> plans = logbook->plans(entry->id);
  if (!plans) return report_logbook(plans.problem());
  if (o.json) {
    Json json = profile_json(*entry, true);
    json["plans"] = Json::array();
    for (const PlanInWork& plan : *plans) json["plans"].push_back(plan.title);
    return print(json_text(json));
  }
  const AthleteProfile& p = entry->profile;
  std::string text = fmt::format("{}, twists {}\n", p.name, word(p.side));
  const auto out = std::back_inserter(text);
  if (p.height_m) fmt::format_to(out, "height {:.2f} m\n", *p.height_m);
  if (p.mass_kg)
    fmt::format_to(out, "mass {:.1f} kg, segment table {}\n", *p.mass_kg, segment_table_word(p.table));
  if (p.air_time_s) {
    fmt::format_to(out, "air time {:.2f} s", *p.air_time_s);
    if (p.air_time_spread_s) fmt::format_to(out, ", give or take {:.2f}", *p.air_time_spread_s);
    fmt::format_to(out, "{}\n", p.surface.empty() ? "" : " on " + p.surface);
  }
  if (!p.skills.empty()) fmt::format_to(out, "owns {}\n", fmt::join(p.skills, ", "));
  for (const PlanInWork& plan : *plans) fmt::format_to(out, "plan {}\n", plan.title);
  if (!p.note.empty()) fmt::format_to(out, "note {}\n", p.note);
  fmt::format_to(out, "attempts {}, crashes {} (the aim is 0)\n", entry->attempts, entry->crashes);
  return print(text);
}

Exit run_change(const AthleteOptions& o) {
  Result<Logbook> logbook = open_logbook(o, Logbook::Mode::write);
  if (!logbook) return report_logbook(logbook.problem());
  Logbook open = std::move(logbook).value();
  const Result<AthleteEntry> entry = open.athlete(o.name);
  if (!entry) return report_logbook(entry.problem());
  AthleteProfile profile = entry->profile;
  if (!o.new_name.empty()) profile.name = o.new_name;
  if (const Outcome problem = set_profile(profile, o)) return report_bad_input(*problem);
  if (const Outcome problem = open.change_athlete(entry->id, profile)) return report_logbook(*problem);
  if (const Outcome problem = keep_plan(open, *entry, o.plan)) return report_logbook(*problem);
  report_backup(open);
  const Result<AthleteEntry> changed = open.athlete(profile.name);
  if (!changed) return report_logbook(changed.problem());
  if (o.json) return print(json_text(profile_json(*changed, true)));
  return print(fmt::format("changed: {}\n", changed->profile.name));
}

/// Backups that were to be cleaned and could not be: whoever asked must not believe that all is gone.
Exit report_not_cleaned(const Removal& removal, const std::string& name) {
  Exit exit = Exit::no_output;
  for (Problem problem : removal.not_cleaned) {
    problem.text += fmt::format(". {} may still be in this backup: delete the file", name);
    exit = report_no_output(problem);
  }
  return exit;
}

Exit run_remove(const AthleteOptions& o) {
  Result<Logbook> logbook = open_logbook(o, Logbook::Mode::write);
  if (!logbook) return report_logbook(logbook.problem());
  Logbook open = std::move(logbook).value();
  const Result<AthleteEntry> entry = open.athlete(o.name);
  if (!entry) return report_logbook(entry.problem());
  if (!o.yes) {
    return report_bad_input(
        {"", "--yes",
         fmt::format("is missing: this deletes {} and {} attempts for good, and no undo brings them back. "
                     "\"halfturn athlete export\" keeps a copy",
                     entry->profile.name, entry->attempts)});
  }
  const Result<Removal> removal = open.remove_athlete(entry->id, o.from_backups);
  if (!removal) return report_logbook(removal.problem());
  if (removal->in_use) {
    report_warning(
        "another program has the logbook open; old pages leave its write-ahead log when that is closed");
  }
  if (o.json) {
    const Exit printed = print(json_text({{"removed", entry->profile.name},
                                          {"attempts", entry->attempts},
                                          {"backups_cleaned", removal->cleaned},
                                          {"backups_with_the_athlete", removal->still_in}}));
    return removal->not_cleaned.empty() ? printed : report_not_cleaned(*removal, entry->profile.name);
  }
  std::string text = fmt::format("removed: {} and {} attempts\n", entry->profile.name, entry->attempts);
  for (const std::string& backup : removal->cleaned)
    text += fmt::format("removed from the backup {}\n", backup);
  for (const std::string& backup : removal->still_in) text += fmt::format("still in the backup {}\n", backup);
  if (!removal->still_in.empty() && !o.from_backups) {
    text += "delete these files, or next time add --from-backups\n";
  }
  const Exit printed = print(text);
  return removal->not_cleaned.empty() ? printed : report_not_cleaned(*removal, entry->profile.name);
}

Exit run_export(const AthleteOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  const Result<AthleteEntry> entry = logbook->athlete(o.name);
  if (!entry) return report_logbook(entry.problem());
  const Result<std::vector<AttemptEntry>> attempts = logbook->attempts({.athlete_id = entry->id});
  if (!attempts) return report_logbook(attempts.problem());
  const Result<std::vector<PlanInWork>> plans = logbook->plans(entry->id);
  if (!plans) return report_logbook(plans.problem());
  const Result<std::vector<OverrideRecord>> decisions = logbook->decisions(entry->id);
  if (!decisions) return report_logbook(decisions.problem());
  const bool named = o.all || o.with_name;
  AthleteEntry shown = *entry;
  if (!named) shown.profile.name = initials(shown.profile.name);
  if (!o.all) shown.profile.note.clear();
  Json json;
  json["format"] = "halfturn-athlete-export";
  json["version"] = 1;
  json["athlete"] = profile_json(shown, o.all || o.with_mass);
  json["plans"] = Json::array();
  for (const PlanInWork& plan : *plans) {
    Result<Json> parsed = parse_json(plan.text, plan.title);
    if (!parsed) continue;
    Json kept = std::move(parsed).value();
    if (!named && kept.contains("athlete")) kept["athlete"] = shown.profile.name;
    json["plans"].push_back(std::move(kept));
  }
  json["attempts"] = Json::array();
  for (const AttemptEntry& attempt : *attempts) {
    AttemptRow row = row_of(attempt);
    row.athlete = shown.profile.name;
    // Notes are the coach's own words and may name anybody.
    if (!o.all) row.record.note.clear();
    json["attempts"].push_back(attempt_json(row));
  }
  json["decisions"] = Json::array();
  for (const OverrideRecord& decision : *decisions) {
    json["decisions"].push_back({{"time", time_text(decision.time_ms)},
                                 {"skill", decision.rung.skill},
                                 {"twist_deg", decision.rung.twist_deg},
                                 {"decision", word(decision.decision)},
                                 {"reason", o.all ? decision.reason : ""}});
  }
  if (o.output.empty()) return print(json_text(json));
  if (const Outcome problem = write_file(o.output, json_text(json))) return report_no_output(*problem);
  if (o.json) return print(json_text({{"file", o.output}, {"attempts", attempts->size()}}));
  return print(fmt::format("{}: {} attempts{}\n", o.output, attempts->size(),
                           o.all ? ", with everything that is kept"
                                 : ", without what --with-mass, --with-name or --all would add"));
}

void add_profile_options(CLI::App& command, AthleteOptions& o) {
  command.add_option("--height", o.height, "Height in metres");
  command.add_option("--mass", o.mass, "Mass in kilograms; never handed over unless asked");
  command.add_option("--table", o.table, "Segment table of the body")
      ->check(CLI::IsMember({"male", "female"}));
  command.add_option("--side", o.side, "The way the athlete twists")->check(CLI::IsMember({"left", "right"}));
  command.add_option("--surface", o.surface, "Where the air time was measured");
  command.add_option("--air-time", o.air_time, "Measured air time in seconds, the mean");
  command.add_option("--air-time-spread", o.air_time_spread, "Its standard deviation in seconds");
  command.add_option("--skill", o.skills, "A skill the athlete owns; may be given several times")
      ->delimiter(',');
  command.add_option("--note", o.note, "The coach's own words");
  command.add_option("--plan", o.plan, "A plan file to keep as the athlete's plan in work");
}

}  // namespace

void add_athlete_command(CLI::App& program, Command& chosen) {
  CLI::App* group = program.add_subcommand("athlete", "Keep athletes in the logbook");
  group->require_subcommand(1);
  const auto add = [&](const char* word, const char* what, Exit (*run)(const AthleteOptions&)) {
    auto options = std::make_shared<AthleteOptions>();
    CLI::App* command = group->add_subcommand(word, what);
    add_logbook_options(*command, *options);
    command->callback([options, run, &chosen] { chosen = [options, run] { return run(*options); }; });
    return std::pair<CLI::App*, AthleteOptions&>(command, *options);
  };
  const auto named = [&](const std::pair<CLI::App*, AthleteOptions&>& made) {
    made.first->add_option("name", made.second.name, "Display name; initials do")->required();
    return made;
  };
  {
    auto [command, o] = named(add("add", "Add an athlete; the first makes the logbook", run_add));
    add_profile_options(*command, o);
  }
  add("list", "All athletes", run_list);
  named(add("show", "One athlete", run_show));
  {
    auto [command, o] = named(add("change", "Change what is kept; \"none\" empties a number", run_change));
    command->add_option("--name", o.new_name, "Another name");
    add_profile_options(*command, o);
  }
  {
    auto [command, o] = named(add("remove", "Delete an athlete for good", run_remove));
    command->add_flag("--yes", o.yes, "Really delete");
    command->add_flag("--from-backups", o.from_backups, "Delete from the backups as well");
  }
  {
    auto [command, o] = named(add("export", "Write everything about one athlete as JSON", run_export));
    command->add_option("-o,--output", o.output, "File to write; without it, standard output");
    command->add_flag("--with-mass", o.with_mass, "With the mass");
    command->add_flag("--with-name", o.with_name, "With the name instead of initials");
    command->add_flag("--all", o.all, "With everything: mass, name, notes");
  }
}

}  // namespace halfturn
