#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "flight/drawn.hpp"
#include "ladder/plan.hpp"
#include "skill/difficulty.hpp"
#include "skill/skill.hpp"

namespace halfturn {

struct RungStart {
  double heading_deg = 0;  ///< stood up, (-180, 180]
  std::string stance;
  std::string feet;
};

struct RungLanding {
  double heading_deg = 0;                     ///< stood up, after the foot turn
  std::optional<double> contact_heading_deg;  ///< at first contact; empty within 1 degree of upside down
  double contact_angle_deg = 0;               ///< long axis from vertical at first contact
  std::string stance, feet, kind;
};

struct RungKick {
  std::string leg, kind;
  std::optional<double>
      strike_share;  ///< share of the flight; empty if the chest does not pass the mark in the air
  double strike_heading_deg = 0;
};

/// The same kick from another stance: same legs, same strike, same landing.
struct RungForm {
  std::string label;
  double turn_deg = 0;  ///< signed
  RungStart start;
  std::optional<RungKick> kick;
  std::string landing_feet;
  double floor_turn_deg = 0, air_turn_deg = 0, foot_turn_deg = 0;  ///< shares of the turn, signed
};

/// One checkpoint. Turns and twists are signed by side (left +); flip, incline, lean and count are not.
struct Rung {
  int index = 0;
  const Skill* skill = nullptr;  ///< in the vocabulary the ladder was made from
  std::optional<std::string> name;
  std::vector<std::string> aliases;
  std::string title;  ///< name, or a short description such as "back quarter"
  std::string description;
  Side side = Side::left;
  double flip_deg = 0, twist_deg = 0, turn_deg = 0;
  double floor_turn_deg = 0, air_turn_deg = 0, foot_turn_deg = 0;
  FlightValues values;         ///< incline, lean, phases, twist window, air times
  double flip_toward_deg = 0;  ///< signed by side
  double mark_deg = 0;
  RungStart start;
  std::string takeoff, setup, surface, shape, takeoff_feet;
  std::optional<RungKick> kick;
  RungLanding landing;
  std::optional<double> counted_deg;
  std::vector<RungForm> forms;
  double step_deg = 0;  ///< unsigned, from the rung before; 0 at the base
  double walk_stand_deg = 0, walk_turn_deg = 0,
         walk_face_deg = 0;  ///< the floor walk as headings; turn signed
  std::string floor_walk;
  std::string cue;
  std::vector<std::string> warnings;
  double air_time_needed_s = 0;      ///< an estimate: the low end of the table, or of a simulation
  bool air_time_simulated = false;   ///< which of the two
  std::optional<double> air_time_s;  ///< measured
  std::optional<double> air_time_margin_s;
  std::optional<double> difficulty;
};

struct Ladder {
  Plan plan;
  const Skill* base = nullptr;
  bool holds_start = true;
  std::string cycle;
  std::vector<Rung> rungs;
};

/// Stands wherever a ladder is handed over.
inline constexpr std::string_view ladder_caution =
    "Air times are estimates. Teach under a qualified coach, by local rules, with mats and spotters as they "
    "ask for.";

/// Twist (or whole turn) of rung 0 of a plan on a base.
[[nodiscard]] double first_deg(const Plan& plan, const Skill& base);

/// Everything computed from a plan. Problems name the key of the plan file, for instance `rungs[2].step_deg`.
/// The vocabulary must outlive the ladder.
[[nodiscard]] Result<Ladder> make_ladder(const Plan& plan, const Vocabulary& vocabulary,
                                         const DifficultyTable& difficulty);

/// Parameters of the drawn flight of a rung.
[[nodiscard]] DrawnParameters drawn_parameters(const Rung& rung);
/// Drawn flight of a rung with its shape track and events.
[[nodiscard]] Flight drawn_flight(const Rung& rung, const ShapeBook& shapes);
/// What a rung is called: by the trade, "corkscrew", else by its parts, "gainer quarter". Twist in degrees,
/// unsigned; of kicks the whole turn.
[[nodiscard]] std::string rung_title(const Skill& skill, double twist_deg, bool early);
/// A needed air time as it is told, s: rounded up to hundredths, so that too little is never told as enough.
[[nodiscard]] double told_air_s(double needed_s);
/// What is told of a margin, s, against the needed time as told: at least 0.01 short where it is short.
[[nodiscard]] double told_margin_s(double needed_s, double margin_s);
/// "0.13 s in hand" or "0.01 s short".
[[nodiscard]] std::string air_margin_words(double needed_s, double margin_s);
/// "air needed 0.79 s, simulated (an estimate)"; without a simulated flight "air usually from 0.75 s (an
/// estimate)": the low end of what is usual, nobody's in particular.
[[nodiscard]] std::string air_needed_words(const Rung& rung);
/// Air time a drawn flight takes, s: the measured one, else the middle of the table.
[[nodiscard]] double drawn_duration(const Rung& rung);

}  // namespace halfturn
