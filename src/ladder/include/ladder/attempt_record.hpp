#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "ladder/ladder.hpp"

namespace halfturn {

/// What an attempt came to, best first, as the coach saw it.
enum class AttemptOutcome : std::uint8_t {
  in_hand,       ///< controlled with something in hand: one more bounce, a rebound, balance on the foot
  controlled,    ///< controlled, with nothing in hand
  on_feet,       ///< on the feet but not controlled
  hand_down,     ///< a hand touched down
  fall,          ///< a crash
  planned_stop,  ///< stopped early as intended before takeoff
  stop,          ///< stopped early without that intention
};
inline constexpr std::array<std::string_view, 7> attempt_outcome_words{
    "in hand", "controlled", "on feet", "hand down", "fall", "planned stop", "stop"};
[[nodiscard]] std::string_view word(AttemptOutcome outcome);
/// The outcome of a word; hyphens and underscores stand for spaces, "crash" is a fall. Empty when there is
/// none.
[[nodiscard]] std::optional<AttemptOutcome> attempt_outcome(std::string_view word);

/// What makes two rungs the same for a gate, whatever ladder they stand on.
struct RungKey {
  std::string skill;     ///< name in the vocabulary
  double twist_deg = 0;  ///< unsigned; the whole turn of a kick
  Side side = Side::left;
  std::string takeoff, surface, setup, shape;
  bool early = false;  ///< early twist, where the trade tells it from the late one
  friend bool operator==(const RungKey&, const RungKey&) = default;
};
/// The key of a rung of a ladder.
[[nodiscard]] RungKey rung_key(const Ladder& ladder, std::size_t rung);

/// One attempt at one rung.
struct AttemptRecord {
  RungKey rung;
  std::int64_t time_ms = 0;  ///< since 1970-01-01 UTC
  AttemptOutcome outcome = AttemptOutcome::in_hand;
  /// Heading at FIRST contact minus the planned one, the way the skill turns: short is negative, long
  /// positive, (-180, 180]. Empty: nobody saw it.
  std::optional<double> heading_error_deg;
  bool heading_measured = false;      ///< else by eye
  std::optional<double> upright_deg;  ///< trunk from vertical at first contact, [0, 180]
  bool upright_measured = false;      ///< else by eye
  std::optional<double> air_time_s;
  std::string note;
  friend bool operator==(const AttemptRecord&, const AttemptRecord&) = default;
};

/// Heading error of a landing, deg, short negative: `contact_deg` is the heading at first contact. Empty
/// where the rung has no planned contact heading.
[[nodiscard]] std::optional<double> heading_error_deg(const Rung& rung, double contact_deg);

/// What is wrong with the numbers of a record, as a sentence; empty when nothing is. A heading or uprightness
/// by eye comes in steps of 15 degrees.
[[nodiscard]] std::optional<std::string> attempt_complaint(const AttemptRecord& attempt);

/// "on plan", "30 short", "45 long"; empty when the heading is not known.
[[nodiscard]] std::string heading_error_words(const AttemptRecord& attempt);

}  // namespace halfturn
