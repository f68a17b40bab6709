// What happens to a logbook in a gym, done for real: the program is killed while it writes, the disk fills
// up, the file may not be written. No attempt that was accepted may be missing afterwards.
#include <doctest/doctest.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <functional>
#include <random>
#include <set>

#include "temporary.hpp"

using namespace halfturn;
using namespace halfturn::test;

namespace {

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Runs in a process of its own; its exit code. The process must not use doctest.
int in_child(const std::function<int()>& work) {
  const pid_t child = fork();
  REQUIRE(child >= 0);
  if (child == 0) _exit(work());
  int status = 0;
  REQUIRE(waitpid(child, &status, 0) == child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 1000 + WTERMSIG(status);
}

NewAttempt numbered(std::int64_t athlete, int number) {
  return {athlete, "s", "n" + std::to_string(number), record(90, number)};
}

std::set<std::string> uids(const std::string& path) {
  std::set<std::string> all;
  for (const AttemptEntry& entry : take(open(path, Logbook::Mode::read).attempts({}))) all.insert(entry.uid);
  return all;
}

/// Logs attempts from `number` on until killed, and writes each number to `pipe` once it is accepted.
[[noreturn]] void log_until_killed(const std::string& path, std::int64_t athlete, int number, int pipe) {
  Result<Logbook> opened = Logbook::open(path, Logbook::Mode::write);
  if (!opened) _exit(7);
  Logbook logbook = std::move(opened).value();
  for (;; ++number) {
    const NewAttempt attempt = numbered(athlete, number);
    if (!logbook.add_attempts({&attempt, 1})) _exit(8);
    if (write(pipe, &number, sizeof number) != sizeof number) _exit(9);
  }
}

/// Logs until the logbook refuses; the number of attempts accepted and the words of the refusal.
std::pair<int, std::string> log_until_refused(Logbook& logbook, std::int64_t athlete, int first) {
  for (int number = first; number < 200000; ++number) {
    NewAttempt attempt = numbered(athlete, number);
    attempt.record.note = std::string(900, 'x');
    const Result<Added> added = logbook.add_attempts({&attempt, 1});
    if (!added) return {number - first, added.problem().place + ": " + added.problem().text};
  }
  return {200000 - first, "never refused"};
}

}  // namespace

TEST_CASE("killed five hundred times while it writes, no accepted attempt is lost") {
  const Folder folder;
  const std::string path = folder.file();
  std::int64_t athlete = 0;
  {
    Logbook logbook = open(path);
    athlete = add_athlete(logbook, "Ana");
  }
  constexpr int kills = 500;
  std::mt19937_64 random(20261125);
  std::set<std::string> accepted;
  int next = 0;
  for (int k = 0; k < kills; ++k) {
    int pipe[2];
    REQUIRE(::pipe(pipe) == 0);
    const pid_t child = fork();
    REQUIRE(child >= 0);
    if (child == 0) {
      close(pipe[0]);
      log_until_killed(path, athlete, next, pipe[1]);
    }
    close(pipe[1]);
    // One in five dies while opening, the others anywhere in their first transactions.
    int number = 0;
    if (k % 5 != 0) {
      REQUIRE(read(pipe[0], &number, sizeof number) == sizeof number);
      accepted.insert("n" + std::to_string(number));
      next = number + 1;
    }
    usleep(static_cast<useconds_t>(random() % 4000));
    REQUIRE(kill(child, SIGKILL) == 0);
    int status = 0;
    REQUIRE(waitpid(child, &status, 0) == child);
    CHECK(WIFSIGNALED(status));
    while (read(pipe[0], &number, sizeof number) == sizeof number) {
      accepted.insert("n" + std::to_string(number));
      next = number + 1;
    }
    close(pipe[0]);
    // The attempt under way may be there or not: both are right, half of it is not.
    if (k % 20 == 19 || k + 1 == kills) {
      const std::set<std::string> there = uids(path);
      for (const std::string& uid : accepted) CHECK_MESSAGE(there.contains(uid), uid << " after kill " << k);
      CHECK(there.size() <= accepted.size() + kills);
    }
  }
  CHECK(accepted.size() >= kills / 2);
  MESSAGE(accepted.size() << " accepted attempts, " << kills << " kills");
}

TEST_CASE("a full disk refuses in words and loses nothing") {
  if (geteuid() != 0) {
    MESSAGE("not root: no small disk can be mounted; the limit on file size below stands in for it");
    return;
  }
  const Folder folder;
  // A copy of the mount table of our own: nobody else sees the small disk.
  const int code = in_child([&] {
    const char* disk = folder.path.c_str();
    if (mount("none", disk, "tmpfs", 0, "size=2m") != 0) return 50;
    const auto result = [&]() -> int {
      Result<Logbook> opened = Logbook::open(folder.file(), Logbook::Mode::write);
      if (!opened) return 1;
      Logbook logbook = std::move(opened).value();
      AthleteProfile profile;
      profile.name = "Ana";
      const Result<AthleteEntry> athlete = logbook.add_athlete(profile, 0);
      if (!athlete) return 2;
      const auto [accepted, words] = log_until_refused(logbook, athlete->id, 0);
      if (accepted < 5) return 3;
      if (!holds(words, "writing: the disk is full, nothing was written")) return 4;
      const Result<std::vector<AttemptEntry>> there = logbook.attempts({});
      if (!there || there->size() != static_cast<std::size_t>(accepted)) return 5;
      // With room again the same logbook goes on.
      if (mount("none", disk, "tmpfs", MS_REMOUNT, "size=8m") != 0) return 6;
      const NewAttempt more = numbered(athlete->id, accepted);
      if (!logbook.add_attempts({&more, 1})) return 7;
      const Result<Logbook> again = Logbook::open(folder.file(), Logbook::Mode::read);
      if (!again) return 8;
      const Result<std::vector<AttemptEntry>> all = again->attempts({});
      return all && all->size() == static_cast<std::size_t>(accepted) + 1 ? 0 : 9;
    }();
    umount2(disk, MNT_DETACH);
    return result;
  });
  if (code == 50) {
    MESSAGE("no small disk can be mounted here; the limit on file size below stands in for it");
  } else {
    CHECK(code == 0);
  }
}

TEST_CASE("a file that may not grow refuses in words and loses nothing") {
  const Folder folder;
  std::int64_t athlete = 0;
  {
    Logbook logbook = open(folder.file());
    athlete = add_athlete(logbook, "Ana");
  }
  const int code = in_child([&] {
    signal(SIGXFSZ, SIG_IGN);
    const rlimit small{300'000, 300'000};
    if (setrlimit(RLIMIT_FSIZE, &small) != 0) return 1;
    Result<Logbook> opened = Logbook::open(folder.file(), Logbook::Mode::write);
    if (!opened) return 2;
    Logbook logbook = std::move(opened).value();
    const auto [accepted, words] = log_until_refused(logbook, athlete, 0);
    if (accepted < 5) return 3;
    if (!words.starts_with("writing: ") || !holds(words, "nothing was written")) return 4;
    const Result<std::vector<AttemptEntry>> there = logbook.attempts({});
    return there && there->size() == static_cast<std::size_t>(accepted) ? 0 : 5;
  });
  CHECK(code == 0);
  Logbook logbook = open(folder.file());
  CHECK(take(logbook.attempts({})).size() >= 5);
  const NewAttempt more = numbered(athlete, 100000);
  CHECK(logbook.add_attempts({&more, 1}).ok());
}

TEST_CASE("a read-only file in a read-only folder is read, and refuses to be written in words") {
  const Folder folder;
  std::int64_t athlete = 0;
  {
    Logbook logbook = open(folder.file());
    athlete = add_athlete(logbook, "Ana");
    log(logbook, athlete, record(90, 1));
  }
  chmod(folder.file().c_str(), 0444);
  chmod(folder.path.c_str(), 0555);
  const int code = in_child([&] {
    // Permissions mean nothing to root.
    if (geteuid() == 0 && setuid(65534) != 0) return 1;
    const Result<Logbook> readable = Logbook::open(folder.file(), Logbook::Mode::read);
    if (!readable) return 2;
    const Result<std::vector<AttemptEntry>> there = readable->attempts({});
    if (!there || there->size() != 1) return 3;
    Result<Logbook> writable = Logbook::open(folder.file(), Logbook::Mode::write);
    if (writable) {
      Logbook logbook = std::move(writable).value();
      const NewAttempt more = numbered(athlete, 1);
      const Result<Added> added = logbook.add_attempts({&more, 1});
      return !added && added.problem().place == "writing" && holds(added.problem().text, "read-only") ? 0 : 4;
    }
    return writable.problem().place == "writing" && holds(writable.problem().text, "read-only") ? 0 : 5;
  });
  chmod(folder.path.c_str(), 0755);
  chmod(folder.file().c_str(), 0644);
  CHECK(code == 0);
  CHECK(take(open(folder.file()).attempts({})).size() == 1);
}

TEST_CASE("a folder that is read-only or not there is named, whatever SQLite says of it") {
  const Folder folder;
  {
    Logbook logbook = open(folder.file());
    log(logbook, add_athlete(logbook, "Ana"), record(90, 1));
  }
  chmod(folder.file().c_str(), 0666);
  chmod(folder.path.c_str(), 0555);
  const int code = in_child([&] {
    if (geteuid() == 0 && setuid(65534) != 0) return 1;
    const Result<Logbook> readable = Logbook::open(folder.file(), Logbook::Mode::read);
    if (!readable || readable->attempts({})->size() != 1) return 2;
    const Result<Logbook> writable = Logbook::open(folder.file(), Logbook::Mode::write);
    if (writable) return 3;
    if (writable.problem().place != "writing" || !holds(writable.problem().text, "folder is read-only"))
      return 4;
    const Result<Logbook> fresh = Logbook::open(folder.path.string() + "/new.db", Logbook::Mode::write);
    return !fresh && holds(fresh.problem().text, "folder is read-only") ? 0 : 5;
  });
  chmod(folder.path.c_str(), 0755);
  CHECK(code == 0);
  const Result<Logbook> nowhere = Logbook::open(folder.path.string() + "/not/there.db", Logbook::Mode::write);
  REQUIRE_FALSE(nowhere.ok());
  CHECK(holds(nowhere.problem().text, "folder " + folder.path.string() + "/not is not there"));
}
