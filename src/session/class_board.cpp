#include "session/class_board.hpp"

namespace halfturn {

GateShown gate_shown(const Gate& gate, const GateRules& rules) {
  GateShown shown{gate.controlled_in_a_row, gate.needed, gate.passed};
  shown.back = gate.suggestion == Suggestion::back;
  if (gate.since_crash_above) {
    shown.controlled = *gate.since_crash_above;
    shown.needed = rules.below_after_crash;
    shown.again = true;
  }
  return shown;
}

bool needs_no_heading(AttemptOutcome outcome) {
  return outcome == AttemptOutcome::fall || outcome == AttemptOutcome::planned_stop ||
         outcome == AttemptOutcome::stop;
}

std::size_t next_place(const ClassBoard& board, std::size_t from) {
  const std::size_t count = board.places.size();
  const auto is_free = [&](std::size_t i, bool below_cap) {
    const BoardPlace& place = board.places[i];
    return !place.absent && (!below_cap || place.attempts < place.cap);
  };
  // When all have had enough, turns go on: the cap is the coach's to keep.
  for (const bool below_cap : {true, false}) {
    for (std::size_t step = 1; step <= count; ++step) {
      const std::size_t i = (from + step) % count;
      if (is_free(i, below_cap)) return i;
    }
  }
  return from;
}

}  // namespace halfturn
