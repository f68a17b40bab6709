#pragma once

#include <functional>
#include <optional>

#include "flight/spread.hpp"
#include "ladder/gate.hpp"
#include "ladder/progress.hpp"
#include "ladder/rung_simulation.hpp"

namespace halfturn {

/// What the gate of a rung asks of a landing, for a simulated one.
[[nodiscard]] LandingTolerance landing_tolerance(const GateDemand& demand, const Rung& rung);

/// How one rung would land if its takeoffs vary: an estimate of a model.
struct RungSpread {
  double air_time_s = 0;  ///< of the flight without errors
  LandingTolerance tolerance;
  LandingCounts counts;
  double share = 0;  ///< controlled
  /// What the number of flights leaves open of the share (Wilson, 95 percent); not what the model does.
  RateInterval interval;
};

/// Does pieces of work 0, 1, ... once each, in any order and by any number of threads.
using ShareOut = std::function<void(std::size_t count, const std::function<void(std::size_t)>& work)>;

/// The flight of a rung with its takeoffs varied; empty when the athlete has no feasible one.
[[nodiscard]] std::optional<LandingSpread> rung_landings(const Ladder& ladder, std::size_t rung,
                                                         const Flyer& flyer, const RungSimulation& simulation,
                                                         const TakeoffSpread& spread);
/// Flies so many of them; the same counts however the work is shared out.
[[nodiscard]] LandingCounts count_landings(const LandingSpread& landings, std::size_t flights,
                                           std::uint64_t seed, const LandingTolerance& tolerance,
                                           const ShareOut& share_out);

/// Empty when the athlete has no feasible flight of the rung. The same for one seed, however it is shared
/// out.
[[nodiscard]] std::optional<RungSpread> rung_spread(const Ladder& ladder, std::size_t rung,
                                                    const Flyer& flyer, const RungSimulation& simulation,
                                                    const TakeoffSpread& spread, std::size_t flights,
                                                    std::uint64_t seed, const ShareOut& share_out);

/// A plan whose ladder ends one step of `step_deg` above a rung of another; empty when that goes too far.
[[nodiscard]] std::optional<Plan> with_next_step(const Ladder& ladder, std::size_t rung, double step_deg);

}  // namespace halfturn
