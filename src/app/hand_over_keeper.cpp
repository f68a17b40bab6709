#include "hand_over_keeper.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <charconv>
#include <csignal>
#include <cstdio>
#include <cstring>
#include <memory>

#include "format/plan_file.hpp"

extern char** environ;

namespace halfturn {
namespace {

constexpr int plan_descriptor = 3;  // of the other process

Problem cannot(const char* what) {
  return Problem{"", "", fmt::format("{}: {}", what, std::strerror(errno))};
}

/// A file that lies in memory alone; negative when there is none to be had.
int memory_file(const std::string& text) {
  const int file = ::memfd_create("plan", MFD_CLOEXEC);
  if (file < 0) return file;
  std::size_t written = 0;
  while (written < text.size()) {
    const ssize_t more = ::write(file, text.data() + written, text.size() - written);
    if (more < 0 && errno == EINTR) continue;
    if (more <= 0) {
      ::close(file);
      return -1;
    }
    written += static_cast<std::size_t>(more);
  }
  ::lseek(file, 0, SEEK_SET);
  return file;
}

/// "progress 37" as 37; negative for any other line.
int percent_of(std::string_view line) {
  constexpr std::string_view word = "progress ";
  int percent = -1;
  if (line.starts_with(word)) std::from_chars(line.data() + word.size(), line.data() + line.size(), percent);
  return percent;
}

}  // namespace

HandOverKeeper::~HandOverKeeper() {
  cancel();
}

Outcome HandOverKeeper::start(const Session& session, const std::string& logbook) {
  {
    const std::lock_guard lock(mutex_);
    if (process_ != 0) return Problem{"", "", "the one before is still being made"};
  }
  if (listener_.joinable()) listener_.join();
  const int plan = memory_file(write_plan(plan_file(session)));
  if (plan < 0) return cannot("the plan cannot be handed to the program that makes the file");
  std::array<int, 2> pipe{};
  if (::pipe2(pipe.data(), O_CLOEXEC) != 0) {
    ::close(plan);
    return cannot("the program that makes the file cannot be listened to");
  }

  std::vector<std::string> words =
      hand_over_arguments(session, fmt::format("/dev/fd/{}", plan_descriptor), logbook);
  words.insert(words.begin(), "halfturn");
  std::vector<char*> arguments;
  for (std::string& word : words) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  ::posix_spawn_file_actions_init(&actions);
  ::posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  ::posix_spawn_file_actions_adddup2(&actions, pipe[1], STDERR_FILENO);
  ::posix_spawn_file_actions_adddup2(&actions, plan, plan_descriptor);
  pid_t process = 0;
  const int failed = ::posix_spawn(&process, "/proc/self/exe", &actions, nullptr, arguments.data(), environ);
  ::posix_spawn_file_actions_destroy(&actions);
  ::close(pipe[1]);
  ::close(plan);
  if (failed != 0) {
    ::close(pipe[0]);
    errno = failed;
    return cannot("the program that makes the file cannot be started");
  }
  {
    const std::lock_guard lock(mutex_);
    process_ = process;
    cancelled_ = false;
  }
  listener_ = std::jthread(
      [this, end = pipe[0], process, path = session.hand_over.path] { listen(end, process, path); });
  return {};
}

void HandOverKeeper::cancel() {
  const std::lock_guard lock(mutex_);
  if (process_ == 0) return;
  cancelled_ = true;
  ::kill(process_, SIGTERM);
}

std::vector<Edit> HandOverKeeper::news() {
  const std::lock_guard lock(mutex_);
  return std::exchange(news_, {});
}

bool HandOverKeeper::has_news() const {
  const std::lock_guard lock(mutex_);
  return !news_.empty();
}

void HandOverKeeper::listen(int pipe, pid_t process, std::string path) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> lines(::fdopen(pipe, "r"), std::fclose);
  std::array<char, 4096> buffer{};
  std::string said;  // the last line that is no progress
  while (lines && std::fgets(buffer.data(), buffer.size(), lines.get()) != nullptr) {
    std::string line(buffer.data());
    if (line.ends_with('\n')) line.pop_back();
    if (const int percent = percent_of(line); percent >= 0) {
      tell({HandOverNews{true, percent}});
    } else if (!line.empty()) {
      said = std::move(line);
    }
  }
  // Until it has been waited for, the number belongs to this process and no other.
  siginfo_t end{};
  while (::waitid(P_PID, static_cast<id_t>(process), &end, WEXITED | WNOWAIT) != 0 && errno == EINTR) {
  }
  bool cancelled = false;
  {
    const std::lock_guard lock(mutex_);
    process_ = 0;
    cancelled = cancelled_;
  }
  while (::waitpid(process, nullptr, 0) < 0 && errno == EINTR) {
  }
  const bool made = end.si_code == CLD_EXITED && end.si_status == 0;
  const std::string outcome = made           ? "made: " + path
                              : cancelled    ? "cancelled; nothing was written"
                              : said.empty() ? "it could not be made"
                                             : said;
  tell({HandOverNews{false, -1}, Notice{outcome, !made && !cancelled}});
}

void HandOverKeeper::tell(std::vector<Edit> edits) {
  {
    const std::lock_guard lock(mutex_);
    for (Edit& edit : edits) news_.push_back(std::move(edit));
  }
  if (wake_) wake_();
}

}  // namespace halfturn
