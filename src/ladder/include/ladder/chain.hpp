#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "ladder/ladder.hpp"
#include "ladder/plan.hpp"

namespace halfturn {

/// Something between skills as data, written for the left side: a setup such as a roundoff, or a transition
/// such as a step out. Ways are from the chest: "forward", "backward", "left", "right", "in place".
struct Link {
  std::string name;
  bool setup = false;      ///< begins a chain; a transition stands between two skills
  double turn_deg = 0;     ///< signed, + to the left
  std::string start_feet;  ///< "any", "both", "left", "right": what it begins on
  std::string end_feet;    ///< "both", "left", "right": what it ends on
  std::string travel;      ///< way over the floor, from the chest at its start
  double travel_m = 0;     ///< common practice
  std::string carries;     ///< way in which it goes on, from the chest at its end
  double duration_s = 0;   ///< common practice
};
struct LinkBook {
  std::vector<Link> links;
  [[nodiscard]] const Link* find(std::string_view name) const;
};

/// One link of a chain as it runs: headings world, places on the floor, m.
struct ChainStop {
  std::string title;
  bool is_skill = false;
  double start_heading_deg = 0, end_heading_deg = 0, turn_deg = 0;
  std::string start_stance, end_stance;  ///< to the chain's mark
  std::string start_feet, end_feet;
  std::string landing_kind;  ///< of a skill
  double start_x = 0, start_z = 0, end_x = 0, end_z = 0;
  std::optional<double> enters_deg;   ///< heading it must travel in to begin well; empty: any
  std::optional<double> carries_deg;  ///< heading it goes on in; empty: it stands
  double start_s = 0, duration_s = 0;
  std::optional<Rung> rung;  ///< of a skill
};

/// What does not fit between two links, and what would mend it, sentence by sentence.
struct ChainJoint {
  std::vector<std::string> mismatches, mends;
  [[nodiscard]] bool fits() const { return mismatches.empty(); }
};

struct ChainRun {
  std::vector<ChainStop> stops;
  std::vector<ChainJoint> joints;  ///< joints[i] is between stops i and i + 1
  double mark_deg = 0;
  [[nodiscard]] bool fits() const;
  [[nodiscard]] double duration() const;
};

/// Runs headings, stances, feet and travel through the chain of a plan: each link starts where the one before
/// ended. Problems name the key, for instance `chain[1].skill`. The vocabulary must outlive the run.
[[nodiscard]] Result<ChainRun> run_chain(const Plan& plan, const Vocabulary& vocabulary,
                                         const LinkBook& links, const DifficultyTable& difficulty);

/// Where the athlete is on the floor at a time from the start of the chain, s, clamped to it.
struct ChainMoment {
  std::size_t stop = 0;
  double share = 0;  ///< of the stop, [0, 1]
  double x = 0, z = 0, heading_deg = 0;
};
[[nodiscard]] ChainMoment chain_at(const ChainRun& run, double time_s);

/// "from the front wall, off both feet; turn +180; ends facing the back wall, on both feet": one link.
[[nodiscard]] std::string chain_stop_words(const ChainStop& stop, const Walls& walls);
/// The chain in words: one line a link, mismatches and mends at their joints.
[[nodiscard]] std::string chain_words(const ChainRun& run, const Walls& walls);

/// "back flip:360" or "roundoff" as an item of a chain; a Problem (place `chain`) for degrees that are none.
[[nodiscard]] Result<ChainItem> parse_chain_item(const std::string& text, const LinkBook& links);

}  // namespace halfturn
