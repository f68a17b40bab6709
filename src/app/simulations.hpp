#pragma once

#include <string>
#include <vector>

#include "base/result.hpp"
#include "ladder/finish.hpp"
#include "ladder/rung_simulation.hpp"

namespace halfturn {

/// The athlete of a file, ready to fly; problems name the file.
[[nodiscard]] Result<Flyer> load_flyer(const std::string& path);

/// Every rung as the athlete would fly it; the rungs are shared out among the processors.
[[nodiscard]] std::vector<RungSimulation> simulations_of(const Ladder& ladder, const Flyer& flyer);

/// What the flights of an athlete say, for a person: what is needed, what is short, what is thin.
[[nodiscard]] std::string simulations_text(const Ladder& ladder, const Flyer& flyer,
                                           const std::vector<RungSimulation>& simulations);

/// The finish of every rung, read from the simulated flight where there is one, else from the drawn one;
/// without simulations from the drawn ones of an average adult.
[[nodiscard]] std::vector<FinishPlan> finishes_of(const Ladder& ladder);
[[nodiscard]] std::vector<FinishPlan> finishes_of(const Ladder& ladder, const Flyer& flyer,
                                                  const std::vector<RungSimulation>& simulations);

}  // namespace halfturn
