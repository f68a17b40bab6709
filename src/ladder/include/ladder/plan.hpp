#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "ladder/gate_rules.hpp"
#include "skill/skill.hpp"
#include "skill/stance.hpp"

namespace halfturn {

/// One step of a ladder: some degrees of twist and, or instead, a change of other parts.
struct Step {
  double twist_deg = 0;  ///< unsigned, whole degrees, 0..360
  std::optional<std::string> takeoff, setup, shape, surface;
  std::string cue;  ///< the coach's own words
  friend bool operator==(const Step&, const Step&) = default;
};

/// One link of a chain: a skill of the vocabulary with some twist, or a setup or transition by name.
struct ChainItem {
  std::string skill;         ///< or empty
  double twist_deg = 0;      ///< of a skill, unsigned, whole degrees; whole turn of a kick
  std::string link;          ///< setup or transition, or empty
  std::optional<Side> side;  ///< empty: the plan's
  friend bool operator==(const ChainItem&, const ChainItem&) = default;
};

/// What a coach chose: the whole input of a ladder, a plain value. Undo is the previous value.
struct Plan {
  std::string title = "untitled";
  std::string base = "back flip";
  Side side = Side::left;
  std::optional<double> from_deg;  ///< rung 0; empty: the base's own
  std::vector<Step> steps;
  std::optional<std::string> hold;  ///< "start" or "landing"; empty: the base's own
  double held_heading_deg = 0;      ///< heading of the end that is held
  std::optional<double> mark_deg;
  std::string timing = "late";  ///< "early" or "late"
  std::optional<std::string> takeoff, setup, surface, shape;
  std::optional<double> floor_turn_deg, foot_turn_deg;  ///< unsigned, override the skill's for every rung
  std::optional<double> incline_deg, lean_deg;          ///< unsigned, override
  std::optional<std::string> kick_leg;
  std::optional<double> air_time_s;  ///< measured
  std::string cycle;                 ///< FIG cycle; empty: the default
  std::string base_cue;
  Walls walls;
  std::string athlete;           ///< display name, may be empty
  std::vector<ChainItem> chain;  ///< setup, transition, skill and so on; empty: none
  GateRules gate;                ///< when a rung is passed
  friend bool operator==(const Plan&, const Plan&) = default;
};

/// What is wrong with a step, as a sentence; empty when it adds 1 to 360 whole degrees, or none but changes a
/// part.
[[nodiscard]] std::optional<std::string> step_complaint(const Step& step);

/// Greatest twist, or whole turn of a kick, that a ladder goes to, degrees.
inline constexpr double greatest_twist_deg = 1440;

/// Equal steps from the first rung to `to_deg`, the last cut to end on it.
[[nodiscard]] std::vector<Step> equal_steps(double first_deg, double to_deg, double step_deg);

/// Steps from the first rung to an absolute target: one plain step repeats and the last is cut; a list is
/// taken as it is and must sum to target minus first. Problems have no file; their place is `to` or `step`.
[[nodiscard]] Result<std::vector<Step>> steps_to(double first_deg, double to_deg,
                                                 const std::vector<Step>& given);

}  // namespace halfturn
