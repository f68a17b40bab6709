#pragma once

#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <thread>
#include <utility>

namespace halfturn {

/// Does one job after another in a thread of its own, of those asked for meanwhile the newest only. Nothing
/// here blocks the caller but the destructor, which waits for the job under way.
template <class Value>
class NewestJob {
 public:
  /// `wake` is called from the thread whenever there is something to take.
  explicit NewestJob(std::function<void()> wake = {})
      : wake_(std::move(wake)), thread_([this](const std::stop_token& stop) { work(stop); }) {}

  /// What was asked for before and has not begun is dropped; what is under way ends unheard.
  void ask(std::function<Value()> job) {
    const std::lock_guard lock(mutex_);
    next_ = std::move(job);
    done_.reset();
    ++number_;
    asked_.notify_all();
  }
  [[nodiscard]] std::optional<Value> take() {
    const std::lock_guard lock(mutex_);
    return std::exchange(done_, std::nullopt);
  }
  [[nodiscard]] bool has_news() const {
    const std::lock_guard lock(mutex_);
    return done_.has_value();
  }

 private:
  void work(const std::stop_token& stop) {
    std::unique_lock lock(mutex_);
    while (asked_.wait(lock, stop, [&] { return next_ != nullptr; }) && !stop.stop_requested()) {
      const std::function<Value()> job = std::exchange(next_, nullptr);
      const unsigned number = number_;
      lock.unlock();
      Value value = job();
      lock.lock();
      if (number != number_) continue;
      done_ = std::move(value);
      if (!wake_) continue;
      lock.unlock();
      wake_();
      lock.lock();
    }
  }

  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::condition_variable_any asked_;
  std::function<Value()> next_;
  std::optional<Value> done_;
  unsigned number_ = 0;
  std::jthread thread_;  // last: it ends before what it uses
};

}  // namespace halfturn
