#pragma once

#include <condition_variable>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "ladder/rung_simulation.hpp"

namespace halfturn {

/// Simulates the rungs of a ladder in threads of its own, the newest request only. Nothing here blocks the
/// caller but the destructor, which waits for at most one rung a thread.
class SimulationWorker {
 public:
  struct Done {
    std::size_t rung = 0;
    std::shared_ptr<const RungSimulation> simulation;
  };
  /// `wake` is called from a thread of the worker whenever there is something to take.
  explicit SimulationWorker(std::function<void()> wake = {}, unsigned threads = 2);
  ~SimulationWorker();
  SimulationWorker(const SimulationWorker&) = delete;
  SimulationWorker& operator=(const SimulationWorker&) = delete;

  /// Drops what was asked before and begins with `first`. Rungs simulated before come at once. The ladder's
  /// vocabulary must outlive the worker.
  void ask(std::shared_ptr<const Ladder> ladder, const Flyer& flyer, std::size_t first = 0);
  /// What is finished of the newest request and was not taken yet, each rung once.
  [[nodiscard]] std::vector<Done> take();
  /// Whether there is something to take.
  [[nodiscard]] bool has_news() const;
  /// Whether rungs of the newest request are still to come.
  [[nodiscard]] bool busy() const;

 private:
  struct Request {
    std::shared_ptr<const Ladder> ladder;
    Flyer flyer;
    std::vector<std::size_t> rungs;  // still to do, the next one last
    std::size_t running = 0;
    unsigned number = 0;
  };
  void work(const std::stop_token& stop);

  std::function<void()> wake_;
  mutable std::mutex mutex_;
  std::condition_variable_any asked_;
  Request request_;
  std::vector<Done> done_;
  std::map<std::string, std::shared_ptr<const RungSimulation>, std::less<>> known_;  // by simulation_key
  std::vector<std::jthread> threads_;  // last: they end before what they use
};

}  // namespace halfturn
