#include "simulation_worker.hpp"

#include <utility>

namespace halfturn {
namespace {

constexpr std::size_t most_known = 512;  // rungs kept, some 20 kB each

}  // namespace

SimulationWorker::SimulationWorker(std::function<void()> wake, unsigned threads) : wake_(std::move(wake)) {
  for (unsigned i = 0; i < threads; ++i)
    threads_.emplace_back([this](const std::stop_token& stop) { work(stop); });
}

SimulationWorker::~SimulationWorker() {
  for (std::jthread& thread : threads_) thread.request_stop();
  asked_.notify_all();
}

void SimulationWorker::ask(std::shared_ptr<const Ladder> ladder, const Flyer& flyer, std::size_t first) {
  const std::lock_guard lock(mutex_);
  done_.clear();
  Request next{std::move(ladder), flyer, {}, 0, request_.number + 1};
  const std::size_t count = next.ladder->rungs.size();
  // The one looked at first, then upwards from it, then those below.
  for (std::size_t i = count; i-- > 0;) {
    const std::size_t rung = (first + i) % count;
    const auto known = known_.find(simulation_key(*next.ladder, rung, flyer));
    if (known != known_.end()) {
      done_.push_back({rung, known->second});
    } else {
      next.rungs.push_back(rung);
    }
  }
  request_ = std::move(next);
  asked_.notify_all();
}

std::vector<SimulationWorker::Done> SimulationWorker::take() {
  const std::lock_guard lock(mutex_);
  return std::exchange(done_, {});
}

bool SimulationWorker::has_news() const {
  const std::lock_guard lock(mutex_);
  return !done_.empty();
}

bool SimulationWorker::busy() const {
  const std::lock_guard lock(mutex_);
  return !request_.rungs.empty() || request_.running > 0 || !done_.empty();
}

void SimulationWorker::work(const std::stop_token& stop) {
  std::unique_lock lock(mutex_);
  while (asked_.wait(lock, stop, [&] { return !request_.rungs.empty(); }) && !stop.stop_requested()) {
    const std::size_t rung = request_.rungs.back();
    request_.rungs.pop_back();
    ++request_.running;
    const unsigned number = request_.number;
    const std::shared_ptr<const Ladder> ladder = request_.ladder;
    const Flyer flyer = request_.flyer;
    lock.unlock();
    auto simulation = std::make_shared<const RungSimulation>(simulate_rung(*ladder, rung, flyer));
    std::string key = simulation_key(*ladder, rung, flyer);
    lock.lock();
    if (known_.size() >= most_known) known_.clear();
    known_.insert_or_assign(std::move(key), simulation);
    if (number != request_.number) continue;
    --request_.running;
    done_.push_back({rung, std::move(simulation)});
    if (!wake_) continue;
    lock.unlock();
    wake_();
    lock.lock();
  }
}

}  // namespace halfturn
