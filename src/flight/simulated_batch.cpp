#include <cstddef>

#include "base/expect.hpp"
#include "flight/shape_table.hpp"
#include "lanes.hpp"
#include "simulated_step.hpp"

// Eight flights side by side, with the same bits as one flight alone.

namespace halfturn {
namespace {

using lanes::lane_count, lanes::Lanes;

HT_EVERY_PROCESSOR
void fly_lanes(const ShapeTable::Step* steps, std::size_t count, step::State<Lanes>* state) {
  step::State<Lanes> now = *state;
  for (std::size_t i = 0; i < count; ++i) step::advance(now, steps[i].length, steps[i].nodes);
  *state = now;
}

}  // namespace

void ShapeTable::fly(std::span<const Spin> takeoffs, std::span<Quat> ends) const {
  HT_EXPECT(takeoffs.size() == ends.size());
  for (std::size_t first = 0; first < takeoffs.size(); first += lane_count) {
    const std::size_t count = std::min(lane_count, takeoffs.size() - first);
    step::State<Lanes> state{};
    for (std::size_t lane = 0; lane < lane_count; ++lane) {
      // Spare lanes repeat the last flight.
      const Spin& spin = takeoffs[first + std::min(lane, count - 1)];
      state.w[lane] = spin.q_WB.w;
      state.x[lane] = spin.q_WB.x;
      state.y[lane] = spin.q_WB.y;
      state.z[lane] = spin.q_WB.z;
      state.hx[lane] = spin.angular_momentum_W.x;
      state.hy[lane] = spin.angular_momentum_W.y;
      state.hz[lane] = spin.angular_momentum_W.z;
    }
    fly_lanes(steps_.data(), steps_.size(), &state);
    for (std::size_t lane = 0; lane < count; ++lane)
      ends[first + lane] = Quat(state.w[lane], state.x[lane], state.y[lane], state.z[lane]);
  }
}

}  // namespace halfturn
