#pragma once

#include <cstddef>
#include <span>

#include "ladder/gate.hpp"

namespace halfturn {

/// What an athlete does next in a session.
struct Turn {
  std::size_t rung = 0;
  bool recheck = false;  ///< a rung owned already, once controlled at the start of a session
  int attempts = 0;      ///< on this ladder in this session
  bool at_cap = false;   ///< enough for today
};
/// A session begins with the base and the last passed rung, each controlled once; then comes what the gates
/// suggest. `session` are those of `attempts` made in this session; both oldest first.
[[nodiscard]] Turn next_turn(const Ladder& ladder, std::span<const Gate> gates,
                             std::span<const AttemptRecord> session);

}  // namespace halfturn
