#include "ladder/rung_spread.hpp"

#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {

LandingTolerance landing_tolerance(const GateDemand& demand, const Rung& rung) {
  // A landing without a planned heading is judged by how upright it is.
  return {demand.has_heading ? to_rad(demand.tolerance_deg) : 2 * pi,
          to_rad(demand.greatest_angle_deg - rung.landing.contact_angle_deg)};
}

LandingCounts count_landings(const LandingSpread& landings, std::size_t flights, std::uint64_t seed,
                             const LandingTolerance& tolerance, const ShareOut& share_out) {
  std::vector<LandingCounts> chunks((flights + LandingSpread::chunk_size - 1) / LandingSpread::chunk_size);
  share_out(chunks.size(),
            [&](std::size_t chunk) { chunks[chunk] = landings.fly_chunk(seed, chunk, flights, tolerance); });
  LandingCounts counts;
  for (const LandingCounts& chunk : chunks) counts += chunk;
  return counts;
}

std::optional<LandingSpread> rung_landings(const Ladder& ladder, std::size_t index, const Flyer& flyer,
                                           const RungSimulation& simulation, const TakeoffSpread& spread) {
  if (!flies_simulated(simulation)) return std::nullopt;
  return LandingSpread::make(solve_request(ladder.rungs[index], flyer, simulation.air_time_s), spread);
}

std::optional<RungSpread> rung_spread(const Ladder& ladder, std::size_t index, const Flyer& flyer,
                                      const RungSimulation& simulation, const TakeoffSpread& spread,
                                      std::size_t flights, std::uint64_t seed, const ShareOut& share_out) {
  const std::optional<LandingSpread> landings = rung_landings(ladder, index, flyer, simulation, spread);
  if (!landings) return std::nullopt;
  RungSpread result;
  result.air_time_s = simulation.air_time_s;
  result.tolerance = landing_tolerance(gate_demands(ladder)[index], ladder.rungs[index]);
  result.counts = count_landings(*landings, flights, seed, result.tolerance, share_out);
  const LandingCounts& counts = result.counts;
  result.share =
      counts.flights > 0 ? static_cast<double>(counts.controlled) / static_cast<double>(counts.flights) : 0;
  result.interval = wilson_interval(static_cast<int>(counts.controlled), static_cast<int>(counts.flights));
  return result;
}

std::optional<Plan> with_next_step(const Ladder& ladder, std::size_t rung, double step_deg) {
  Plan plan = ladder.plan;
  plan.steps.resize(rung);
  if (std::abs(ladder.rungs[rung].twist_deg) + step_deg > greatest_twist_deg) return std::nullopt;
  Step step;
  step.twist_deg = step_deg;
  plan.steps.push_back(step);
  return plan;
}

}  // namespace halfturn
