#pragma once

#include <string>

#include "session/session.hpp"

namespace halfturn {

/// The answer at the top left.
struct AnswerWords {
  std::string lead;     ///< "lands facing"
  std::string wall;     ///< "back wall"
  std::string turn;     ///< "half left", "no turn"
  std::string landing;  ///< "lands blind, on two feet"
};
[[nodiscard]] AnswerWords answer_words(const Ladder& ladder, std::size_t rung,
                                       TurnUnit unit = TurnUnit::turns);

/// "half left", "30 degrees right", "no turn": a signed turn, degrees.
[[nodiscard]] std::string signed_turn_words(double turn_deg, TurnUnit unit = TurnUnit::turns);
/// Where the chest points after a signed turn from the start, which is 12: "9 o'clock", "10:30"; to the
/// nearest half hour, 15 degrees.
[[nodiscard]] std::string clock_words(double turn_deg);

/// "quarter left so far, quarter to go". `turned_deg` and `turn_deg` are signed by side; what is near a
/// quarter is said in quarters, anything else to the nearest 5 degrees.
[[nodiscard]] std::string progress_words(double turned_deg, double turn_deg, Side side,
                                         TurnUnit unit = TurnUnit::turns);

/// "0.06 s of air short" of a rung whose measured air time is not enough for the simulated flight, or for
/// what is usual where there is none; empty for every other.
[[nodiscard]] std::string short_of_air_words(const Rung& rung,
                                             const std::optional<AirShown>& simulated = std::nullopt);

/// Turned so far from the start heading at a sample, degrees, signed: the turn on the floor and the twist.
[[nodiscard]] double turned_so_far_deg(const Rung& rung, const FlightSample& now, double duration);

/// Heading the figure shows on a mini dial: start heading plus the turn so far, degrees.
[[nodiscard]] double chest_heading_deg(const Rung& rung, const FlightSample& now, double duration);

/// The three cards of the floor walk that leads to a rung.
struct WalkWords {
  std::string caption;            ///< "floor walk, back quarter to back half"
  std::string title[3], text[3];  ///< "Stand as you landed:" / "facing the left wall."
  std::string sum, note;          ///< "From the start it is now a half turn left."
};
/// How much of the turn on the floor the animated walk has made, degrees, signed.
[[nodiscard]] double walked_deg(const Session& session);
[[nodiscard]] WalkWords walk_words(const Ladder& ladder, std::size_t rung);

/// "takeoff", "landing, blind": an event's word on the scrub.
[[nodiscard]] std::string event_words(const FlightEvent& event, const Rung& rung);

/// "1/4", "1": a playback rate.
[[nodiscard]] std::string rate_words(double rate);

}  // namespace halfturn
