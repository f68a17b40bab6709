#include "ladder/rung_form.hpp"

#include <cmath>

#include "base/expect.hpp"
#include "planned_values.hpp"
#include "rotation/heading.hpp"

namespace halfturn {

Ladder ladder_in_form(const Ladder& ladder, std::size_t rung, std::size_t form) {
  HT_EXPECT(rung < ladder.rungs.size() && form < ladder.rungs[rung].forms.size());
  Ladder changed = ladder;
  Rung& now = changed.rungs[rung];
  const RungForm chosen = now.forms[form];
  now.turn_deg = chosen.turn_deg;
  now.floor_turn_deg = chosen.floor_turn_deg;
  now.air_turn_deg = chosen.air_turn_deg;
  now.foot_turn_deg = chosen.foot_turn_deg;
  now.twist_deg = chosen.turn_deg;
  now.start = chosen.start;
  now.kick = chosen.kick;
  now.landing.feet = chosen.landing_feet;
  if (now.landing.contact_heading_deg)
    now.landing.contact_heading_deg = wrap_deg(now.landing.heading_deg - now.foot_turn_deg);
  now.values = planned_values(changed.plan, *now.skill, std::abs(chosen.turn_deg), now.setup, now.surface);
  now.air_time_needed_s = now.values.air_time_low_s;
  if (now.air_time_s) now.air_time_margin_s = *now.air_time_s - now.air_time_needed_s;
  changed.plan.title += ", " + chosen.label;
  return changed;
}

}  // namespace halfturn
