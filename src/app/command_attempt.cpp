#include <fmt/format.h>

#include <memory>

#include "attempt_options.hpp"
#include "command.hpp"
#include "format/file.hpp"
#include "format/time_text.hpp"
#include "measured_attempt.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

/// Where the chest pointed at first contact: on plan, short, long or as a heading; at most one of them.
Outcome set_heading(AttemptRecord& record, const AttemptOptions& o, const Rung& rung) {
  const int given = (o.on_plan ? 1 : 0) + (o.shorter.empty() ? 0 : 1) + (o.longer.empty() ? 0 : 1) +
                    (o.contact_heading.empty() ? 0 : 1);
  if (given > 1) {
    return Problem{"", "--on-plan, --short, --long, --contact-heading",
                   "say the same thing: give one of them"};
  }
  std::optional<double> shorter, longer, contact;
  if (Outcome problem = set_number(shorter, o.shorter, "--short")) return problem;
  if (Outcome problem = set_number(longer, o.longer, "--long")) return problem;
  if (Outcome problem = set_number(contact, o.contact_heading, "--contact-heading")) return problem;
  for (const auto& [value, option] : {std::pair(shorter, "--short"), std::pair(longer, "--long")}) {
    if (value && !(0 < *value && *value <= 180)) {
      return Problem{"", option, fmt::format("is {}, must be more than 0 and at most 180 degrees", *value)};
    }
  }
  if (o.on_plan) record.heading_error_deg = 0;
  if (shorter) record.heading_error_deg = -*shorter;
  if (longer) record.heading_error_deg = *longer;
  if (contact) {
    record.heading_error_deg = heading_error_deg(rung, *contact);
    if (!record.heading_error_deg) {
      return Problem{"", "--contact-heading", "this rung has no planned heading at first contact"};
    }
  }
  record.heading_measured = o.measured;
  return std::nullopt;
}

/// Heading, trunk and air time from a file that `halfturn measure --json` wrote.
Outcome set_recorded(AttemptRecord& record, const AttemptOptions& o, const Rung& rung) {
  if (o.recorded.empty()) return std::nullopt;
  if (o.on_plan || !o.shorter.empty() || !o.longer.empty() || !o.contact_heading.empty() ||
      !o.upright.empty() || !o.air_time.empty()) {
    return Problem{"", "--recorded",
                   "gives heading, trunk and air time: leave the other options for them out"};
  }
  const Result<std::string> text = read_file(o.recorded);
  if (!text) return text.problem();
  const Result<MeasuredLanding> landing = read_measured_landing(*text, o.recorded);
  if (!landing) return landing.problem();
  Outcome problem = take_measured(record, *landing, rung);
  if (problem) problem->file = o.recorded;
  return problem;
}

Result<AttemptRecord> record_of(const AttemptOptions& o, const ChosenLadder& ladder, std::size_t rung) {
  AttemptRecord record;
  record.rung = rung_key(ladder.ladder, rung);
  record.time_ms = now_ms();
  if (!o.time.empty()) {
    const Result<std::int64_t> time = parse_time(o.time, "--time");
    if (!time) return time.problem();
    record.time_ms = *time;
    // Clocks and time zones differ by less than a day; more is a year or month mistyped.
    constexpr std::int64_t day_ms = 24LL * 60 * 60 * 1000;
    if (*time > now_ms() + day_ms) {
      return Problem{"", "--time",
                     fmt::format("\"{}\" is more than a day in the future: an attempt is logged after it was "
                                 "made",
                                 o.time)};
    }
  }
  record.outcome = *attempt_outcome(o.outcome);
  if (const Outcome problem = set_heading(record, o, ladder.rung(rung))) return *problem;
  if (const Outcome problem = set_number(record.upright_deg, o.upright, "--upright")) return *problem;
  record.upright_measured = o.measured;
  if (const Outcome problem = set_number(record.air_time_s, o.air_time, "--air-time")) return *problem;
  if (const Outcome problem = set_recorded(record, o, ladder.rung(rung))) return *problem;
  record.note = o.note;
  if (const auto complaint = attempt_complaint(record)) return Problem{"", "", *complaint};
  return record;
}

/// One attempt for a person: when, who, what, how.
std::string attempt_words(const AttemptRow& row) {
  const AttemptRecord& r = row.record;
  std::string text = fmt::format("{}  {:<12}  {}: {}", local_minute(r.time_ms), row.athlete,
                                 rung_words(r.rung), word(r.outcome));
  if (r.heading_error_deg) text += ", " + heading_error_words(r);
  if (r.upright_deg) text += fmt::format(", trunk {:.6g} from vertical", *r.upright_deg);
  if (r.air_time_s) text += fmt::format(", {:.2f} s", *r.air_time_s);
  if (!r.note.empty()) text += fmt::format(" ({})", r.note);
  return text;
}

constexpr const char* no_plan_advice =
    "which skill? Give --plan FILE --rung N, or --base \"back flip\" --twist 180, or keep a plan once with "
    "\"halfturn athlete change NAME --plan FILE\"";

/// A rung of an athlete's ladder in an open logbook.
struct OpenRung {
  Logbook logbook;
  AthleteEntry athlete;
  ChosenLadder chosen;
  std::size_t rung = 0;
};

Result<OpenRung> open_rung(const AttemptOptions& o) {
  Result<Logbook> logbook = open_logbook(o, Logbook::Mode::write);
  if (!logbook) return logbook.problem();
  Result<AthleteEntry> athlete = logbook->athlete(o.name);
  if (!athlete) return athlete.problem();
  Result<std::optional<ChosenLadder>> chosen = choose_ladder(o, *logbook, *athlete);
  if (!chosen) return chosen.problem();
  std::optional<ChosenLadder> ladder = std::move(chosen).value();
  if (!ladder) return Problem{"", "--plan", no_plan_advice};
  const Result<std::size_t> rung = choose_rung(o, ladder->ladder);
  if (!rung) return rung.problem();
  return OpenRung{std::move(logbook).value(), std::move(athlete).value(), *std::move(ladder), *rung};
}

Exit run_add(const AttemptOptions& o) {
  if (!attempt_outcome(o.outcome)) {
    std::string words;
    for (const std::string_view word : attempt_outcome_words)
      words += fmt::format("{}\"{}\"", words.empty() ? "" : ", ", word);
    return report_bad_input({"", "outcome", fmt::format("\"{}\" is none of {}", o.outcome, words)});
  }
  Result<OpenRung> opened = open_rung(o);
  if (!opened) return report_logbook(opened.problem());
  OpenRung at = std::move(opened).value();
  const Result<AttemptRecord> record = record_of(o, at.chosen, at.rung);
  if (!record) return report_bad_input(record.problem());
  const NewAttempt attempt{at.athlete.id, o.session.empty() ? local_day(record->time_ms) : o.session, "",
                           *record};
  const Result<Added> added = at.logbook.add_attempts({&attempt, 1});
  if (!added) return report_logbook(added.problem());
  report_backup(at.logbook);
  // The entry is on the disk; what follows only tells where the gate stands.
  const Result<std::vector<Gate>> gates = gates_of(at.logbook, at.athlete, at.chosen.ladder);
  if (!gates) return report_logbook(gates.problem());
  const Gate& gate = (*gates)[at.rung];
  const std::size_t next = suggested_rung(*gates);
  const AttemptRow row{"", at.athlete.profile.name, attempt.session, *record};
  int crashes = 0;
  for (const Gate& each : *gates) crashes += each.crashes;
  if (o.json) {
    return print(json_text({{"attempt", attempt_json(row)},
                            {"rung", at.rung},
                            {"gate", gate_json(gate)},
                            {"crashes", crashes},
                            {"suggested_rung", next}}));
  }
  return print(fmt::format("logged: {}\n{}\n{}; crashes {} (the aim is 0)\n", attempt_words(row), gate.reason,
                           suggestion_words(at.chosen.ladder, *gates), crashes));
}

Exit run_list(const AttemptOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  AttemptFilter filter;
  filter.session = o.session;
  if (!o.name.empty()) {
    const Result<AthleteEntry> athlete = logbook->athlete(o.name);
    if (!athlete) return report_logbook(athlete.problem());
    filter.athlete_id = athlete->id;
  }
  if (!o.since.empty()) {
    const Result<std::int64_t> since = parse_time(o.since, "--since");
    if (!since) return report_bad_input(since.problem());
    filter.since_ms = *since;
  }
  if (o.limit != "all") {
    const Result<double> limit = parse_number(o.limit, "--limit");
    if (!limit || *limit < 1 || *limit > 1e9) {
      return report_bad_input(
          {"", "--limit", fmt::format("\"{}\" is not a count; give 1 or more, or all", o.limit)});
    }
    filter.newest = static_cast<std::int64_t>(*limit);
  }
  const Result<std::vector<AttemptEntry>> attempts = logbook->attempts(filter);
  if (!attempts) return report_logbook(attempts.problem());
  if (o.json) {
    Json list = Json::array();
    for (const AttemptEntry& entry : *attempts) list.push_back(attempt_json(row_of(entry)));
    return print(json_text({{"attempts", list}}));
  }
  std::string text;
  for (const AttemptEntry& entry : *attempts) text += attempt_words(row_of(entry)) + "\n";
  return print(text.empty() ? "no attempts\n" : text);
}

Exit run_undo(const AttemptOptions& o) {
  Result<Logbook> opened = open_logbook(o, Logbook::Mode::write);
  if (!opened) return report_logbook(opened.problem());
  Logbook logbook = std::move(opened).value();
  std::optional<std::int64_t> id;
  if (!o.name.empty()) {
    const Result<AthleteEntry> athlete = logbook.athlete(o.name);
    if (!athlete) return report_logbook(athlete.problem());
    id = athlete->id;
  }
  const Result<std::optional<AttemptEntry>> undone = logbook.undo_last(id, now_ms());
  if (!undone) return report_logbook(undone.problem());
  if (!*undone) return report_bad_input({"", "", "there is no attempt to undo"});
  report_backup(logbook);
  if (o.json) return print(json_text({{"undone", attempt_json(row_of(**undone))}}));
  return print("undone: " + attempt_words(row_of(**undone)) + "\n");
}

Exit run_decide(const AttemptOptions& o) {
  Result<OpenRung> opened = open_rung(o);
  if (!opened) return report_logbook(opened.problem());
  OpenRung at = std::move(opened).value();
  const Suggestion decision = o.decision == "move on"  ? Suggestion::move_on
                              : o.decision == "repeat" ? Suggestion::repeat
                                                       : Suggestion::back;
  if (const Outcome problem = at.logbook.add_decision(
          at.athlete.id, {rung_key(at.chosen.ladder, at.rung), now_ms(), decision, o.reason})) {
    return report_logbook(*problem);
  }
  report_backup(at.logbook);
  const Result<std::vector<Gate>> gates = gates_of(at.logbook, at.athlete, at.chosen.ladder);
  if (!gates) return report_logbook(gates.problem());
  if (o.json)
    return print(
        json_text({{"gate", gate_json((*gates)[at.rung])}, {"suggested_rung", suggested_rung(*gates)}}));
  return print(fmt::format("kept: {}\n", (*gates)[at.rung].reason));
}

}  // namespace

void add_attempt_command(CLI::App& program, Command& chosen) {
  CLI::App* group = program.add_subcommand("attempt", "Log attempts and see what the gate makes of them");
  group->require_subcommand(0, 1);
  auto merge = std::make_shared<AttemptOptions>();
  add_logbook_options(*group, *merge);
  group
      ->add_option("--merge", merge->merge,
                   "Add what FILE has and this logbook lacks: another logbook, or attempts saved on a phone")
      ->type_name("FILE");
  group->add_flag("--add-athletes", merge->add_athletes,
                  "With --merge of attempts: add athletes who are not in the logbook");
  group->add_flag("--same-names", merge->same_names, "With --merge: athletes of one name are one person");
  // The group's callback runs after that of a subcommand and leaves its choice alone.
  group->callback([merge, group, &chosen] {
    if (!group->get_subcommands().empty()) {
      // Else the words before "add" would be taken silently for another logbook's.
      if (!merge->logbook.empty() || merge->json || !merge->merge.empty() || merge->same_names ||
          merge->add_athletes) {
        throw CLI::ValidationError("attempt", "options go after add, list, undo, export, import or decide");
      }
      return;
    }
    if (merge->merge.empty())
      throw CLI::RequiredError("add, list, undo, export, import, decide or --merge FILE");
    chosen = [merge] { return merge_logbook(*merge); };
  });
  const auto add = [&](const char* word, const char* what, Exit (*run)(const AttemptOptions&)) {
    auto options = std::make_shared<AttemptOptions>();
    CLI::App* command = group->add_subcommand(word, what);
    add_logbook_options(*command, *options);
    command->callback([options, run, &chosen] { chosen = [options, run] { return run(*options); }; });
    return std::pair<CLI::App*, AttemptOptions&>(command, *options);
  };
  {
    auto [command, o] =
        add("add", "Log one attempt, for instance: attempt add Ana \"in hand\" --rung 2 --on-plan", run_add);
    command->add_option("name", o.name, "Athlete")->required();
    command
        ->add_option(
            "outcome", o.outcome,
            "\"in hand\" (controlled with something in hand), controlled, \"on feet\" (not controlled), "
            "\"hand down\", fall (or crash), \"planned stop\" (stopped early as intended) or stop")
        ->required();
    add_rung_options(*command, o, true);
    command->add_flag("--on-plan", o.on_plan, "The chest pointed as planned at FIRST contact");
    command->add_option("--short", o.shorter, "It was so many degrees short; by eye in steps of 15");
    command->add_option("--long", o.longer, "It was so many degrees too far");
    command->add_option("--contact-heading", o.contact_heading,
                        "Heading at first contact, left positive, instead");
    command->add_option("--upright", o.upright, "Trunk from vertical at first contact, degrees");
    command->add_flag("--measured", o.measured, "Heading and trunk were measured, not seen by eye");
    command->add_option("--air-time", o.air_time, "Measured air time in seconds");
    command
        ->add_option("--recorded", o.recorded,
                     "Heading, trunk and air time from what \"halfturn measure RECORD --json\" printed")
        ->type_name("FILE");
    command->add_option("--note", o.note, "The coach's own words");
    command->add_option("--time", o.time, "When it was, instead of now: 2026-11-25T17:30");
    command->add_option("--session", o.session, "Name of the session, instead of the day");
  }
  {
    auto [command, o] = add("list", "The last attempts", run_list);
    command->add_option("name", o.name, "Athlete; without it, all");
    command->add_option("--session", o.session, "Of one session");
    command->add_option("--since", o.since, "From this day or time on");
    command->add_option("--limit", o.limit, "So many of the latest, or all")->default_val("20");
  }
  {
    auto [command, o] = add("undo", "Take back the attempt logged last", run_undo);
    command->add_option("name", o.name, "Athlete; without it, the last of all");
  }
  {
    auto [command, o] = add("export", "Write attempts as JSON or CSV", export_attempts);
    command->add_option("name", o.name, "Athlete; without it, all");
    command->add_option("-o,--output", o.output, "File to write: .csv or .json; without it, standard output");
    command->add_flag("--csv", o.csv, "CSV on standard output");
  }
  {
    auto [command, o] =
        add("import", "Read attempts from JSON or CSV, all or none; known ones are left as they are",
            import_attempts);
    command->add_option("file", o.file, "File to read")->required();
    command->add_flag("--add-athletes", o.add_athletes, "Add athletes who are not in the logbook");
  }
  {
    auto [command, o] = add("decide", "Keep a decision of the coach beside the gate", run_decide);
    command->add_option("name", o.name, "Athlete")->required();
    command->add_option("decision", o.decision, "\"move on\", repeat or back")
        ->required()
        ->check(CLI::IsMember({"move on", "repeat", "back"}));
    add_rung_options(*command, o, true);
    command->add_option("--reason", o.reason, "Why");
  }
}

}  // namespace halfturn
