#pragma once

#include <sys/types.h>

#include <functional>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "base/result.hpp"
#include "session/edit.hpp"

namespace halfturn {

/// Has the program itself make what is handed over, in a process of its own: the window goes on, and a
/// cancelled or failed one leaves the older file as it was. One at a time.
class HandOverKeeper {
 public:
  /// `wake` is called from another thread when there is news.
  explicit HandOverKeeper(std::function<void()> wake) : wake_(std::move(wake)) {}
  /// Cancels what is under way.
  ~HandOverKeeper();
  HandOverKeeper(const HandOverKeeper&) = delete;
  HandOverKeeper& operator=(const HandOverKeeper&) = delete;

  /// Begins to make what the session's hand-over asks for, out of its plan as it is now, saved or not.
  /// `logbook`: the file that knows the athlete who flies; empty: the default one.
  [[nodiscard]] Outcome start(const Session& session, const std::string& logbook);
  void cancel();
  /// How far it is, and how it ended.
  [[nodiscard]] std::vector<Edit> news();
  [[nodiscard]] bool has_news() const;

 private:
  void listen(int pipe, pid_t process, std::string path);
  void tell(std::vector<Edit> edits);

  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::vector<Edit> news_;
  pid_t process_ = 0;  // 0: none is under way
  bool cancelled_ = false;
  std::jthread listener_;
};

}  // namespace halfturn
