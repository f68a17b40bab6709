#include <fmt/chrono.h>
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <system_error>

#include "inside.hpp"

namespace halfturn {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t backups_kept = 7;
constexpr std::chrono::hours backup_interval{20};

fs::path backup_folder(const std::string& path) {
  return path + ".backups";
}

/// Copies all pages at once: SQLite gives the state of one moment even while others write.
Outcome copy_pages(const Database& from, const Database& to) {
  sqlite3_backup* backup = sqlite3_backup_init(to.handle(), "main", from.handle(), "main");
  if (backup == nullptr) return to.problem();
  const int code = sqlite3_backup_step(backup, -1);
  sqlite3_backup_finish(backup);
  if (code != SQLITE_DONE) return to.problem();
  // One plain file, which can be copied and read anywhere.
  return to.run("PRAGMA journal_mode = DELETE");
}

}  // namespace

std::vector<std::string> backups_of(const std::string& path) {
  std::vector<std::string> found;
  std::error_code error;
  for (fs::directory_iterator it(backup_folder(path), error), end; !error && it != end; it.increment(error)) {
    if (it->path().extension() == ".db") found.push_back(it->path().string());
  }
  // The names are times.
  std::sort(found.rbegin(), found.rend());
  return found;
}

Result<std::string> make_backup(const Database& database) {
  const fs::path folder = backup_folder(database.path());
  std::error_code error;
  fs::create_directories(folder, error);
  if (error) return Problem{folder.string(), writing_place, "cannot be made: " + error.message()};
  const auto now = std::chrono::time_point_cast<std::chrono::seconds>(std::chrono::system_clock::now());
  const std::string target = (folder / fmt::format("{:%Y-%m-%dT%H-%M-%S}Z.db", fmt::gmtime(now))).string();
  const std::string unfinished = target + ".unfinished";
  fs::remove(unfinished, error);
  Outcome trouble;
  {
    const Result<Database> copy = Database::open(unfinished, Database::Mode::create);
    trouble = copy ? copy_pages(database, *copy) : copy.problem();
  }
  if (!trouble) {
    fs::rename(unfinished, target, error);
    if (error) trouble = Problem{target, writing_place, "cannot be made: " + error.message()};
  }
  if (trouble) {
    fs::remove(unfinished, error);
    return *trouble;
  }
  const std::vector<std::string> all = backups_of(database.path());
  for (std::size_t k = backups_kept; k < all.size(); ++k) fs::remove(all[k], error);
  return target;
}

void Logbook::Inside::back_up_if_due() {
  const std::vector<std::string> all = backups_of(database.path());
  if (!all.empty()) {
    std::error_code error;
    const auto age = fs::file_time_type::clock::now() - fs::last_write_time(all.front(), error);
    if (!error && age < backup_interval) return;
  }
  // An empty logbook is not worth one.
  const Result<std::int64_t> athletes = database.number("SELECT count(*) FROM athlete");
  if (!athletes || *athletes == 0) return;
  const Result<std::string> made = make_backup(database);
  backup_trouble = made ? "" : made.problem().message();
}

std::vector<std::string> Logbook::backups() const {
  return backups_of(path());
}

const std::string& Logbook::backup_trouble() const {
  return inside_->backup_trouble;
}

Outcome erase_athlete(const Database& database, const std::string& uid, bool& in_use) {
  {
    Transaction transaction(database);
    if (transaction.problem()) return transaction.problem();
    for (const char* sql :
         {"DELETE FROM athlete WHERE uid = ?", "INSERT OR IGNORE INTO removed_athlete VALUES (?)"}) {
      Statement statement(database, sql);
      if (Outcome problem = statement.bind(uid).finish()) return problem;
    }
    // A backup is as old as the tables it was made of: the first ones kept no attendance.
    const Result<std::int64_t> attendance =
        database.number("SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name = 'attendance'");
    if (!attendance) return attendance.problem();
    const std::string sessions =
        std::string("DELETE FROM session WHERE id NOT IN (SELECT session FROM attempt)") +
        (*attendance > 0 ? " AND id NOT IN (SELECT session FROM attendance)" : "");
    if (Outcome problem = database.run(sessions.c_str())) return problem;
    if (Outcome problem = database.run("DELETE FROM rung WHERE id NOT IN (SELECT rung FROM attempt)"
                                       " AND id NOT IN (SELECT rung FROM decision)")) {
      return problem;
    }
    if (Outcome problem = transaction.commit()) return problem;
  }
  // Deleted cells are overwritten (secure_delete); rebuilding the file and emptying the write-ahead log
  // removes the old pages as well.
  static_cast<void>(database.run("VACUUM"));
  Statement checkpoint(database, "PRAGMA wal_checkpoint(TRUNCATE)");
  in_use = checkpoint.step() && checkpoint.integer(0) != 0;
  static_cast<void>(checkpoint.finish());
  return std::nullopt;
}

bool backup_knows(const std::string& backup, const std::string& uid) {
  const Result<Database> database = Database::open(backup, Database::Mode::read);
  if (!database) return true;
  Statement statement(*database, "SELECT 1 FROM athlete WHERE uid = ?");
  const bool known = statement.bind(uid).step();
  // What cannot be read may hold anything.
  return statement.finish().has_value() || known;
}

Result<bool> clean_backup(const std::string& backup, const std::string& uid) {
  if (!backup_knows(backup, uid)) return false;
  const Result<Database> database = Database::open(backup, Database::Mode::write);
  if (!database) return database.problem();
  std::error_code error;
  const fs::file_time_type made = fs::last_write_time(backup, error);
  if (Outcome problem =
          database->run("PRAGMA foreign_keys = ON; PRAGMA secure_delete = ON; PRAGMA temp_store = MEMORY"))
    return *problem;
  bool in_use = false;
  if (Outcome problem = erase_athlete(*database, uid, in_use)) return *problem;
  fs::last_write_time(backup, made, error);
  return true;
}

}  // namespace halfturn
