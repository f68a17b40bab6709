#include <benchmark/benchmark.h>

#include "format/ladder_json.hpp"
#include "format/vocabulary_file.hpp"
#include "ladder/ladder.hpp"
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

}  // namespace
