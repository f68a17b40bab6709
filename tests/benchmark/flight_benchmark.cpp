// Speed of flights. Run on an idle machine: bin/flight_benchmark. Errors are proven in tests/flight; the step
// sizes are those of an accuracy of 1e-6 rad.
#include <benchmark/benchmark.h>

#include <array>
#include <cmath>
#include <vector>

#include "../flight/scenarios.hpp"
#include "flight/drawn.hpp"
#include "flight/shape_table.hpp"
#include "rotation/heading.hpp"
#ifdef HALFTURN_SIMBODY
#include "../flight/simbody_scenario.hpp"
#endif

using namespace halfturn;

namespace {

struct Prepared {
  scenario::Scenario scenario;
  BodyTree tree = human_tree(human_body(Athlete{}));
  JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
  MovingBody body{tree, tracks, scenario.duration};
  ShapeTable table{body, scenario.takeoff, 1e-6};
};

const Prepared& prepared(int index) {
  static const std::vector<Prepared> all = [] {
    std::vector<Prepared> list;
    for (const scenario::Scenario& scenario : scenario::all()) list.push_back({scenario});
    list.push_back({{"rigid layout", 1.0, {rotation_x(to_rad(4)), Vec3(0, 0, 60)}, {}}});
    return list;
  }();
  return all[static_cast<std::size_t>(index)];
}

constexpr int arm = 0;
constexpr int tuck = 2;
constexpr int rigid = 4;

/// One flight with the table given.
void fly(benchmark::State& state, int index) {
  const Prepared& p = prepared(index);
  Spin takeoff = p.scenario.takeoff;
  for (auto _ : state) {
    takeoff.angular_momentum_W.x += 1e-9;
    benchmark::DoNotOptimize(p.table.fly(takeoff));
  }
  state.counters["steps"] = static_cast<double>(p.table.step_count());
}

/// One flight with body compiled and table built.
void build(benchmark::State& state, int index) {
  const Prepared& p = prepared(index);
  for (auto _ : state) {
    const MovingBody body(p.tree, p.tracks, p.scenario.duration);
    const ShapeTable table(body, p.scenario.takeoff, 1e-6);
    benchmark::DoNotOptimize(table.fly(p.scenario.takeoff));
  }
}

/// Time per flight of 1024 flights side by side.
void batch(benchmark::State& state, int index) {
  const Prepared& p = prepared(index);
  std::vector<Spin> takeoffs(1024, p.scenario.takeoff);
  for (std::size_t i = 0; i < takeoffs.size(); ++i) takeoffs[i].angular_momentum_W.x += 1e-3 * double(i);
  std::vector<Quat> ends(takeoffs.size());
  for (auto _ : state) {
    p.table.fly(takeoffs, ends);
    benchmark::DoNotOptimize(ends.data());
  }
  state.SetItemsProcessed(state.iterations() * 1024);
}

/// A flight with a proven error: coarse and fine pass, nothing given.
void proven(benchmark::State& state, int index) {
  const Prepared& p = prepared(index);
  for (auto _ : state) {
    const auto body = std::make_shared<const MovingBody>(p.tree, p.tracks, p.scenario.duration);
    benchmark::DoNotOptimize(SimulatedRotation::make(body, p.scenario.takeoff, 1e-6));
  }
}

#ifdef HALFTURN_SIMBODY
/// The same flight by Simbody, at an accuracy that gives about the same error.
void by_simbody(benchmark::State& state, int index) {
  const Prepared& p = prepared(index);
  const auto parts = simbody::parts_of(p.tree);
  const auto tracks = simbody::tracks_of(p.tracks);
  const Quat& q = p.scenario.takeoff.q_WB;
  const Vec3 omega_W = q * angular_velocity(p.body.effect(0, 0), p.scenario.takeoff);
  const SimulatedRotation exact =
      *SimulatedRotation::make(std::make_shared<const MovingBody>(p.body), p.scenario.takeoff, 1e-11);
  double error = 0;
  for (auto _ : state) {
    const auto samples = simbody::fly(parts, tracks, {q.w, q.x, q.y, q.z}, simbody::array_of(omega_W),
                                      {p.scenario.duration}, 1e-6);
    const auto& o = samples.back().orientation;
    error = angle_between(exact.orientations().back(), Quat(o[0], o[1], o[2], o[3]));
  }
  state.counters["error_rad"] = error;
  state.counters["our_error_rad"] =
      angle_between(exact.orientations().back(), p.table.fly(p.scenario.takeoff));
}
#endif

void drawn_orientation(benchmark::State& state) {
  DrawnParameters parameters;
  parameters.air_turn_deg = 360;
  parameters.lean_deg = 8;
  parameters.incline_deg = 10;
  const DrawnOrientation drawn(parameters);
  double u = 0;
  for (auto _ : state) {
    u = u < 1 ? u + 1e-4 : 0;
    benchmark::DoNotOptimize(heading(drawn.at(u)));
  }
}

}  // namespace

BENCHMARK_CAPTURE(fly, layout_arm_table_given, arm);
BENCHMARK_CAPTURE(batch, layout_arm_side_by_side, arm);
BENCHMARK_CAPTURE(build, layout_arm_built, arm);
BENCHMARK_CAPTURE(fly, tuck_table_given, tuck);
BENCHMARK_CAPTURE(batch, tuck_side_by_side, tuck);
BENCHMARK_CAPTURE(build, tuck_built, tuck);
BENCHMARK_CAPTURE(fly, rigid_table_given, rigid);
BENCHMARK_CAPTURE(batch, rigid_side_by_side, rigid);
BENCHMARK_CAPTURE(build, rigid_built, rigid);
BENCHMARK_CAPTURE(proven, layout_arm_proven, arm);
#ifdef HALFTURN_SIMBODY
BENCHMARK_CAPTURE(by_simbody, layout_arm_simbody, arm);
BENCHMARK_CAPTURE(by_simbody, tuck_simbody, tuck);
#endif
BENCHMARK(drawn_orientation);
