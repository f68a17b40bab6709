#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <ctime>

#include "inside.hpp"
#include "schema.hpp"

namespace halfturn {
namespace {

/// Advice for a file that is damaged: its newest backup, if there is one.
Problem with_backup_advice(Problem problem) {
  const std::vector<std::string> backups = backups_of(problem.file);
  problem.text +=
      backups.empty()
          ? ". There is no backup beside it: keep the file, and start another with --logbook"
          : fmt::format(". Keep the file under another name, then copy the newest backup to its place: {}",
                        backups.front());
  return problem;
}

bool is_damage(const Problem& problem) {
  return problem.text.starts_with("is damaged");
}

/// That the file is a logbook, of a version we know, and whole. Gives its version.
Result<std::int64_t> check(const Database& database) {
  const Result<std::int64_t> application = database.number("PRAGMA application_id");
  if (!application) return application.problem();
  const Result<std::int64_t> version = database.number("PRAGMA user_version");
  if (!version) return version.problem();
  const Result<std::int64_t> tables = database.number("SELECT count(*) FROM sqlite_schema");
  if (!tables) return tables.problem();
  const std::string& path = database.path();
  if (*tables == 0 && *application == 0 && *version == 0) return 0;
  if (*application != logbook_application_id) {
    return Problem{
        path, "",
        "is a database of another program; nothing was changed. Choose another file with --logbook"};
  }
  if (*version > newest_schema()) {
    return Problem{
        path, "",
        fmt::format("was written by a newer halfturn (tables of version {}, this one knows {}); nothing was "
                    "changed. Use the newer halfturn, or another file with --logbook",
                    *version, newest_schema())};
  }
  Statement whole(database, "PRAGMA quick_check(1)");
  const std::string answer = whole.step() ? whole.text(0) : "";
  if (const Outcome problem = whole.finish()) return *problem;
  if (answer != "ok") return Problem{path, "", "is damaged; nothing was changed"};
  return *version;
}

/// Whether a file has pages that only its write-ahead log holds.
bool has_log(const std::string& path) {
  struct stat status {};
  return ::stat((path + "-wal").c_str(), &status) == 0 && status.st_size > 0;
}

Outcome prepare_writing(const Database& database) {
  // WAL: readers and the writer do not wait for each other. FULL: on the disk when a change returns.
  return database.run(
      "PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA secure_delete "
      "= ON;"
      "PRAGMA temp_store = MEMORY; PRAGMA cache_size = -16000");
}

}  // namespace

Logbook::Logbook(std::unique_ptr<Inside> inside) : inside_(std::move(inside)) {}
Logbook::~Logbook() = default;
Logbook::Logbook(Logbook&&) noexcept = default;
Logbook& Logbook::operator=(Logbook&&) noexcept = default;

Result<Logbook> Logbook::open(const std::string& path, Mode mode) {
  struct stat status {};
  const bool there = ::stat(path.c_str(), &status) == 0;
  if (there && S_ISDIR(status.st_mode))
    return Problem{path, "", "is a folder, the file of a logbook is needed"};
  if (!there && mode == Mode::read) {
    return Problem{path, "", "there is no logbook yet; the first \"halfturn athlete add NAME\" makes one"};
  }
  const auto attempt_open = [&](Database::Mode how, bool immutable) -> Result<Logbook> {
    Result<Database> database = Database::open(path, how, immutable);
    if (!database) return database.problem();
    const Result<std::int64_t> version = check(*database);
    if (!version)
      return is_damage(version.problem()) ? with_backup_advice(version.problem()) : version.problem();
    auto inside = std::make_unique<Inside>(Inside{std::move(database).value(), ""});
    const Database& open = inside->database;
    if (mode == Mode::read) {
      if (*version < newest_schema()) {
        return Problem{
            path, "",
            fmt::format("has tables of version {}; the first change by this halfturn brings them to {}, "
                        "for instance \"halfturn attempt undo\" or \"halfturn athlete add NAME\"",
                        *version, newest_schema())};
      }
      return Logbook(std::move(inside));
    }
    if (Outcome problem = prepare_writing(open)) return *problem;
    if (*version < newest_schema()) {
      if (*version > 0) {
        const Result<std::string> backup = make_backup(open);
        if (!backup) return backup.problem();
      }
      if (Outcome problem = migrate(open, *version)) return *problem;
    }
    return Logbook(std::move(inside));
  };
  if (mode == Mode::write) return attempt_open(there ? Database::Mode::write : Database::Mode::create, false);
  Result<Logbook> opened = attempt_open(Database::Mode::read, false);
  // A read-only file in a read-only folder has no place for the shared memory of the write-ahead log. With no
  // log there is nothing to share.
  if (!opened && opened.problem().place == writing_place && !has_log(path)) {
    return attempt_open(Database::Mode::read, true);
  }
  return opened;
}

const std::string& Logbook::path() const {
  return inside_->database.path();
}

}  // namespace halfturn
