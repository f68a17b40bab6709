#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "body/segment_table.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// An athlete of the logbook in a list.
struct AthleteLine {
  std::int64_t id = 0;
  std::string name, more;  ///< more: side, plan, attempts
};

/// An athlete as typed: texts, so that half a number is no error yet. Empty means not known.
struct AthleteForm {
  std::int64_t id = 0;  ///< 0: not in the logbook yet
  std::string name, height_m, mass_kg, air_time_s, air_time_spread_s, surface;
  SegmentTableKind table = SegmentTableKind::female;
  Side side = Side::left;
  std::string plan;         ///< title of the plan in work; empty: none
  bool takes_plan = false;  ///< the plan that is shown becomes the plan in work
};

}  // namespace halfturn
