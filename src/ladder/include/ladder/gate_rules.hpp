#pragma once

namespace halfturn {

/// The coach's numbers for moving on. The defaults are this project's choice; a plan carries its own.
struct GateRules {
  int needed = 3;                          ///< controlled landings in a row that pass a rung, 1..20
  double greatest_heading_error_deg = 30;  ///< at first contact, 1..90
  double share_of_step = 0.5;            ///< the error must also stay within this share of the step, 0.05..1
  double upright_tolerance_deg = 15;     ///< trunk beyond the rung's own angle at contact, 0..90
  double smallest_step_by_eye_deg = 30;  ///< smaller steps are measured, or gated at stations, 1..180
  int misses_to_split = 2;               ///< misses in a row, 1..20
  int below_after_crash = 3;             ///< controlled landings in a row on the rung below, 1..20
  int attempts_cap = 12;                 ///< attempts of an athlete in a session, 1..200
  friend bool operator==(const GateRules&, const GateRules&) = default;
};

}  // namespace halfturn
