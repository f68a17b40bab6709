#pragma once

#include <string>

#include "ladder/ladder.hpp"
#include "rotation/quaternion.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// The way a word names, degrees to the left of the chest; the word is written for the left side.
[[nodiscard]] inline double way_deg(const std::string& word, Side side) {
  const double sign = sign_of(side);
  if (word == "backward") return sign * 180;  // so that the mirror image is exact
  if (word == "left") return sign * 90;
  if (word == "right") return sign * -90;
  return 0;
}

/// Travel over the floor, m, world; directions are from the chest at takeoff.
[[nodiscard]] Vec3 travel_of(const Rung& rung);

}  // namespace halfturn
