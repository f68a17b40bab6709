#include "logbook_options.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <system_error>

#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/vocabulary_file.hpp"
#include "report.hpp"

namespace halfturn {
namespace fs = std::filesystem;

void add_logbook_options(CLI::App& command, LogbookOptions& options) {
  command.add_option("--logbook", options.logbook, "File of the logbook, instead of " + default_logbook());
  command.add_flag("--json", options.json, "Print one JSON object");
}

std::string default_logbook() {
  const char* set = std::getenv("XDG_DATA_HOME");
  if (set != nullptr && set[0] == '/') return fs::path(set) / "halfturn" / "logbook.db";
  const char* home = std::getenv("HOME");
  return fs::path(home != nullptr && home[0] == '/' ? home : "/tmp") / ".local/share/halfturn/logbook.db";
}

Result<Logbook> open_logbook(const LogbookOptions& options, Logbook::Mode mode) {
  const std::string path = options.logbook.empty() ? default_logbook() : options.logbook;
  if (mode == Logbook::Mode::write && options.logbook.empty()) {
    std::error_code error;
    fs::create_directories(fs::path(path).parent_path(), error);
    if (error) return Problem{path, "writing", "its folder cannot be made: " + error.message()};
  }
  return Logbook::open(path, mode);
}

Exit report_logbook(const Problem& problem) {
  return problem.place == "writing" ? report_no_output(problem) : report_bad_input(problem);
}

void report_backup(const Logbook& logbook) {
  if (!logbook.backup_trouble().empty()) {
    report_warning("the change is kept, but the backup of today could not be made: " +
                   logbook.backup_trouble());
  }
}

std::int64_t now_ms() {
  return std::chrono::duration_cast<std::chrono::milliseconds>(
             std::chrono::system_clock::now().time_since_epoch())
      .count();
}

void add_rung_options(CLI::App& command, RungOptions& o, bool rung) {
  command.add_option("--plan", o.plan, "Plan file; without it, the plan saved last for the athlete");
  if (rung) command.add_option("--rung", o.rung, "Rung of the plan, 0 is the base");
  command.add_option("--base", o.base, "Instead of a plan: a skill, for instance \"back flip\"");
  command.add_option("--twist", o.twist, "With --base: degrees of twist, or whole turn of a kick");
  command.add_option("--side", o.side, "With --base: the way the chest turns")
      ->check(CLI::IsMember({"left", "right"}));
  command.add_option("--takeoff", o.takeoff, "With --base: another takeoff");
  command.add_option("--surface", o.surface, "With --base: another surface, for instance trampoline");
  command.add_option("--setup", o.setup, "With --base: another setup");
  command.add_option("--shape", o.shape, "With --base: another shape");
  command.add_option("--vocabulary", o.vocabulary, "A coach's own skills, added to the built-in ones");
}

namespace {

Result<Plan> plan_of_skill(const RungOptions& options, const AthleteEntry& athlete) {
  Plan plan;
  plan.base = options.base;
  plan.side = athlete.profile.side;
  if (!options.side.empty()) plan.side = options.side == "right" ? Side::right : Side::left;
  if (!options.twist.empty()) {
    const Result<double> twist = parse_number(options.twist, "--twist");
    if (!twist) return twist.problem();
    plan.from_deg = *twist;
  }
  const auto set = [](std::optional<std::string>& target, const std::string& text) {
    if (!text.empty()) target = text;
  };
  set(plan.takeoff, options.takeoff);
  set(plan.surface, options.surface);
  set(plan.setup, options.setup);
  set(plan.shape, options.shape);
  return plan;
}

/// A key of a plan as the option that stands for it here.
Problem as_option(Problem problem) {
  if (problem.place == "from_deg") problem.place = "twist";
  problem.place = "--" + problem.place;
  return problem;
}

std::string rung_list(const Ladder& ladder) {
  std::string list;
  for (const Rung& rung : ladder.rungs) {
    if (rung.index == 8 && ladder.rungs.size() > 10)
      return list + fmt::format(", ... {}", ladder.rungs.size() - 1);
    list += fmt::format("{}{} {}", rung.index == 0 ? "" : ", ", rung.index, rung.title);
  }
  return list;
}

}  // namespace

Result<std::optional<ChosenLadder>> choose_ladder(const RungOptions& options, const Logbook& logbook,
                                                  const AthleteEntry& athlete) {
  auto vocabulary = std::make_shared<Vocabulary>(built_in_vocabulary());
  if (!options.vocabulary.empty()) {
    const Result<std::string> text = read_file(options.vocabulary);
    if (!text) return text.problem();
    Result<Vocabulary> extended = read_vocabulary(*text, options.vocabulary, std::move(*vocabulary));
    if (!extended) return extended.problem();
    *vocabulary = std::move(extended).value();
  }
  Plan plan;
  std::string file;
  if (!options.base.empty()) {
    if (!options.plan.empty()) return Problem{"", "--base", "goes without --plan: a plan has its own base"};
    Result<Plan> made = plan_of_skill(options, athlete);
    if (!made) return made.problem();
    plan = std::move(made).value();
  } else if (!options.plan.empty()) {
    Result<PlanFile> loaded = load_plan(options.plan);
    if (!loaded) return loaded.problem();
    plan = std::move(loaded).value().plan;
    file = options.plan;
  } else {
    const Result<std::vector<PlanInWork>> plans = logbook.plans(athlete.id);
    if (!plans) return plans.problem();
    if (plans->empty()) return std::optional<ChosenLadder>();
    file = fmt::format("plan \"{}\" of {}", plans->front().title, athlete.profile.name);
    Result<PlanFile> stored = read_plan(plans->front().text, file);
    if (!stored) return stored.problem();
    plan = std::move(stored).value().plan;
  }
  Result<Ladder> ladder = make_ladder(plan, *vocabulary, built_in_difficulty());
  if (!ladder) {
    Problem problem = options.base.empty() ? ladder.problem() : as_option(ladder.problem());
    problem.file = file;
    return problem;
  }
  return std::optional<ChosenLadder>(ChosenLadder{std::move(vocabulary), std::move(ladder).value()});
}

Result<std::size_t> choose_rung(const RungOptions& options, const Ladder& ladder) {
  if (!options.base.empty()) {
    if (options.rung.empty()) return std::size_t{0};
    return Problem{"", "--rung", "goes with a plan, --twist goes with --base"};
  }
  if (options.rung.empty()) {
    return Problem{"", "--rung", fmt::format("is missing: which rung? There are {}", rung_list(ladder))};
  }
  const Result<double> number = parse_number(options.rung, "--rung");
  if (!number) return number.problem();
  for (const Rung& rung : ladder.rungs) {
    if (*number == rung.index) return static_cast<std::size_t>(rung.index);
  }
  return Problem{"", "--rung",
                 fmt::format("there is no rung {}; there are {}", options.rung, rung_list(ladder))};
}

Result<std::vector<Gate>> gates_of(const Logbook& logbook, const AthleteEntry& athlete,
                                   const Ladder& ladder) {
  const Result<std::vector<AttemptRecord>> records = logbook.records(athlete.id);
  if (!records) return records.problem();
  const Result<std::vector<OverrideRecord>> decisions = logbook.decisions(athlete.id);
  if (!decisions) return decisions.problem();
  return gates(ladder, *records, *decisions);
}

Result<LoggedAthlete> named_athlete(const std::string& logbook, const std::string& name,
                                    const Ladder& ladder) {
  const std::string& athlete = name.empty() ? ladder.plan.athlete : name;
  if (athlete.empty()) return Problem{"", "--athlete-name", "is missing: whose attempts in the logbook?"};
  const Result<Logbook> opened = open_logbook({logbook, false}, Logbook::Mode::read);
  if (!opened) return opened.problem();
  return read_logged(*opened, athlete);
}

Result<std::vector<Gate>> named_gates(const std::string& logbook, const std::string& name,
                                      const Ladder& ladder) {
  if (logbook.empty() && name.empty()) return std::vector<Gate>();
  const Result<LoggedAthlete> logged = named_athlete(logbook, name, ladder);
  if (!logged) return logged.problem();
  return gates(ladder, logged->records, logged->decisions);
}

std::string gates_text(const Ladder& ladder, const std::vector<Gate>& gates) {
  if (gates.empty()) return "";
  std::string text = "\nwhere it stands\n";
  int crashes = 0;
  for (std::size_t k = gates.size(); k-- > 0;) {
    text += fmt::format("{:>4}  {}: {}\n", k == 0 ? "base" : fmt::format("{}", k), ladder.rungs[k].title,
                        gates[k].reason);
    crashes += gates[k].crashes;
  }
  return text + fmt::format("{}\na suggestion, the coach decides; crashes {} (the aim is 0)\n",
                            suggestion_words(ladder, gates), crashes);
}

std::string json_text(const Json& json) {
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string initials(const std::string& name) {
  std::string result;
  bool start = true;
  for (std::size_t i = 0; i < name.size(); ++i) {
    const auto c = static_cast<unsigned char>(name[i]);
    if (c == ' ' || c == '-' || c == '.') {
      start = true;
    } else if (start) {
      result += name[i];
      while (c >= 0xC0 && i + 1 < name.size() && (static_cast<unsigned char>(name[i + 1]) & 0xC0) == 0x80)
        result += name[++i];
      start = false;
    }
  }
  return result;
}

AttemptRow row_of(const AttemptEntry& entry) {
  return {entry.uid, entry.athlete, entry.session, entry.record};
}

std::string rung_words(const RungKey& key) {
  const Skill* skill = built_in_vocabulary().find(key.skill);
  std::string words = key.skill;
  if (skill != nullptr) {
    words = rung_title(*skill, key.twist_deg, key.early);
  } else if (key.twist_deg > 0) {
    words += fmt::format(" {:.6g}", key.twist_deg);
  }
  words += fmt::format(", {}", word(key.side));
  if (skill == nullptr || key.takeoff != skill->takeoff) words += ", " + key.takeoff;
  if (skill == nullptr || key.surface != skill->surface) words += ", " + key.surface;
  return words;
}

}  // namespace halfturn
