#include "newest_job.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <future>

using namespace halfturn;

namespace {

/// What comes of the newest job. A minute is far more than it takes on any machine.
std::optional<int> wait_for(NewestJob<int>& job) {
  const auto end = std::chrono::steady_clock::now() + std::chrono::minutes(1);
  while (!job.has_news() && std::chrono::steady_clock::now() < end)
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  return job.take();
}

}  // namespace

TEST_CASE("a job is done once, elsewhere, and tells that it is") {
  std::atomic<int> woken = 0;
  NewestJob<int> job([&] { ++woken; });
  CHECK_FALSE(job.has_news());
  CHECK_FALSE(job.take());
  const std::thread::id here = std::this_thread::get_id();
  std::thread::id there;
  job.ask([&] {
    there = std::this_thread::get_id();
    return 7;
  });
  CHECK(wait_for(job) == 7);
  CHECK(there != here);
  CHECK(woken == 1);
  CHECK_FALSE(job.take());
}

TEST_CASE("asking does not wait, and only the newest of what was asked meanwhile is done and heard") {
  std::promise<void> go;
  std::shared_future<void> gone = go.get_future().share();
  std::promise<void> began;
  std::atomic<int> done = 0;
  NewestJob<int> job;
  job.ask([&] {
    began.set_value();
    gone.wait();
    ++done;
    return 1;
  });
  began.get_future().wait();
  for (const int value : {2, 3, 4}) {
    job.ask([&done, value] {
      ++done;
      return value;
    });
  }
  go.set_value();
  CHECK(wait_for(job) == 4);
  CHECK(done == 2);
}
