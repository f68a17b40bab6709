#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "ladder/attempt_record.hpp"
#include "ladder/gate.hpp"

namespace halfturn {

/// Where the gate of a rung stands, as the logbook tells it.
struct GateShown {
  int controlled = 0, needed = 3;  ///< controlled landings in a row
  bool passed = false;
  bool back = false;   ///< a crash or misses lead back from here
  bool again = false;  ///< a crash on the rung above leads back here: `controlled` counts since then
};

[[nodiscard]] GateShown gate_shown(const Gate& gate, const GateRules& rules);

/// One athlete of a class, in the order of turns.
struct BoardPlace {
  std::int64_t athlete = 0;  ///< id in the logbook
  std::string name;
  std::string plan;  ///< title of the plan in work; empty: none, nothing can be logged
  std::size_t rung = 0;
  std::string rung_title, surface;
  Side side = Side::left;
  GateShown gate;
  std::string reason;          ///< the gate in words; without a plan, why there is none
  bool chosen = false;         ///< the coach's rung for today, not the suggested one
  bool recheck = false;        ///< a rung owned already, at the start of a session
  int attempts = 0, cap = 12;  ///< of this session
  bool absent = false;
};

/// A class in training: who is next, and what was tapped so far. Attempts themselves lie in the logbook.
struct ClassBoard {
  std::string session;  ///< name; empty: no logbook is open
  std::vector<BoardPlace> places;
  std::size_t next = 0;
  std::optional<AttemptOutcome> tapped;  ///< the first of two taps
  std::string last;                      ///< what was logged last, in words
  int crashes = 0;                       ///< of all athletes of the board, ever

  [[nodiscard]] const BoardPlace* now() const { return next < places.size() ? &places[next] : nullptr; }
};

/// Whether an outcome is logged at once, without the tap that says where the chest pointed.
[[nodiscard]] bool needs_no_heading(AttemptOutcome outcome);
/// The place whose turn comes after `from`: the next who is there and below the cap; `from` itself when there
/// is nobody else.
[[nodiscard]] std::size_t next_place(const ClassBoard& board, std::size_t from);

}  // namespace halfturn
