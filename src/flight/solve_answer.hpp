#pragma once

#include <optional>

#include "solve_search.hpp"

namespace halfturn::solve {

/// What a landing must keep to be called controlled by the solver. This project's choice: a turn that misses
/// by 3 degrees is solved; 12 degrees more off upright than planned can still be stood; 120 deg/s of twist
/// turn the body 12 degrees in the 0.1 s that joint torques take to reverse at touchdown (Wu et al. 2019),
/// inside the 30 degrees of a gate. Jumps, kicks and butterflies land on a turning foot, so only how upright
/// they are matters.
struct Limits {
  double turn_error = to_rad(3), landing_angle = to_rad(12), twist_rate = to_rad(120);
  double contact_twist = to_rad(7);
};
inline constexpr Limits limits;

[[nodiscard]] double momentum_limit(const SolveRequest& request);

/// Whether the flight ends at the plan's flip and twist, and whether it is possible and controlled besides.
[[nodiscard]] bool meets_target(const Setting& setting, const Found& found);
[[nodiscard]] bool controlled(const Setting& setting, const Found& found);

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
