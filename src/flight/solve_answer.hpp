#pragma once

#include <optional>

#include "solve_search.hpp"

namespace halfturn::solve {

[[nodiscard]] double momentum_limit(const SolveRequest& request);

/// Whether the flight ends at the plan's flip and twist, and whether it is possible and controlled besides.
[[nodiscard]] bool meets_target(const Setting& setting, const Found& found);
[[nodiscard]] bool controlled(const Setting& setting, const Found& found);

/// The limits a controlled flight is up against, in words that follow "what binds is": in less air it would
/// break them.
[[nodiscard]] std::vector<std::string> tight_limits(const Setting& setting, const Found& found);

/// Sentences about what is short and what is thin.
[[nodiscard]] Feasibility judge(const Setting& setting, const Found& found);

[[nodiscard]] std::vector<ArmMove> arm_moves(const Setting& setting, const Controls& controls);
[[nodiscard]] std::string finish_words(const Setting& setting, const Controls& controls, bool mirrored);

/// The flight itself, seen in a mirror if asked for. Empty when something else meets the floor before the
/// feet.
[[nodiscard]] std::optional<Flight> build_flight(const Setting& setting, const Controls& controls,
                                                 bool mirrored);
/// Numbers of a left-sided flight.
[[nodiscard]] SolvedNumbers measure(const Setting& setting, const Found& found, const Flight& flight);

}  // namespace halfturn::solve
