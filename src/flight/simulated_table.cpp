#include "base/expect.hpp"
#include "flight/shape_table.hpp"
#include "simulated_grid.hpp"
#include "simulated_step.hpp"

namespace halfturn {

ShapeTable::ShapeTable(const MovingBody& body, const Spin& typical, double accuracy) {
  HT_EXPECT(accuracy > 0);
  step::State<double> state = step::state_of(typical);
  times_.push_back(0.0);
  for (std::size_t piece = 0; piece < body.piece_count(); ++piece) {
    const double start = body.piece_start(piece);
    const Spin now{step::orientation_of(state), typical.angular_momentum_W};
    const std::size_t count = steps_in_piece(body, piece, now, accuracy);
    const double length = (body.piece_end(piece) - start) / static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) {
      Step& step = steps_.emplace_back();
      if (i > 0 && body.is_rigid(piece)) {
        step = steps_[steps_.size() - 2];
      } else {
        const ShapeEffect* before = i > 0 ? &steps_[steps_.size() - 2].nodes[step::node_count - 1] : nullptr;
        effects_in_step(body, piece, start + static_cast<double>(i) * length, length, step.nodes, before);
      }
      step.length = length;
      step::advance(state, length, step.nodes);
      times_.push_back(i + 1 == count ? body.piece_end(piece) : start + static_cast<double>(i + 1) * length);
    }
  }
}

Quat ShapeTable::fly(const Spin& takeoff) const {
  step::State<double> state = step::state_of(takeoff);
  for (const Step& step : steps_) step::advance(state, step.length, step.nodes);
  return step::orientation_of(state);
}

void ShapeTable::fly(const Spin& takeoff, std::span<Quat> knots) const {
  HT_EXPECT(knots.size() == times_.size());
  step::State<double> state = step::state_of(takeoff);
  knots[0] = takeoff.q_WB;
  for (std::size_t i = 0; i < steps_.size(); ++i) {
    step::advance(state, steps_[i].length, steps_[i].nodes);
    knots[i + 1] = step::orientation_of(state);
  }
}

Vec3 ShapeTable::rate(std::size_t knot, const Quat& q_WB, const Vec3& angular_momentum_W) const {
  HT_EXPECT(knot < times_.size());
  const ShapeEffect& effect =
      knot < steps_.size() ? steps_[knot].nodes[0] : steps_.back().nodes[step::node_count - 1];
  return angular_velocity(effect, {q_WB, angular_momentum_W});
}

}  // namespace halfturn
