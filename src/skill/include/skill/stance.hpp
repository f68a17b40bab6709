#pragma once

#include <string>

namespace halfturn {

/// Where the mark is as seen from the chest: "square" (chest to it), "left lead" (left shoulder to it),
/// "right lead", "back"; others as the nearest of these " + n" or " - n" degrees (to the left or right), ties
/// to the lead stance.
[[nodiscard]] std::string stance_at(double heading_deg, double mark_deg);

/// Feet that belong to a stance of a kick: "left ahead", "right ahead", "side by side".
[[nodiscard]] std::string feet_of_stance(double heading_deg, double mark_deg);

/// "sees floor", "blind" or "side on" of a flip landing, from |wrap(flip_toward - twist)|, degrees signed by
/// side.
[[nodiscard]] std::string landing_kind(double flip_toward_deg, double twist_deg);

/// Names of the four walls of the room; the front wall is at heading 0, the left wall at +90.
struct Walls {
  std::string front = "front wall", left = "left wall", back = "back wall", right = "right wall";
  friend bool operator==(const Walls&, const Walls&) = default;
};
/// "back wall", or "back wall, 30 left of it".
[[nodiscard]] std::string facing_words(double heading_deg, const Walls& walls);
/// A number of degrees as short as it can be said to six digits: "90", "22.5"; without sign.
[[nodiscard]] std::string degrees_text(double angle_deg);
/// Unsigned amount of turn in words: "quarter", "half", "three quarters", "full turn", "30 degrees".
[[nodiscard]] std::string turn_words(double turn_deg);
/// Whether a landing on these feet is on one foot alone: not on both, nor on one after the other.
[[nodiscard]] bool on_one_foot(const std::string& feet);
/// "on two feet", "on the left foot", "right foot, then left", "on the bed": how a landing's feet are said.
[[nodiscard]] std::string landing_feet_words(const std::string& feet);

}  // namespace halfturn
