#include "ladder/spread_answer.hpp"

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr std::size_t flights_for_a_step = 4096;
// Steps of 60 degrees and more are all allowed the same error of heading, smaller ones less (the gate's half
// step).
constexpr double upwards_deg[] = {90, 180, 270, 360}, downwards_deg[] = {45, 30};

/// What does not change from step to step.
struct Asked {
  const Ladder& ladder;
  std::size_t rung;
  const Flyer& flyer;
  const SpreadQuestion& question;
  const Vocabulary& vocabulary;
  const DifficultyTable& difficulty;
  const ShareOut& share_out;
};

std::optional<NextStep> next_step(const Asked& a, double step_deg) {
  const std::optional<Plan> plan = with_next_step(a.ladder, a.rung, step_deg);
  if (!plan) return std::nullopt;
  const Result<Ladder> next = make_ladder(*plan, a.vocabulary, a.difficulty);
  if (!next) return std::nullopt;
  const RungSimulation simulation = simulate_rung(*next, a.rung + 1, a.flyer);
  const std::optional<RungSpread> landings =
      rung_spread(*next, a.rung + 1, a.flyer, simulation, a.question.spread, flights_for_a_step,
                  a.question.seed, a.share_out);
  if (!landings || landings->interval.low < a.question.threshold) return std::nullopt;
  const Rung& rung = next->rungs[a.rung + 1];
  return NextStep{step_deg, rung.title, rung.landing.kind == "side on", *landings};
}

/// The largest such step. A larger one counts only when the smaller ones before it hold too: a model that
/// likes a double and not the full on the way to it is not to be followed there.
std::optional<NextStep> largest_next_step(const Asked& asked) {
  std::optional<NextStep> largest;
  for (const double step_deg : upwards_deg) {
    std::optional<NextStep> step = next_step(asked, step_deg);
    if (!step) break;
    largest = std::move(step);
  }
  for (const double step_deg : downwards_deg) {
    if (!largest) largest = next_step(asked, step_deg);
  }
  return largest;
}

TakeoffFactor most_sensitive(const RungSpread& s) {
  const auto weight = [&](TakeoffFactor factor) {
    return std::max(std::abs(s.counts.heading_by_deg(factor)) / to_deg(s.tolerance.heading),
                    std::abs(s.counts.angle_by_deg(factor)) / std::max(1.0, to_deg(s.tolerance.upright)));
  };
  return *std::max_element(takeoff_factors.begin(), takeoff_factors.end(),
                           [&](TakeoffFactor a, TakeoffFactor b) { return weight(a) < weight(b); });
}

}  // namespace

SpreadAnswer answer_spread(const Ladder& ladder, std::size_t rung, const Flyer& flyer,
                           const SpreadQuestion& question, const Vocabulary& vocabulary,
                           const DifficultyTable& difficulty, const ShareOut& share_out) {
  SpreadAnswer answer;
  answer.simulation = simulate_rung(ladder, rung, flyer);
  answer.landings = rung_spread(ladder, rung, flyer, answer.simulation, question.spread, question.flights,
                                question.seed, share_out);
  if (!answer.landings) return answer;
  answer.most_sensitive = most_sensitive(*answer.landings);
  // Nobody moves on from a rung that is not controlled.
  if (answer.landings->interval.low >= question.threshold) {
    answer.next = largest_next_step({ladder, rung, flyer, question, vocabulary, difficulty, share_out});
  }
  return answer;
}

}  // namespace halfturn
