// Speed of varied takeoffs and of simulating rungs. Run on an idle machine: bin/spread_benchmark.
#include <benchmark/benchmark.h>

#include <future>
#include <vector>

#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/rung_spread.hpp"

using namespace halfturn;

namespace {

const Flyer& adult() {
  static const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  return flyer;
}

const Ladder& fulls() {
  static const Ladder ladder = [] {
    Plan plan;
    plan.steps = equal_steps(0, 720, 180);
    return *make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
  }();
  return ladder;
}

/// Takeoffs of a full, chunk by chunk, on `threads` threads.
void spread(benchmark::State& state, double timing_sd, std::size_t flights) {
  TakeoffSpread spread;
  spread.timing = timing_sd;
  const LandingSpread landings = *LandingSpread::make(solve_request(fulls().rungs[2], adult(), 0.9), spread);
  const auto threads = static_cast<std::size_t>(state.range(0));
  const std::size_t chunks = (flights + LandingSpread::chunk_size - 1) / LandingSpread::chunk_size;
  for (auto _ : state) {
    std::vector<std::future<LandingCounts>> running;
    for (std::size_t t = 0; t < threads; ++t) {
      running.push_back(std::async(std::launch::async, [&, t] {
        LandingCounts counts;
        for (std::size_t c = t; c < chunks; c += threads) counts += landings.fly_chunk(1, c, flights, {});
        return counts;
      }));
    }
    for (auto& part : running) benchmark::DoNotOptimize(part.get());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(flights));
}

/// One rung: the least air time, the flight and its numbers.
void rung(benchmark::State& state, std::size_t index) {
  for (auto _ : state) benchmark::DoNotOptimize(simulate_rung(fulls(), index, adult()));
}

/// One flight at a given air time, nothing known beforehand.
void solve(benchmark::State& state, std::size_t index, double air_time_s) {
  const SolveRequest request = solve_request(fulls().rungs[index], adult(), air_time_s);
  for (auto _ : state) benchmark::DoNotOptimize(solve_flight(request));
}

}  // namespace

BENCHMARK_CAPTURE(spread, timing_fixed_1e6, 0.0, std::size_t{1000000})
    ->Arg(1)
    ->Arg(2)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(spread, timing_varied_1e5, 0.015, std::size_t{100000})
    ->Arg(1)
    ->Arg(2)
    ->UseRealTime()
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solve, full, 2, 0.9)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(solve, back_flip, 0, 0.65)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(rung, full, 2)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(rung, double_full, 4)->Unit(benchmark::kMillisecond);
