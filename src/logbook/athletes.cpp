#include <fmt/format.h>
#include <fmt/ranges.h>

#include "inside.hpp"

namespace halfturn {
namespace {

constexpr const char* athlete_columns =
    "SELECT id, uid, added_ms, name, height_m, mass_kg, segment_table, twisting_side, surface, air_time_s,"
    " air_time_spread_s, angular_momentum_kgm2_s, shoulder_half_width_m, skills, note, ";
/// Attempts and crashes, counted for one athlete or, in one pass, for all. 4 is a fall: an index counts them.
static_assert(static_cast<int>(AttemptOutcome::fall) == 4);
constexpr const char* counts_of_one =
    "(SELECT count(*) FROM attempt a WHERE a.athlete = athlete.id AND undone_ms IS NULL),"
    " (SELECT count(*) FROM attempt a WHERE a.athlete = athlete.id AND outcome = 4 AND undone_ms IS NULL)"
    " FROM athlete WHERE name = ?";
constexpr const char* counts_of_all =
    "ifnull(attempts, 0), (SELECT count(*) FROM attempt a WHERE a.athlete = athlete.id AND outcome = 4"
    " AND undone_ms IS NULL) FROM athlete LEFT JOIN (SELECT a.athlete AS whose, count(*) AS attempts"
    " FROM attempt a WHERE a.undone_ms IS NULL GROUP BY a.athlete) ON whose = athlete.id ORDER BY name";

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::size_t start = 0;
  while (start < text.size()) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    lines.push_back(text.substr(start, end - start));
    start = end + 1;
  }
  return lines;
}

AthleteEntry read_athlete_row(const Statement& row) {
  AthleteEntry entry;
  entry.id = row.integer(0);
  entry.uid = row.text(1);
  entry.added_ms = row.integer(2);
  AthleteProfile& p = entry.profile;
  p.name = row.text(3);
  p.height_m = row.optional_real(4);
  p.mass_kg = row.optional_real(5);
  p.table = row.text(6) == "female" ? SegmentTableKind::female : SegmentTableKind::male;
  p.side = row.text(7) == "right" ? Side::right : Side::left;
  p.surface = row.text(8);
  p.air_time_s = row.optional_real(9);
  p.air_time_spread_s = row.optional_real(10);
  p.angular_momentum_kgm2_s = row.optional_real(11);
  p.shoulder_half_width_m = row.optional_real(12);
  p.skills = lines_of(row.text(13));
  p.note = row.text(14);
  entry.attempts = row.integer(15);
  entry.crashes = row.integer(16);
  return entry;
}

/// What is wrong with a profile, or nothing.
Outcome check_profile(const Database& database, const AthleteProfile& p, std::int64_t own_id) {
  const auto wrong = [](const char* place, std::string text) { return Problem{"", place, std::move(text)}; };
  if (p.name.empty() || p.name.size() > 100 || p.name.find_first_of("\n\t") != std::string::npos) {
    return wrong("name", "must have 1 to 100 letters on one line; initials do");
  }
  const struct {
    const std::optional<double>& value;
    double low, high;
    const char* place;
  } ranges[] = {{p.height_m, 0.8, 2.4, "--height"},
                {p.mass_kg, 15, 200, "--mass"},
                {p.air_time_s, 0.05, 5, "--air-time"},
                {p.air_time_spread_s, 0, 1, "--air-time-spread"},
                {p.angular_momentum_kgm2_s, 1, 500, "--angular-momentum"},
                {p.shoulder_half_width_m, 0.08, 0.35, "--shoulder-half-width"}};
  for (const auto& range : ranges) {
    if (range.value && !(range.low <= *range.value && *range.value <= range.high)) {
      return wrong(range.place,
                   fmt::format("is {}, must be between {} and {}", *range.value, range.low, range.high));
    }
  }
  Statement same(database, "SELECT name FROM athlete WHERE name = ? AND id <> ?");
  if (same.bind(p.name, own_id).step()) {
    return wrong(
        "name",
        fmt::format("there is an athlete called {} already; choose another name, for instance with an "
                    "initial",
                    same.text(0)));
  }
  return same.finish();
}

Outcome write_profile(const AthleteProfile& p, Statement& statement, std::int64_t last) {
  statement.bind(p.name, p.height_m, p.mass_kg, segment_table_word(p.table), word(p.side), p.surface,
                 p.air_time_s, p.air_time_spread_s, p.angular_momentum_kgm2_s, p.shoulder_half_width_m,
                 fmt::format("{}", fmt::join(p.skills, "\n")), p.note, last);
  return statement.finish();
}

}  // namespace

Result<std::vector<AthleteEntry>> Logbook::athletes() const {
  const std::string sql = std::string(athlete_columns) + counts_of_all;
  Statement statement(inside_->database, sql);
  std::vector<AthleteEntry> all;
  while (statement.step()) all.push_back(read_athlete_row(statement));
  if (const Outcome problem = statement.finish()) return *problem;
  return all;
}

Result<AthleteEntry> Logbook::athlete(const std::string& name) const {
  const std::string sql = std::string(athlete_columns) + counts_of_one;
  Statement statement(inside_->database, sql);
  if (statement.bind(name).step()) return read_athlete_row(statement);
  if (const Outcome problem = statement.finish()) return *problem;
  std::vector<std::string> names;
  Statement others(inside_->database, "SELECT name FROM athlete ORDER BY name LIMIT 21");
  while (others.step()) names.push_back(others.text(0));
  if (names.empty()) {
    return Problem{path(), "",
                   fmt::format("there is no athlete yet; \"halfturn athlete add {}\" adds one", name)};
  }
  const char* more = names.size() > 20 ? " and more" : "";
  if (names.size() > 20) names.pop_back();
  return Problem{
      path(), "",
      fmt::format("there is no athlete called \"{}\"; there are: {}{}", name, fmt::join(names, ", "), more)};
}

Result<std::int64_t> insert_athlete(const Database& database, const AthleteProfile& profile,
                                    std::int64_t now_ms) {
  if (const Outcome problem = check_profile(database, profile, 0)) return *problem;
  Statement insert(
      database,
      "INSERT INTO athlete (name, height_m, mass_kg, segment_table, twisting_side, surface, air_time_s,"
      " air_time_spread_s, angular_momentum_kgm2_s, shoulder_half_width_m, skills, note, added_ms)"
      " VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)");
  if (const Outcome problem = write_profile(profile, insert, now_ms)) return *problem;
  return sqlite3_last_insert_rowid(database.handle());
}

Result<AthleteEntry> Logbook::add_athlete(const AthleteProfile& profile, std::int64_t now_ms) {
  const Database& database = inside_->database;
  if (const Outcome problem = check_profile(database, profile, 0)) return *problem;
  inside_->back_up_if_due();
  const Result<std::int64_t> id = insert_athlete(database, profile, now_ms);
  if (!id) return id.problem();
  return athlete(profile.name);
}

Outcome Logbook::change_athlete(std::int64_t id, const AthleteProfile& profile) {
  const Database& database = inside_->database;
  if (Outcome problem = check_profile(database, profile, id)) return problem;
  inside_->back_up_if_due();
  Statement update(
      database,
      "UPDATE athlete SET name = ?, height_m = ?, mass_kg = ?, segment_table = ?, twisting_side = ?,"
      " surface = ?, air_time_s = ?, air_time_spread_s = ?, angular_momentum_kgm2_s = ?,"
      " shoulder_half_width_m = ?, skills = ?, note = ? WHERE id = ?");
  return write_profile(profile, update, id);
}

Result<Removal> Logbook::remove_athlete(std::int64_t id, bool from_backups) {
  const Database& database = inside_->database;
  Statement find(database, "SELECT uid FROM athlete WHERE id = ?");
  const std::string uid = find.bind(id).step() ? find.text(0) : "";
  if (const Outcome problem = find.finish()) return *problem;
  if (uid.empty()) return Problem{path(), "", "the athlete is not there any more"};
  Removal removal;
  if (const Outcome problem = erase_athlete(database, uid, removal.in_use)) return *problem;
  for (const std::string& backup : backups()) {
    if (!backup_knows(backup, uid)) continue;
    const Result<bool> cleaned = from_backups ? clean_backup(backup, uid) : Result<bool>(false);
    (cleaned && *cleaned ? removal.cleaned : removal.still_in).push_back(backup);
    if (!cleaned) removal.not_cleaned.push_back(cleaned.problem());
  }
  return removal;
}

Result<std::vector<PlanInWork>> Logbook::plans(std::int64_t athlete_id) const {
  Statement statement(
      inside_->database,
      "SELECT title, text, saved_ms FROM plan WHERE athlete = ? ORDER BY saved_ms DESC, id DESC");
  statement.bind(athlete_id);
  std::vector<PlanInWork> all;
  while (statement.step()) all.push_back({statement.text(0), statement.text(1), statement.integer(2)});
  if (const Outcome problem = statement.finish()) return *problem;
  return all;
}

Outcome Logbook::put_plan(std::int64_t athlete_id, const PlanInWork& plan) {
  inside_->back_up_if_due();
  Statement statement(inside_->database,
                      "INSERT INTO plan (athlete, title, text, saved_ms) VALUES (?1, ?2, ?3, ?4)"
                      " ON CONFLICT (athlete, title) DO UPDATE SET text = ?3, saved_ms = ?4");
  return statement.bind(athlete_id, plan.title, plan.text, plan.saved_ms).finish();
}

}  // namespace halfturn
