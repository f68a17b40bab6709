#include "flight/simulated.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>
#include <string>
#include <utility>

#include "simulated_grid.hpp"
#include "simulated_step.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_steps = std::size_t{1} << 22;
constexpr int most_halvings = 12;

std::string number_text(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.2g", value);
  return text;
}

}  // namespace

Vec3 momentum_of_rate(const MovingBody& body, const Quat& q_WB, const Vec3& omega_B) {
  const MassProperties whole = body.weigh(0, 0.0);
  return q_WB * (whole.inertia * omega_B + whole.relative_angular_momentum);
}

/// One pass over the whole flight.
struct Integration {
  const MovingBody& body;
  Spin takeoff;

  bool singular = false;
  std::vector<std::size_t> counts{};  // steps in each piece

  /// Chooses the steps of every piece on the way if there are none yet.
  SimulatedRotation::Knots run(double accuracy) {
    const bool choosing = counts.empty();
    SimulatedRotation::Knots knots;
    step::State<double> state = step::state_of(takeoff);
    knots.times.push_back(0.0);
    knots.orientations.push_back(takeoff.q_WB);
    knots.pieces.push_back(0);
    for (std::size_t piece = 0; piece < body.piece_count() && !singular; ++piece) {
      if (choosing) {
        const Spin now{step::orientation_of(state), takeoff.angular_momentum_W};
        counts.push_back(steps_in_piece(body, piece, now, accuracy));
        if (counts.back() > most_steps) return knots;
      }
      const double start = body.piece_start(piece);
      const double length = (body.piece_end(piece) - start) / static_cast<double>(counts[piece]);
      ShapeEffect nodes[step::node_count];
      knots.pieces.back() = piece;
      for (std::size_t i = 0; i < counts[piece]; ++i) {
        if (i == 0 || !body.is_rigid(piece))
          effects_in_step(body, piece, start + static_cast<double>(i) * length, length, nodes);
        for (const ShapeEffect& node : nodes) singular = singular || !(node.xx > 0);
        step::advance(state, length, nodes);
        knots.times.push_back(i + 1 == counts[piece] ? body.piece_end(piece)
                                                     : start + static_cast<double>(i + 1) * length);
        knots.orientations.push_back(step::orientation_of(state));
        knots.pieces.push_back(piece);
      }
    }
    return knots;
  }

  static SimulatedRotation rotation(std::shared_ptr<const MovingBody> body, SimulatedRotation::Knots knots,
                                    const Vec3& angular_momentum_W) {
    SimulatedRotation result;
    result.body_ = std::move(body);
    result.knots_ = std::make_shared<const SimulatedRotation::Knots>(std::move(knots));
    result.angular_momentum_W_ = angular_momentum_W;
    return result;
  }
};

Result<SimulatedRotation> SimulatedRotation::make(std::shared_ptr<const MovingBody> body, const Spin& takeoff,
                                                  double accuracy) {
  HT_EXPECT(body != nullptr && accuracy > 0);
  Integration integration{*body, takeoff};
  const auto steps = [&] {
    std::size_t sum = 0;
    for (const std::size_t count : integration.counts) sum += std::min(count, most_steps);
    return sum;
  };
  Knots coarse = integration.run(accuracy);
  double best = 4.0;
  for (int halving = 0; halving < most_halvings && !integration.singular && 2 * steps() <= most_steps;
       ++halving) {
    for (std::size_t& count : integration.counts) count *= 2;
    Knots fine = integration.run(accuracy);
    if (integration.singular) break;
    double difference = 0;
    for (std::size_t k = 0; k < coarse.orientations.size(); ++k) {
      difference = std::max(difference, angle_between(coarse.orientations[k], fine.orientations[2 * k]));
    }
    // Order 8: the finer error is a 255th of the difference. Four leaves it a margin of sixty, for
    // motions that are not yet in the range where the order shows.
    if (difference <= 4.0 * accuracy) {
      return Integration::rotation(std::move(body), std::move(fine), takeoff.angular_momentum_W);
    }
    // Far under the order's promise, though small: rounding, grown by the motion, is all that is left.
    const bool rounding = difference < 1e-7 && difference > 0.25 * best;
    best = std::min(best, difference);
    if (rounding) break;
    coarse = std::move(fine);
  }
  if (integration.singular) {
    return Problem{
        "", "segments",
        "the inertia of the whole body is singular (all its mass lies on one line), so its rotation "
        "is not determined"};
  }
  return Problem{"", "",
                 "an accuracy of " + number_text(accuracy) +
                     " rad is out of reach for so long or so unstable a flight; the best is about " +
                     number_text(best)};
}

std::size_t SimulatedRotation::knot_before(double time) const {
  const auto after = std::upper_bound(knots_->times.begin(), knots_->times.end(), time);
  return after == knots_->times.begin() ? 0 : static_cast<std::size_t>(after - knots_->times.begin()) - 1;
}

Quat SimulatedRotation::orientation(double time) const {
  const std::size_t knot = knot_before(time);
  const double length = time - knots_->times[knot];
  if (!(length > 0) || knot + 1 == knots_->times.size()) return knots_->orientations[knot];
  ShapeEffect nodes[step::node_count];
  effects_in_step(*body_, knots_->pieces[knot], knots_->times[knot], length, nodes);
  step::State<double> state = step::state_of({knots_->orientations[knot], angular_momentum_W_});
  step::advance(state, length, nodes);
  return step::orientation_of(state);
}

Vec3 SimulatedRotation::rate(double time, const Quat& q_WB) const {
  return angular_velocity(body_->effect(body_->piece_at(time), time), {q_WB, angular_momentum_W_});
}

}  // namespace halfturn
