// Time of a frame of the stage at 1280 x 800: the figure, four ghosts, dial, traces and shadow.
//
//   bin/stage_benchmark                                    the rasteriser's time
//   GALLIUM_NOOP=true bin/stage_benchmark --benchmark_filter=own_work    the program's own time: Mesa draws
//   nothing
//
// The targets (median): a frame under 40 ms on Mesa's software rasteriser with two cores, own work under 0.5
// ms, of four stages under 2 ms.
#include <benchmark/benchmark.h>
#include <glad/gl.h>

#include <algorithm>

#include "format/shape_file.hpp"
#include "pictures.hpp"

using namespace halfturn;
using namespace halfturn::pictures;

namespace {

constexpr int width = 1280, height = 800;

double median(const std::vector<double>& values) {
  std::vector<double> sorted = values;
  std::sort(sorted.begin(), sorted.end());
  return sorted[sorted.size() / 2];
}

/// The side camera of a back flip with a half twist: all four walls have a ghost, one of them hidden by no
/// line.
View everything(CameraKind camera) {
  View view = view_at(camera, width, height, 1);
  view.inset_right_px = 320;
  view.inset_bottom_px = 170;
  return view;
}

/// Frames of a flight that is playing, composed anew each.
void frame(benchmark::State& state, CameraKind camera, Quality quality, bool orbiting) {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  View view = everything(camera);
  double time = 0;
  for (auto _ : state) {
    time = time < flight.duration() ? time + 1.0 / 60 : 0;
    if (orbiting) view.offset.yaw += 0.01;
    renderer().render(compose(ladder, 2, flight, time, view), width, height, quality);
    glFinish();
  }
}

/// A scene with eight figures, each anew in every frame; nothing waits for the rasteriser.
void own_work(benchmark::State& state) {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  const View view = everything(CameraKind::side);
  double time = 0;
  for (auto _ : state) {
    time = time < flight.duration() ? time + 1.0 / 60 : 0;
    Scene scene = compose(ladder, 2, flight, time, view);
    const auto figures = std::count_if(scene.items.begin(), scene.items.end(), [](const SceneItem& item) {
      return std::holds_alternative<Figure>(item);
    });
    const auto flyer = std::find_if(scene.items.rbegin(), scene.items.rend(), [](const SceneItem& item) {
      return std::holds_alternative<Figure>(item);
    });
    for (auto i = figures; i < 8; ++i) {
      Figure another = std::get<Figure>(*flyer);
      for (Capsule& c : another.capsules) {
        c.a_W.x += 0.2 * double(i);
        c.b_W.x += 0.2 * double(i);
      }
      scene.items.emplace_back(std::move(another));
    }
    renderer().render(scene, width, height, Quality::draft);
  }
}

/// Four stages of four rungs, each a quarter of 1920 x 1080, composed and handed over anew in every frame.
void own_work_of_four_stages(benchmark::State& state) {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  std::vector<Flight> flights;
  for (std::size_t rung = 0; rung < 4; ++rung)
    flights.push_back(drawn_flight(ladder.rungs[rung], embedded_shapes()));
  const View view = view_at(CameraKind::side, 960, 540, 1);
  double share = 0;
  for (auto _ : state) {
    share = share < 1 ? share + 1.0 / 60 : 0;
    for (std::size_t rung = 0; rung < flights.size(); ++rung) {
      const double time = std::min(share, 1.0) * flights[rung].duration();
      renderer().render(compose(ladder, rung, flights[rung], time, view), 960, 540, Quality::draft);
    }
  }
}

/// The still layer alone: what a new rung, theme or camera costs once.
void compose_only(benchmark::State& state) {
  const Ladder ladder = ladder_of("back flip", Side::left, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  double time = 0;
  for (auto _ : state) {
    time = time < flight.duration() ? time + 1.0 / 60 : 0;
    Scene scene = compose(ladder, 2, flight, time, everything(CameraKind::side));
    benchmark::DoNotOptimize(scene);
  }
}

}  // namespace

#define STAGE_BENCHMARK(...)          \
  BENCHMARK_CAPTURE(__VA_ARGS__)      \
      ->Unit(benchmark::kMillisecond) \
      ->UseRealTime()                 \
      ->ComputeStatistics("median", median)

STAGE_BENCHMARK(frame, at_rest_side, CameraKind::side, Quality::full, false);
STAGE_BENCHMARK(frame, playing_side, CameraKind::side, Quality::draft, false);
STAGE_BENCHMARK(frame, playing_above, CameraKind::above, Quality::draft, false);
STAGE_BENCHMARK(frame, playing_eyes, CameraKind::eyes, Quality::draft, false);
STAGE_BENCHMARK(frame, orbiting_side, CameraKind::side, Quality::draft, true);
BENCHMARK(own_work)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(own_work_of_four_stages)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(compose_only)->Unit(benchmark::kMillisecond);
