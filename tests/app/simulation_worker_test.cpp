#include "simulation_worker.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <chrono>
#include <set>

#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "share_out.hpp"

using namespace halfturn;

namespace {

std::shared_ptr<const Ladder> ladder(const std::string& base, double to_deg, double step_deg = 180) {
  Plan plan;
  plan.base = base;
  plan.steps = equal_steps(0, to_deg, step_deg);
  Result<Ladder> made = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
  REQUIRE(made.ok());
  return std::make_shared<const Ladder>(std::move(made).value());
}

Flyer adult(double height_m = 1.70) {
  Athlete athlete;
  athlete.height_m = height_m;
  return make_flyer(athlete, embedded_shapes());
}

/// All that comes of the newest request. A minute is far more than it takes on any machine.
std::vector<SimulationWorker::Done> wait_for(SimulationWorker& worker) {
  std::vector<SimulationWorker::Done> all;
  const auto end = std::chrono::steady_clock::now() + std::chrono::minutes(1);
  while (worker.busy() && std::chrono::steady_clock::now() < end) {
    for (auto& done : worker.take()) all.push_back(std::move(done));
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  for (auto& done : worker.take()) all.push_back(std::move(done));
  return all;
}

std::set<std::size_t> rungs(const std::vector<SimulationWorker::Done>& all) {
  std::set<std::size_t> rungs;
  for (const auto& done : all) rungs.insert(done.rung);
  return rungs;
}

}  // namespace

TEST_CASE("every rung comes once, as simulate_rung gives it") {
  std::atomic<int> woken = 0;
  const auto flips = ladder("back flip", 360);
  SimulationWorker worker([&] { ++woken; });
  CHECK_FALSE(worker.busy());
  worker.ask(flips, adult(), 1);
  const auto all = wait_for(worker);
  CHECK(all.size() == 3);
  CHECK(rungs(all) == std::set<std::size_t>{0, 1, 2});
  CHECK(woken >= 1);
  CHECK_FALSE(worker.busy());
  for (const auto& done : all) {
    const RungSimulation alone = simulate_rung(*flips, done.rung, adult());
    CHECK(done.simulation->air_time_s == alone.air_time_s);
    CHECK(done.simulation->solved.numbers.momentum == alone.solved.numbers.momentum);
  }
}

TEST_CASE("what is known comes at once and is the same value; another athlete is another question") {
  SimulationWorker worker;
  const auto jump = ladder("straight jump", 180);
  worker.ask(jump, adult());
  const auto first = wait_for(worker);
  worker.ask(jump, adult());
  CHECK(worker.has_news());
  const auto again = worker.take();
  REQUIRE(again.size() == first.size());
  for (const auto& done : again) {
    for (const auto& before : first) {
      if (before.rung == done.rung) CHECK(before.simulation == done.simulation);
    }
  }
  worker.ask(jump, adult(1.50));
  for (const auto& done : wait_for(worker)) {
    for (const auto& before : first) {
      if (before.rung == done.rung) CHECK(before.simulation != done.simulation);
    }
  }
}

TEST_CASE("the newest request wins: nothing of an older one comes after it") {
  SimulationWorker worker;
  const auto old_one = ladder("back flip", 720, 45), new_one = ladder("straight jump", 360);
  for (int i = 0; i < 20; ++i) {
    worker.ask(old_one, adult());
    worker.ask(new_one, adult());
  }
  const auto all = wait_for(worker);
  CHECK(rungs(all) == std::set<std::size_t>{0, 1, 2});
  CHECK(all.size() == 3);
}

TEST_CASE("a worker that is busy can be dropped") {
  SimulationWorker worker;
  worker.ask(ladder("back flip", 720, 45), adult());
}

TEST_CASE("shared out work is done once each, by any number of threads") {
  for (const unsigned threads : {0U, 1U, 3U}) {
    std::vector<std::atomic<int>> times(100);
    share_out(
        times.size(), [&](std::size_t i) { ++times[i]; }, threads);
    for (const auto& n : times) CHECK(n == 1);
  }
  share_out(0, [](std::size_t) { FAIL("there is nothing to do"); });
}
