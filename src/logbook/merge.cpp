#include <fmt/format.h>

#include "inside.hpp"

namespace halfturn {
namespace {

/// Rows a statement changed.
Result<std::int64_t> changed(const Database& database, const char* sql) {
  const int before = sqlite3_total_changes(database.handle());
  if (const Outcome problem = database.run(sql)) return *problem;
  return sqlite3_total_changes(database.handle()) - before;
}

/// Athletes of the other file by their id there and here; those removed here are left out.
Outcome match_athletes(const Database& database, bool same_names, Merged& merged) {
  Statement clash(
      database,
      "SELECT o.name FROM other.athlete o JOIN main.athlete a ON a.name = o.name WHERE a.uid <> o.uid"
      " AND o.uid NOT IN (SELECT uid FROM main.removed_athlete)");
  if (clash.step() && !same_names) {
    return Problem{
        database.path(), "",
        fmt::format("both logbooks have an athlete called {}, who were added separately. If they are one "
                    "person, add --same-names; otherwise rename one with \"halfturn athlete change\"",
                    clash.text(0))};
  }
  if (Outcome problem = clash.finish()) return problem;
  const Result<std::int64_t> left_out = database.number(
      "SELECT count(*) FROM other.athlete WHERE uid IN (SELECT uid FROM main.removed_athlete)");
  if (!left_out) return left_out.problem();
  merged.left_out = *left_out;
  const Result<std::int64_t> added =
      changed(database,
              "INSERT INTO main.athlete (uid, name, added_ms, height_m, mass_kg, segment_table, "
              "twisting_side, surface,"
              " air_time_s, air_time_spread_s, angular_momentum_kgm2_s, shoulder_half_width_m, skills, note)"
              " SELECT uid, name, added_ms, height_m, mass_kg, segment_table, twisting_side, surface,"
              " air_time_s, air_time_spread_s, angular_momentum_kgm2_s, shoulder_half_width_m, skills, note"
              " FROM other.athlete o WHERE uid NOT IN (SELECT uid FROM main.athlete)"
              " AND uid NOT IN (SELECT uid FROM main.removed_athlete)"
              " AND NOT EXISTS (SELECT 1 FROM main.athlete a WHERE a.name = o.name)");
  if (!added) return added.problem();
  merged.athletes.added = *added;
  if (Outcome problem = database.run(
          "CREATE TEMP TABLE match AS SELECT o.id AS there, a.id AS here FROM other.athlete o"
          " JOIN main.athlete a ON a.uid = o.uid WHERE o.uid NOT IN (SELECT uid FROM main.removed_athlete)"
          " UNION ALL SELECT o.id, a.id FROM other.athlete o JOIN main.athlete a ON a.name = o.name"
          " WHERE o.uid NOT IN (SELECT uid FROM main.athlete)"
          " AND o.uid NOT IN (SELECT uid FROM main.removed_athlete)")) {
    return problem;
  }
  const Result<std::int64_t> matched = database.number("SELECT count(*) FROM temp.match");
  if (!matched) return matched.problem();
  merged.athletes.known = *matched - merged.athletes.added;
  return std::nullopt;
}

Outcome copy_entries(const Database& database, Merged& merged) {
  if (Outcome problem = database.run(
          "INSERT OR IGNORE INTO main.session (name) SELECT name FROM other.session;"
          "INSERT OR IGNORE INTO main.rung (skill, twist_deg, side, takeoff, surface, setup, shape, early)"
          " SELECT skill, twist_deg, side, takeoff, surface, setup, shape, early FROM other.rung;"
          "CREATE TEMP TABLE rung_match AS SELECT o.id AS there, r.id AS here FROM other.rung o JOIN "
          "main.rung r"
          " USING (skill, twist_deg, side, takeoff, surface, setup, shape, early)")) {
    return problem;
  }
  // Counted are those that a list shows: not what comes along undone.
  const Result<std::int64_t> all = database.number(
      "SELECT count(*) FROM other.attempt WHERE athlete IN (SELECT there FROM temp.match) AND undone_ms IS "
      "NULL");
  if (!all) return all.problem();
  const Result<std::int64_t> known = database.number(
      "SELECT count(*) FROM other.attempt o WHERE athlete IN (SELECT there FROM temp.match)"
      " AND undone_ms IS NULL AND uid IN (SELECT uid FROM main.attempt)");
  if (!known) return known.problem();
  // Undone entries come along, so that an undo elsewhere holds here as well.
  if (Outcome problem = database.run(
          "INSERT OR IGNORE INTO main.attempt (uid, athlete, session, rung, time_ms, outcome, "
          "heading_error_deg,"
          " heading_measured, upright_deg, upright_measured, air_time_s, note, undone_ms)"
          " SELECT o.uid, m.here, s.id, r.here, o.time_ms, o.outcome, o.heading_error_deg, "
          "o.heading_measured,"
          " o.upright_deg, o.upright_measured, o.air_time_s, o.note, o.undone_ms"
          " FROM other.attempt o JOIN temp.match m ON m.there = o.athlete JOIN other.session os ON os.id = "
          "o.session"
          " JOIN main.session s ON s.name = os.name JOIN temp.rung_match r ON r.there = o.rung"
          " WHERE o.undone_ms IS NULL OR o.uid NOT IN (SELECT uid FROM main.attempt) ORDER BY o.id")) {
    return problem;
  }
  if (Outcome problem = database.run("UPDATE main.attempt SET undone_ms = (SELECT o.undone_ms FROM "
                                     "other.attempt o WHERE o.uid = attempt.uid)"
                                     " WHERE undone_ms IS NULL AND uid IN (SELECT uid FROM other.attempt "
                                     "WHERE undone_ms IS NOT NULL)")) {
    return problem;
  }
  merged.attempts.added = *all - *known;
  merged.attempts.known = *known;
  const Result<std::int64_t> decisions = changed(
      database,
      "INSERT OR IGNORE INTO main.decision (uid, athlete, rung, time_ms, decision, reason, attempt_uid)"
      " SELECT o.uid, m.here, r.here, o.time_ms, o.decision, o.reason, o.attempt_uid FROM other.decision o"
      " JOIN temp.match m ON m.there = o.athlete JOIN temp.rung_match r ON r.there = o.rung ORDER BY o.id");
  if (!decisions) return decisions.problem();
  merged.decisions.added = *decisions;
  if (Outcome problem =
          database.run("INSERT OR IGNORE INTO main.plan (athlete, title, text, saved_ms) SELECT m.here, "
                       "o.title, o.text, o.saved_ms"
                       " FROM other.plan o JOIN temp.match m ON m.there = o.athlete;"
                       "DELETE FROM main.session WHERE id NOT IN (SELECT session FROM main.attempt)"
                       " AND id NOT IN (SELECT session FROM main.attendance);"
                       "DELETE FROM main.rung WHERE id NOT IN (SELECT rung FROM main.attempt)"
                       " AND id NOT IN (SELECT rung FROM main.decision)")) {
    return problem;
  }
  return std::nullopt;
}

}  // namespace

Result<Merged> Logbook::merge(const std::string& other, bool same_names) {
  {
    // Everything that would refuse to open it refuses to merge it.
    const Result<Logbook> readable = open(other, Mode::read);
    if (!readable) return readable.problem();
  }
  const Database& database = inside_->database;
  inside_->back_up_if_due();
  Statement attach(database, "ATTACH ? AS other");
  if (const Outcome problem = attach.bind(other).finish()) return *problem;
  Merged merged;
  Outcome problem;
  {
    Transaction transaction(database);
    problem = transaction.problem();
    if (!problem) problem = match_athletes(database, same_names, merged);
    if (!problem) problem = copy_entries(database, merged);
    if (!problem) problem = database.run("DROP TABLE temp.match; DROP TABLE temp.rung_match");
    if (!problem) problem = transaction.commit();
  }
  static_cast<void>(database.run("DETACH other"));
  if (problem) return *problem;
  return merged;
}

}  // namespace halfturn
