#include "share_out.hpp"

#include <algorithm>
#include <atomic>
#include <future>
#include <thread>
#include <vector>

namespace halfturn {

void share_out(std::size_t count, const std::function<void(std::size_t)>& work, unsigned threads) {
  if (threads == 0) threads = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
  const std::size_t workers = std::min<std::size_t>(threads, count);
  std::atomic<std::size_t> next = 0;
  std::vector<std::future<void>> running;
  for (std::size_t w = 0; w < workers; ++w) {
    running.push_back(std::async(std::launch::async, [&] {
      for (std::size_t k = next++; k < count; k = next++) work(k);
    }));
  }
  for (std::future<void>& done : running) done.get();
}

}  // namespace halfturn
