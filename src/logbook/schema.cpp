#include "schema.hpp"

#include <fmt/format.h>

#include <array>

namespace halfturn {
namespace {

/// Statement k leads from version k to k + 1. What has been released is never changed, only added to.
constexpr std::array<const char*, 3> migrations{
    R"sql(
CREATE TABLE athlete (
  id INTEGER PRIMARY KEY,
  uid TEXT NOT NULL UNIQUE DEFAULT (lower(hex(randomblob(16)))),
  name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(name) BETWEEN 1 AND 100),
  added_ms INTEGER NOT NULL,
  height_m REAL, mass_kg REAL,
  segment_table TEXT NOT NULL DEFAULT 'male' CHECK (segment_table IN ('male', 'female')),
  twisting_side TEXT NOT NULL DEFAULT 'left' CHECK (twisting_side IN ('left', 'right')),
  surface TEXT NOT NULL DEFAULT '',
  air_time_s REAL, air_time_spread_s REAL, angular_momentum_kgm2_s REAL, shoulder_half_width_m REAL,
  skills TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '');
CREATE TABLE removed_athlete (uid TEXT PRIMARY KEY) WITHOUT ROWID;
CREATE TABLE plan (
  id INTEGER PRIMARY KEY,
  athlete INTEGER NOT NULL REFERENCES athlete ON DELETE CASCADE,
  title TEXT NOT NULL, text TEXT NOT NULL, saved_ms INTEGER NOT NULL,
  UNIQUE (athlete, title));
CREATE TABLE session (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 100));
CREATE TABLE rung (
  id INTEGER PRIMARY KEY,
  skill TEXT NOT NULL, twist_deg REAL NOT NULL,
  side TEXT NOT NULL CHECK (side IN ('left', 'right')),
  takeoff TEXT NOT NULL, surface TEXT NOT NULL, setup TEXT NOT NULL, shape TEXT NOT NULL,
  early INTEGER NOT NULL CHECK (early IN (0, 1)),
  UNIQUE (skill, twist_deg, side, takeoff, surface, setup, shape, early));
CREATE TABLE attempt (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  uid TEXT NOT NULL UNIQUE DEFAULT (lower(hex(randomblob(16)))),
  athlete INTEGER NOT NULL REFERENCES athlete ON DELETE CASCADE,
  session INTEGER NOT NULL REFERENCES session,
  rung INTEGER NOT NULL REFERENCES rung,
  time_ms INTEGER NOT NULL,
  outcome INTEGER NOT NULL CHECK (outcome BETWEEN 0 AND 6),
  heading_error_deg REAL, heading_measured INTEGER NOT NULL DEFAULT 0,
  upright_deg REAL, upright_measured INTEGER NOT NULL DEFAULT 0,
  air_time_s REAL,
  note TEXT NOT NULL DEFAULT '',
  undone_ms INTEGER);
CREATE INDEX attempt_by_athlete ON attempt (athlete, time_ms, id, outcome) WHERE undone_ms IS NULL;
CREATE INDEX crash_by_athlete ON attempt (athlete) WHERE outcome = 4 AND undone_ms IS NULL;
CREATE INDEX attempt_by_time ON attempt (time_ms, id) WHERE undone_ms IS NULL;
CREATE INDEX attempt_of_athlete ON attempt (athlete);
CREATE INDEX attempt_of_session ON attempt (session);
CREATE INDEX attempt_of_rung ON attempt (rung);
CREATE TABLE decision (
  id INTEGER PRIMARY KEY,
  uid TEXT NOT NULL UNIQUE DEFAULT (lower(hex(randomblob(16)))),
  athlete INTEGER NOT NULL REFERENCES athlete ON DELETE CASCADE,
  rung INTEGER NOT NULL REFERENCES rung,
  time_ms INTEGER NOT NULL,
  decision INTEGER NOT NULL CHECK (decision BETWEEN 0 AND 4),
  reason TEXT NOT NULL DEFAULT '');
CREATE INDEX decision_by_rung ON decision (rung);
CREATE INDEX decision_by_athlete ON decision (athlete, time_ms, id);
)sql",
    R"sql(
CREATE TABLE attendance (
  session INTEGER NOT NULL REFERENCES session ON DELETE CASCADE,
  athlete INTEGER NOT NULL REFERENCES athlete ON DELETE CASCADE,
  place INTEGER NOT NULL,
  absent INTEGER NOT NULL DEFAULT 0,
  PRIMARY KEY (session, athlete)) WITHOUT ROWID;
CREATE INDEX attendance_by_athlete ON attendance (athlete);
)sql",
    // A decision that was made by logging an attempt names it and goes when that attempt is undone.
    R"sql(
ALTER TABLE decision ADD COLUMN attempt_uid TEXT;
)sql"};

}  // namespace

std::int64_t newest_schema() {
  return static_cast<std::int64_t>(migrations.size());
}

Outcome migrate(const Database& database, std::int64_t version) {
  Transaction transaction(database);
  if (transaction.problem()) return transaction.problem();
  // Another program may have been quicker.
  const Result<std::int64_t> now = database.number("PRAGMA user_version");
  if (!now) return now.problem();
  for (std::int64_t k = std::max(version, *now); k < newest_schema(); ++k) {
    if (Outcome problem = database.run(migrations[static_cast<std::size_t>(k)])) return problem;
  }
  const std::string marks = fmt::format("PRAGMA application_id = {}; PRAGMA user_version = {}",
                                        logbook_application_id, newest_schema());
  if (Outcome problem = database.run(marks.c_str())) return problem;
  return transaction.commit();
}

}  // namespace halfturn
