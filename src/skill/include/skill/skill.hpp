#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace halfturn {

/// The way the chest turns. The lead foot is another matter.
enum class Side : signed char { left = 1, right = -1 };
[[nodiscard]] constexpr double sign_of(Side side) {
  return side == Side::left ? 1.0 : -1.0;
}
[[nodiscard]] std::string_view word(Side side);
[[nodiscard]] constexpr Side other(Side side) {
  return side == Side::left ? Side::right : Side::left;
}

/// Swaps the words "left" and "right" in a text of the vocabulary; all skills there are written for the left
/// side.
[[nodiscard]] std::string swap_sides(std::string_view text);

/// What kind of rotation carries the skill.
enum class Rotation { flip, upright };

/// One row of the drawn-flight values of a skill: what holds at `twist_deg` of twist (of whole turn for
/// kicks). Between rows a value is linear in twist, beyond the last constant. Empty: use the next row, else
/// the base row.
struct FlightRow {
  double twist_deg = 0;
  std::optional<double> incline_deg, lean_deg, landing_lean_deg, takeoff_phase_deg, landing_phase_deg;
  std::optional<double> twist_onset, twist_end;              ///< shares of the flight
  std::optional<double> early_twist_onset, early_twist_end;  ///< the same with early timing
  std::optional<double> air_time_low_s, air_time_high_s;
  std::optional<double> floor_turn_deg;  ///< part of the turn made before the last foot leaves
  std::optional<double> foot_turn_deg;   ///< part of the turn made after contact
  std::optional<std::string>
      landing_feet;  ///< "both", "left", "right", "right, left"; not blended: of the row at or below
};

struct Kick {
  std::string leg;   ///< "left" or "right"
  std::string kind;  ///< "inside" or "outside"
  friend bool operator==(const Kick&, const Kick&) = default;
};

/// Air times that hold with one setup or on one surface instead of those of the row at the same twist.
struct AirTimes {
  std::string setup, surface;  ///< empty: any
  double twist_deg = 0;
  double low_s = 0, high_s = 0;
};

/// A name by rotation.
struct SkillName {
  double twist_deg = 0;
  std::string name;
  std::vector<std::string> aliases;
  std::string timing;  ///< "early", "late" or empty for both
};

/// Legs and landing of a counted kick from `turn_deg` on, until the next row.
struct KickRow {
  double turn_deg = 0;
  Kick kick;
  std::string landing_feet;
};

/// A base skill as data, written for a left twister.
struct Skill {
  std::string name;
  std::vector<std::string> aliases;
  std::string discipline;   ///< "tricking", "tumbling", "trampoline"
  std::string description;  ///< from the parts, without the twist: "backward flip off both feet"
  std::string stem;         ///< start of the title of an unnamed rung: "back" as in "back quarter"
  Rotation rotation = Rotation::flip;
  double flip_toward_deg = 180;
  std::string takeoff;                     ///< "both feet", "one leg swinging through", "step", "punch"
  std::vector<std::string> also_takeoffs;  ///< takeoffs that leave the skill what it is
  std::string takeoff_feet;                ///< "both", "left", "right", "bed"
  std::string start_feet;  ///< "side by side", "left ahead", "right ahead"; "of the stance" for kicks
  std::string travel;  ///< "backward", "forward", "left", "in place": direction over the floor from the chest
                       ///< at takeoff
  double travel_m = 0;                ///< common practice
  std::string setup, surface, shape;  ///< defaults
  std::string twist_shape;            ///< default shape as soon as there is twist; empty: the same
  std::vector<std::string> shapes;    ///< shapes it can be done in
  std::string hold;                   ///< "start" or "landing": the end that a ladder holds
  double turn_beyond_twist_deg = 0;   ///< turn = twist + this (the aerial's quarter before and quarter after)
  double first_deg = 0;               ///< twist (or whole turn) of rung 0
  double mark_from_deg =
      0;  ///< mark heading minus the start heading (hold start) or the landing heading (hold landing)
  std::string counted_name;  ///< name of a counted kick, {} stands for the number; empty: not counted
  std::vector<FlightRow> rows;
  std::vector<AirTimes> air_times;
  std::vector<SkillName> names;
  std::vector<KickRow> kicks;
  std::string note;
};

/// Setups, takeoffs and surfaces a plan can choose from, and all skills.
struct Vocabulary {
  std::vector<Skill> skills;
  std::vector<std::string> setups, takeoffs, surfaces;

  /// By name or alias, case-insensitive; null if there is none.
  [[nodiscard]] const Skill* find(std::string_view name) const;
  /// Names nearest to a misspelt one, best first, at most three.
  [[nodiscard]] std::vector<std::string> near_matches(std::string_view name) const;
  [[nodiscard]] static bool accepts(const Skill& skill, std::string_view takeoff);
  /// The skill of the same flip direction, discipline kind and rotation that leaves with `takeoff`; null if
  /// none.
  [[nodiscard]] const Skill* with_takeoff(const Skill& skill, std::string_view takeoff) const;
};

/// Values of a row blended at a twist.
struct FlightValues {
  double incline_deg = 0, lean_deg = 0, landing_lean_deg = 0, takeoff_phase_deg = 0, landing_phase_deg = 0;
  double twist_onset = 0, twist_end = 1;
  double air_time_low_s = 0, air_time_high_s = 0;
  double floor_turn_deg = 0, foot_turn_deg = 0;
  std::string landing_feet;
};
/// `twist_deg` is the whole turn for kicks.
[[nodiscard]] FlightValues values_at(const Skill& skill, double twist_deg, bool early, std::string_view setup,
                                     std::string_view surface);
/// Name and aliases at a rotation; null if the trade has none.
[[nodiscard]] const SkillName* name_at(const Skill& skill, double twist_deg, bool early);
/// Legs and landing of a counted kick; the row at or below the turn, or the first.
[[nodiscard]] const KickRow& kick_at(const Skill& skill, double turn_deg);

}  // namespace halfturn
