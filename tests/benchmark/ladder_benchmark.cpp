#include <benchmark/benchmark.h>

#include <atomic>
#include <string>
#include <thread>
#include <vector>

#include "format/ladder_json.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/ladder.hpp"
#include "ladder/rung_simulation.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;

namespace {

Plan one_degree_plan() {
  Plan plan;
  plan.base = "back flip";
  plan.steps = equal_steps(0, 1440, 1);
  return plan;
}

void ladder_of_1440_rungs(benchmark::State& state) {
  const Plan plan = one_degree_plan();
  for (auto _ : state) {
    Result<Ladder> ladder = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
    benchmark::DoNotOptimize(ladder);
  }
}
BENCHMARK(ladder_of_1440_rungs)->Unit(benchmark::kMillisecond);

void ladder_of_1440_rungs_as_json(benchmark::State& state) {
  const Result<Ladder> ladder = make_ladder(one_degree_plan(), built_in_vocabulary(), built_in_difficulty());
  for (auto _ : state) {
    std::string text = ladder_json(*ladder).dump();
    benchmark::DoNotOptimize(text);
  }
}
BENCHMARK(ladder_of_1440_rungs_as_json)->Unit(benchmark::kMillisecond);

void drawn_orientation_and_heading(benchmark::State& state) {
  Plan plan;
  plan.base = "gainer";
  plan.steps = equal_steps(0, 360, 360);
  const Result<Ladder> ladder = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
  const DrawnOrientation drawn(drawn_parameters(ladder->rungs[1]));
  double u = 0;
  for (auto _ : state) {
    u = u < 1 ? u + 0.001 : 0;
    Quat q = drawn.at(u);
    benchmark::DoNotOptimize(q);
    auto angle = heading(q);
    benchmark::DoNotOptimize(angle);
  }
}
BENCHMARK(drawn_orientation_and_heading);

const Flyer& adult() {
  static const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  return flyer;
}

Ladder twisting_ladder(const std::string& base, double to_deg, double step_deg) {
  Plan plan;
  plan.base = base;
  plan.steps = equal_steps(0, to_deg, step_deg);
  return *make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
}

/// The flight of one twisting rung, nothing known beforehand.
void solve_rung(benchmark::State& state, const std::string& base, double twist_deg, double air_time_s) {
  const Ladder ladder = twisting_ladder(base, twist_deg, 90);
  const SolveRequest request = solve_request(ladder.rungs.back(), adult(), air_time_s);
  for (auto _ : state) benchmark::DoNotOptimize(solve_flight(request));
}
BENCHMARK_CAPTURE(solve_rung, full, "back flip", 360, 0.9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solve_rung, three_quarter, "back flip", 270, 0.9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solve_rung, corkscrew, "gainer", 360, 0.8)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solve_rung, butterfly_twist, "butterfly", 360, 0.6)->Unit(benchmark::kMillisecond);

/// Twelve rungs with their least air times, on two threads.
void ladder_of_12_simulated(benchmark::State& state, const std::string& base) {
  Ladder ladder = twisting_ladder(base, 660, 60);
  for (auto _ : state) {
    std::vector<RungSimulation> simulations(ladder.rungs.size());
    std::atomic<std::size_t> next = 0;
    const auto work = [&] {
      for (std::size_t k = next++; k < simulations.size(); k = next++)
        simulations[k] = simulate_rung(ladder, k, adult());
    };
    std::thread other(work);
    work();
    other.join();
    benchmark::DoNotOptimize(simulations.data());
  }
  state.counters["rungs"] = static_cast<double>(ladder.rungs.size());
}
BENCHMARK_CAPTURE(ladder_of_12_simulated, back_flip, "back flip")
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(ladder_of_12_simulated, gainer, "gainer")->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
