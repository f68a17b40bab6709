// Files as they come in life: from a newer or an older program, damaged, foreign, read-only, in use.
#include <doctest/doctest.h>
#include <sqlite3.h>

#include <fstream>
#include <thread>

#include "temporary.hpp"

using namespace halfturn;
using namespace halfturn::test;

namespace {

/// Runs SQL on a file behind the logbook's back.
void sql(const std::string& path, const std::string& text) {
  sqlite3* handle = nullptr;
  REQUIRE(sqlite3_open(path.c_str(), &handle) == SQLITE_OK);
  CHECK_MESSAGE(sqlite3_exec(handle, text.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK,
                sqlite3_errmsg(handle));
  sqlite3_close(handle);
}

std::string complaint(const std::string& path, Logbook::Mode mode = Logbook::Mode::write) {
  const Result<Logbook> logbook = Logbook::open(path, mode);
  return logbook ? "opened" : logbook.problem().message();
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

void fill(const std::string& path, int attempts) {
  Logbook logbook = open(path);
  const std::int64_t id = add_athlete(logbook, "Ana");
  std::vector<NewAttempt> all;
  for (int i = 0; i < attempts; ++i) all.push_back({id, "s", "", record(90, i)});
  CHECK(take(logbook.add_attempts(all)).added == attempts);
}

/// Version 3 brought the attempt of a decision, version 2 attendance: without both it is version 1.
void make_version_1(const std::string& path) {
  sql(path, "ALTER TABLE decision DROP COLUMN attempt_uid; DROP TABLE attendance; PRAGMA user_version = 1");
}

}  // namespace

TEST_CASE("a newer logbook is refused with advice and left alone") {
  const Folder folder;
  fill(folder.file(), 3);
  sql(folder.file(), "PRAGMA user_version = 99");
  for (const auto mode : {Logbook::Mode::write, Logbook::Mode::read}) {
    CHECK(holds(complaint(folder.file(), mode), "newer halfturn (tables of version 99"));
  }
}

TEST_CASE("an older logbook is brought up to date after a backup") {
  const Folder folder;
  fill(folder.file(), 3);
  std::filesystem::remove_all(folder.file() + ".backups");
  make_version_1(folder.file());
  CHECK(holds(complaint(folder.file(), Logbook::Mode::read), "has tables of version 1"));
  Logbook logbook = open(folder.file());
  CHECK(logbook.backups().size() == 1);
  CHECK(take(logbook.attempts({})).size() == 3);
  CHECK(take(logbook.attendance("today")).empty());
}

TEST_CASE("a logbook of version 2 keeps its decisions") {
  const Folder folder;
  fill(folder.file(), 3);
  {
    Logbook logbook = open(folder.file());
    const std::int64_t ana = take(logbook.athlete("Ana")).id;
    REQUIRE_FALSE(logbook.add_decision(ana, {record(90, 0).rung, 5, Suggestion::move_on, "seen elsewhere"}));
  }
  sql(folder.file(), "ALTER TABLE decision DROP COLUMN attempt_uid; PRAGMA user_version = 2");
  Logbook logbook = open(folder.file());
  const std::int64_t ana = take(logbook.athlete("Ana")).id;
  REQUIRE(take(logbook.decisions(ana)).size() == 1);
  CHECK(take(logbook.decisions(ana))[0].reason == "seen elsewhere");
  // Nothing that was logged before hangs on an attempt.
  CHECK(take(logbook.undo_last(ana, 10)).has_value());
  CHECK(take(logbook.decisions(ana)).size() == 1);
}

TEST_CASE("an athlete goes from the backup of an older logbook that bringing it up to date has made") {
  const Folder folder;
  fill(folder.file(), 3);
  std::filesystem::remove_all(folder.file() + ".backups");
  make_version_1(folder.file());
  Logbook logbook = open(folder.file());
  REQUIRE(logbook.backups().size() == 1);
  const std::string backup = logbook.backups()[0];
  const Removal removal = take(logbook.remove_athlete(take(logbook.athlete("Ana")).id, true));
  CHECK(removal.cleaned == std::vector{backup});
  CHECK(removal.still_in.empty());
  CHECK(removal.not_cleaned.empty());
  std::ifstream file(backup, std::ios::binary);
  const std::string bytes(std::istreambuf_iterator<char>(file), {});
  CHECK_FALSE(holds(bytes, "Ana"));
  // A session whose attempts are all gone goes as well; the backup keeps the version of its tables.
  sql(backup, "CREATE TABLE empty (n CHECK (n = 0)); INSERT INTO empty SELECT count(*) FROM session");
  CHECK(holds(complaint(backup, Logbook::Mode::read), "has tables of version 1"));
}

TEST_CASE("a backup that cannot be cleaned is told with its reason") {
  const Folder folder;
  fill(folder.file(), 3);
  const std::string spoilt = folder.file() + ".backups/2020-01-01T00-00-00Z.db";
  std::ofstream(spoilt) << std::string(5000, 'x');
  Logbook logbook = open(folder.file());
  const Removal removal = take(logbook.remove_athlete(take(logbook.athlete("Ana")).id, true));
  CHECK(removal.still_in == std::vector{spoilt});
  REQUIRE(removal.not_cleaned.size() == 1);
  CHECK(removal.not_cleaned[0].file == spoilt);
  CHECK(holds(removal.not_cleaned[0].text, "is no logbook"));
}

TEST_CASE("a database of another program and a file that is none are refused") {
  const Folder folder;
  sql(folder.file("other.db"), "CREATE TABLE songs (title); INSERT INTO songs VALUES ('x')");
  CHECK(holds(complaint(folder.file("other.db")), "is a database of another program"));
  std::ofstream(folder.file("text.db")) << std::string(5000, 'x');
  CHECK(holds(complaint(folder.file("text.db")), "is no logbook"));
  CHECK(holds(complaint(folder.path.string()), "is a folder"));
  CHECK(holds(complaint(folder.file("none.db"), Logbook::Mode::read), "there is no logbook yet"));
  CHECK(holds(complaint(folder.file("none/none.db")), "is not there; make it"));
}

TEST_CASE("a damaged file is refused, its newest backup named, and not a byte changed") {
  const Folder folder;
  fill(folder.file(), 2000);
  std::string bytes;
  {
    std::ifstream file(folder.file(), std::ios::binary);
    bytes.assign(std::istreambuf_iterator<char>(file), {});
  }
  // Whole pages in the middle overwritten, as a failing card does.
  for (std::size_t i = bytes.size() / 3; i < bytes.size() / 3 + 20000; ++i)
    bytes[i] = static_cast<char>(i * 7);
  std::ofstream(folder.file(), std::ios::binary) << bytes;
  for (const auto mode : {Logbook::Mode::write, Logbook::Mode::read}) {
    const std::string words = complaint(folder.file(), mode);
    CHECK_MESSAGE(holds(words, "is damaged; nothing was changed"), words);
    CHECK_MESSAGE(holds(words, ".backups/"), words);
  }
  std::ifstream file(folder.file(), std::ios::binary);
  CHECK(std::string(std::istreambuf_iterator<char>(file), {}) == bytes);
}

TEST_CASE("a file cut short is refused") {
  const Folder folder;
  fill(folder.file(), 2000);
  std::filesystem::resize_file(folder.file(), std::filesystem::file_size(folder.file()) / 2);
  CHECK(holds(complaint(folder.file()), "is damaged"));
}

TEST_CASE("a path may begin with two slashes, as POSIX has it, and hold what a URI reserves") {
  const Folder folder;
  fill("/" + folder.file("a b?c#d%41.db"), 3);
  CHECK(std::filesystem::exists(folder.file("a b?c#d%41.db")));
  CHECK(take(open("/" + folder.file("a b?c#d%41.db"), Logbook::Mode::read).attempts({})).size() == 3);
}

TEST_CASE("backups rotate") {
  const Folder folder;
  fill(folder.file(), 3);
  const std::string backups = folder.file() + ".backups";
  for (int day = 10; day < 20; ++day) {
    const std::string old = backups + "/2020-01-" + std::to_string(day) + "T00-00-00Z.db";
    std::ofstream(old) << "old";
    std::filesystem::last_write_time(
        old, std::filesystem::file_time_type::clock::now() - std::chrono::hours(1000));
  }
  for (const auto& entry : std::filesystem::directory_iterator(backups)) {
    std::filesystem::last_write_time(entry.path(),
                                     std::filesystem::file_time_type::clock::now() - std::chrono::hours(21));
  }
  Logbook logbook = open(folder.file());
  std::this_thread::sleep_for(std::chrono::milliseconds(1100));  // names are seconds
  log(logbook, take(logbook.athlete("Ana")).id, record(90, 9));
  CHECK(logbook.backups().size() == 7);
  // The newest holds everything that was there before the change.
  const Logbook copy = open(logbook.backups()[0], Logbook::Mode::read);
  CHECK(take(copy.attempts({})).size() == 3);
}

TEST_CASE("two programs write at once and nothing is lost") {
  const Folder folder;
  std::int64_t id = 0;
  {
    Logbook logbook = open(folder.file());
    id = add_athlete(logbook, "Ana");
  }
  constexpr int each = 60;
  const auto write = [&] {
    Logbook logbook = open(folder.file());
    for (int i = 0; i < each; ++i) log(logbook, id, record(90, i));
  };
  std::thread other(write);
  write();
  other.join();
  CHECK(take(open(folder.file()).attempts({})).size() == 2 * each);
}

TEST_CASE("a logbook that another program holds locked is not written and says so") {
  const Folder folder;
  fill(folder.file(), 3);
  Logbook logbook = open(folder.file());
  const std::int64_t id = take(logbook.athlete("Ana")).id;
  sqlite3* other = nullptr;
  REQUIRE(sqlite3_open(folder.file().c_str(), &other) == SQLITE_OK);
  REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
  const NewAttempt attempt{id, "s", "", record(90, 10)};
  const Result<Added> added = logbook.add_attempts({&attempt, 1});
  REQUIRE_FALSE(added.ok());
  CHECK(added.problem().place == "writing");
  CHECK(holds(added.problem().text, "another program is writing"));
  // It can still be read meanwhile.
  CHECK(take(open(folder.file(), Logbook::Mode::read).attempts({})).size() == 3);
  sqlite3_close(other);
  CHECK(logbook.add_attempts({&attempt, 1}).ok());
}
