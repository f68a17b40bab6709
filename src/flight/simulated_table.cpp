#include <algorithm>
#include <iterator>

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
    const double span = body.piece_end(piece) - start;
    const Spin now{step::orientation_of(state), typical.angular_momentum_W};
    const std::size_t first = steps_.size();
    // The nodes of the first attempt tell how fast the body can turn, and so whether more steps are needed.
    std::size_t count = body.is_rigid(piece) ? 1 : steps_at_least(accuracy);
    for (std::size_t needed = count;; count = needed) {
      steps_.resize(first + count);
      fill(body, piece, span / static_cast<double>(count), std::span(steps_).subspan(first));
      const Step& middle = steps_[first + count / 2];
      double rate = 0;
      for (const ShapeEffect& effect :
           {steps_[first].nodes[0], middle.nodes[count % 2 == 0 ? 0 : step::node_count / 2],
            steps_.back().nodes[step::node_count - 1]})
        rate = std::max(rate, greatest_rate(effect, now));
      needed = std::max(count, steps_at_rate(rate * span, accuracy));
      if (needed == count) break;
    }
    const double length = span / static_cast<double>(count);
    for (std::size_t i = 0; i < count; ++i) {
      step::advance(state, length, steps_[first + i].nodes);
      times_.push_back(i + 1 == count ? body.piece_end(piece) : start + static_cast<double>(i + 1) * length);
    }
  }
}

void ShapeTable::fill(const MovingBody& body, std::size_t piece, double length, std::span<Step> steps) {
  const double start = body.piece_start(piece);
  for (Step& step : steps) step.length = length;
  if (body.is_rigid(piece)) {
    const ShapeEffect same = body.effect(piece, start);
    for (Step& step : steps) std::fill(std::begin(step.nodes), std::end(step.nodes), same);
    return;
  }
  // Eight moments at once, across the ends of steps; the first node of a step is the last one of the step
  // before.
  constexpr std::size_t at_once = MovingBody::effects_at_once;
  constexpr std::size_t fresh = step::node_count - 1;
  double times[at_once];
  ShapeEffect effects[at_once];
  const std::size_t total = fresh * steps.size() + 1;
  for (std::size_t done = 0; done < total; done += at_once) {
    const std::size_t many = std::min(at_once, total - done);
    for (std::size_t lane = 0; lane < at_once; ++lane) {
      const std::size_t node = done + std::min(lane, many - 1);
      const std::size_t of_step = std::min(node / fresh, steps.size() - 1);
      times[lane] =
          start + (static_cast<double>(of_step) + step::node_share[node - of_step * fresh]) * length;
    }
    body.effects(piece, times, effects);
    for (std::size_t lane = 0; lane < many; ++lane) {
      const std::size_t of_step = std::min((done + lane) / fresh, steps.size() - 1);
      steps[of_step].nodes[done + lane - of_step * fresh] = effects[lane];
    }
  }
  for (std::size_t i = 1; i < steps.size(); ++i) steps[i - 1].nodes[fresh] = steps[i].nodes[0];
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
