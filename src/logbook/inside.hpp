#pragma once

#include <string>
#include <vector>

#include "database.hpp"
#include "logbook/logbook.hpp"

namespace halfturn {

struct Logbook::Inside {
  Database database;
  std::string backup_trouble;

  /// To be called before a change: makes the backup of the day if it is due. Never a reason not to log.
  void back_up_if_due();
};

/// Backups of a logbook, newest first.
[[nodiscard]] std::vector<std::string> backups_of(const std::string& path);
/// A copy of the whole database beside it, older copies removed beyond seven. Gives the path of the copy.
[[nodiscard]] Result<std::string> make_backup(const Database& database);
/// Removes an athlete from one of the backups; false when the backup does not know the athlete.
[[nodiscard]] Result<bool> clean_backup(const std::string& backup, const std::string& uid);
[[nodiscard]] bool backup_knows(const std::string& backup, const std::string& uid);

/// Deletes an athlete by uid and every trace of the pages that held it.
[[nodiscard]] Outcome erase_athlete(const Database& database, const std::string& uid, bool& in_use);

/// Adds an athlete whose profile is in order; the id.
[[nodiscard]] Result<std::int64_t> insert_athlete(const Database& database, const AthleteProfile& profile,
                                                  std::int64_t now_ms);

/// Ids of the session and the rung of an attempt, made if they are new.
[[nodiscard]] Result<std::int64_t> session_id(const Database& database, const std::string& name);
[[nodiscard]] Result<std::int64_t> rung_id(const Database& database, const RungKey& key);
/// Columns that `read_rung_key` and `read_record` read, for a SELECT that joins rung as r and attempt as a.
inline constexpr const char* rung_columns =
    "r.skill, r.twist_deg, r.side, r.takeoff, r.surface, r.setup, r.shape, r.early";
inline constexpr const char* record_columns =
    "a.time_ms, a.outcome, a.heading_error_deg, a.heading_measured, a.upright_deg, a.upright_measured, "
    "a.air_time_s, a.note";
[[nodiscard]] RungKey read_rung_key(const Statement& row, int first_column);
[[nodiscard]] AttemptRecord read_record(const Statement& row, int first_column);

}  // namespace halfturn
