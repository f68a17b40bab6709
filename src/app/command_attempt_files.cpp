#include <fmt/format.h>

#include <array>
#include <filesystem>
#include <fstream>
#include <string_view>

#include "attempt_options.hpp"
#include "format/file.hpp"
#include "format/time_text.hpp"
#include "format/vocabulary_file.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

Exit report_added(const AttemptOptions& o, const Added& added, std::int64_t athletes) {
  if (o.json) {
    return print(json_text({{"added", added.added}, {"known", added.known}, {"athletes_added", athletes}}));
  }
  return print(fmt::format("{} attempts added, {} were there already, {} athletes added\n", added.added,
                           added.known, athletes));
}

/// Whether a file is a database of SQLite, by the 16 bytes it begins with (the file format's own page,
/// sqlite.org).
bool is_database(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::array<char, 16> head{};
  file.read(head.data(), head.size());
  return std::string_view(head.data(), head.size()) == std::string_view("SQLite format 3\0", 16);
}

bool is_file(const std::string& path) {
  std::error_code no_matter;
  return std::filesystem::is_regular_file(path, no_matter);
}

}  // namespace

Exit export_attempts(const AttemptOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  AttemptFilter filter;
  if (!o.name.empty()) {
    const Result<AthleteEntry> athlete = logbook->athlete(o.name);
    if (!athlete) return report_logbook(athlete.problem());
    filter.athlete_id = athlete->id;
  }
  const Result<std::vector<AttemptEntry>> attempts = logbook->attempts(filter);
  if (!attempts) return report_logbook(attempts.problem());
  std::vector<AttemptRow> rows;
  rows.reserve(attempts->size());
  for (const AttemptEntry& entry : *attempts) rows.push_back(row_of(entry));
  const bool csv = o.csv || o.output.ends_with(".csv");
  const std::string text = csv ? write_attempts_csv(rows) : write_attempts_json(rows);
  if (o.output.empty()) return print(text);
  if (const Outcome problem = write_file(o.output, text)) return report_no_output(*problem);
  if (o.json) return print(json_text({{"file", o.output}, {"attempts", rows.size()}}));
  return print(fmt::format("{}: {} attempts\n", o.output, rows.size()));
}

Exit import_attempts(const AttemptOptions& o) {
  constexpr std::size_t limit = std::size_t{256} << 20;
  const Result<std::string> text = read_file(o.file, limit);
  if (!text) return report_bad_input(text.problem());
  const bool json = text->find_first_not_of(" \t\r\n") != std::string::npos &&
                    (*text)[text->find_first_not_of(" \t\r\n")] == '{';
  const Result<std::vector<AttemptRow>> rows = json ? read_attempts_json(*text, o.file, built_in_vocabulary())
                                                    : read_attempts_csv(*text, o.file, built_in_vocabulary());
  if (!rows) return report_bad_input(rows.problem());
  Result<Logbook> opened = open_logbook(o, Logbook::Mode::write);
  if (!opened) return report_logbook(opened.problem());
  Logbook logbook = std::move(opened).value();
  std::vector<NamedAttempt> attempts;
  attempts.reserve(rows->size());
  for (const AttemptRow& row : *rows) {
    attempts.push_back(
        {row.athlete,
         {0, row.session.empty() ? local_day(row.record.time_ms) : row.session, row.id, row.record}});
  }
  const Result<Imported> imported = logbook.import_attempts(attempts, o.add_athletes, now_ms());
  if (!imported) {
    Problem problem = imported.problem();
    if (problem.place == "writing") return report_no_output(problem);
    // Everything else is about what the file says.
    if (problem.place == "athlete" && !o.add_athletes)
      problem.text += ". Add --add-athletes to add who is missing";
    problem.file = o.file;
    return report_bad_input(problem);
  }
  report_backup(logbook);
  return report_added(o, imported->attempts, imported->athletes);
}

Exit merge_logbook(const AttemptOptions& o) {
  // What a page on a phone has saved is a file of attempts; each attempt's id keeps it from being taken
  // twice.
  if (is_file(o.merge) && !is_database(o.merge)) {
    AttemptOptions attempts = o;
    attempts.file = o.merge;
    return import_attempts(attempts);
  }
  Result<Logbook> opened = open_logbook(o, Logbook::Mode::write);
  if (!opened) return report_logbook(opened.problem());
  Logbook logbook = std::move(opened).value();
  const Result<Merged> merged = logbook.merge(o.merge, o.same_names);
  if (!merged) return report_logbook(merged.problem());
  report_backup(logbook);
  if (o.json) {
    return print(json_text({{"added", merged->attempts.added},
                            {"known", merged->attempts.known},
                            {"athletes_added", merged->athletes.added},
                            {"decisions_added", merged->decisions.added},
                            {"removed_athletes_left_out", merged->left_out}}));
  }
  std::string text = fmt::format("{} attempts added, {} were there already, {} athletes added\n",
                                 merged->attempts.added, merged->attempts.known, merged->athletes.added);
  if (merged->left_out > 0)
    text += fmt::format("{} athletes were removed here before and stay out\n", merged->left_out);
  return print(text);
}

}  // namespace halfturn
