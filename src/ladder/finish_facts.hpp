#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "ladder/finish.hpp"

namespace halfturn {

// Limits that more than one part of a finish plan goes by; those without a source are this project's choice.
inline constexpr double reaction_s = 0.2;   ///< from seeing to doing (simple visual reaction, 0.18 to 0.25 s)
inline constexpr double told_left_deg = 5;  ///< what is left of a turn is told from here on
inline constexpr double quick_turn_deg_s = 90;  ///< about the long axis on landing: needs a step
inline constexpr double fast_turn_deg_s = 180;  ///< the same: the foot itself has to turn

/// "a quarter", "a half", "about 55 degrees": an amount of turn for a sentence.
[[nodiscard]] std::string rough_turn(double amount_deg);
/// An exact amount as a noun: "a quarter", "30 degrees".
[[nodiscard]] std::string exact_turn(double amount_deg);
/// "half a turn a second", "1.5 turns a second".
[[nodiscard]] std::string pace_words(double deg_per_s);
/// "both feet", "the right, then the left foot".
[[nodiscard]] std::string finish_feet(const std::string& feet);
/// A direction, degrees to the left of the chest, in a word: "forward", "back", "to the left".
[[nodiscard]] std::string way_word(double left_deg);
/// The same word for where something lies: "in front of you".
[[nodiscard]] std::string place_word(double left_deg);
[[nodiscard]] std::string capital(std::string text);

/// A rung and its flight as the sentences of a finish plan ask for them. Refers to all it was made of.
class FinishFacts {
 public:
  FinishFacts(const Ladder& ladder, std::size_t rung, const Flight& flight);

  [[nodiscard]] const Ladder& ladder() const { return ladder_; }
  [[nodiscard]] const Rung& rung() const { return rung_; }
  [[nodiscard]] const Rung* before() const { return before_; }  ///< the rung below; null for the base
  [[nodiscard]] const Flight& flight() const { return flight_; }
  [[nodiscard]] double end() const { return flight_.duration(); }  ///< s

  [[nodiscard]] std::string wall(double heading_deg) const;
  [[nodiscard]] std::string_view side() const { return word(rung_.side); }
  [[nodiscard]] std::string_view other_side() const { return word(other(rung_.side)); }
  [[nodiscard]] bool flips() const { return rung_.flip_deg != 0; }
  [[nodiscard]] bool twists() const { return rung_.air_turn_deg != 0; }
  /// More a spin about the upright than a flip: it lands with the trunk low and does not roll on.
  [[nodiscard]] bool spins() const { return rung_.values.incline_deg > 45; }
  [[nodiscard]] bool on_bed() const { return rung_.surface == "trampoline"; }

  /// Twist made in the air so far, the way of the side, degrees, and how fast it goes on, deg/s.
  [[nodiscard]] double twisted_deg(double time) const;
  [[nodiscard]] double turn_rate_deg_s(double time) const;
  [[nodiscard]] std::optional<double> event(EventKind kind) const;
  /// When the twist has begun, s; the air time when it never does.
  [[nodiscard]] double twist_begins() const;
  /// When the first thing is done that makes the turn, s: an arm, or the turn itself. Who would rather not
  /// turn has to know before.
  [[nodiscard]] double turn_starts() const;
  /// The way the flip carries, degrees to the left of the chest after so much twist.
  [[nodiscard]] double carry_deg(double twist_deg) const;

 private:
  const Ladder& ladder_;
  const Rung& rung_;
  const Rung* before_;
  const Flight& flight_;
};

/// The lines in the air, by time.
[[nodiscard]] std::vector<FinishLine> finish_in_air(const FinishFacts& facts,
                                                    const std::vector<SightSpan>& sight);
/// The lines after it, by part.
[[nodiscard]] std::vector<FinishLine> finish_after(const FinishFacts& facts);

}  // namespace halfturn
