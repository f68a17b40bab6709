#pragma once

#include <optional>
#include <string>
#include <vector>

#include "format/json_reader.hpp"
#include "ladder/gate.hpp"
#include "session/coaching.hpp"
#include "session/session.hpp"

namespace halfturn {

// What the page shows in words and small pictures, as objects for its script. Angles in degrees, times in s,
// shares in [0, 1]. Texts come from the plan as they are: the script must put them into the page as text.

/// The climb: everything that stays while a plan and its flights are shown. Rungs from the base up.
[[nodiscard]] Json climb_json(const Session& session);

/// Gates of the athlete whose attempts were logged on this device.
[[nodiscard]] Json gates_json(const std::vector<Gate>& gates);

/// The arc of the scrub: heights of the centre of mass, beads and events of the flight of a rung.
[[nodiscard]] Json arc_json(const Rung& rung, const Flight& flight);

/// Of a rung, beside its notes: how its flight was come by.
struct MadeWords {
  std::string whose;      ///< who flies where a flight is simulated; empty: nobody
  std::string why_drawn;  ///< "drawn: air time ...", where a body does not get there; else empty
};
/// "simulated, an average adult", "drawn, not simulated", "drawn: air time ...".
[[nodiscard]] std::string maker_words(const Flight& flight, const MadeWords& made);

/// How the rung is finished, walked and started, for who wants to read about it.
[[nodiscard]] Json rung_notes_json(const Session& session, const Coaching& coaching);

/// The moment at the cursor; `flight` is that of the rung in play.
[[nodiscard]] Json now_json(const Session& session, const Flight& flight);

/// Several stages in words; `flights` by stage.
[[nodiscard]] Json compare_json(const Session& session, const std::vector<Flight>& flights);

}  // namespace halfturn
