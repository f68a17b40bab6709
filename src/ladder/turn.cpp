#include "ladder/turn.hpp"

#include <algorithm>

namespace halfturn {

Turn next_turn(const Ladder& ladder, std::span<const Gate> gates, std::span<const AttemptRecord> session) {
  HT_EXPECT(gates.size() == ladder.rungs.size());
  const std::vector<GateDemand> demands = gate_demands(ladder);
  std::vector<bool> controlled(gates.size(), false);
  Turn turn;
  for (std::size_t k = 0; k < gates.size(); ++k) {
    const RungKey key = rung_key(ladder, k);
    for (const AttemptRecord& attempt : session) {
      if (!(attempt.rung == key)) continue;
      ++turn.attempts;
      if (judge(attempt, demands[k]) == Verdict::counts) controlled[k] = true;
    }
  }
  turn.at_cap = turn.attempts >= ladder.plan.gate.attempts_cap;
  turn.rung = suggested_rung(gates);
  if (turn.rung == 0) return turn;
  // Everything below the suggested rung is owned; the highest of it is the last passed one.
  for (const std::size_t owned : {std::size_t{0}, turn.rung - 1}) {
    if (controlled[owned]) continue;
    turn.rung = owned;
    turn.recheck = true;
    return turn;
  }
  return turn;
}

}  // namespace halfturn
