#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "body/segment_table.hpp"

namespace halfturn {

/// Who flies. A plain value; the defaults are an average adult.
struct Athlete {
  std::string name;  ///< display name or initials, may be empty
  double height_m = 1.70;
  double mass_kg = 65;
  SegmentTableKind table = SegmentTableKind::male;
  bool twists_left = true;
  std::vector<std::string> skills;                ///< names of skills owned
  std::optional<double> air_time_s;               ///< measured on `surface`
  std::optional<double> angular_momentum_kgm2_s;  ///< measured in a single somersault; empty: not known
  std::string surface;                            ///< where the air time was measured, may be empty
  std::optional<double> shoulder_half_width_m;    ///< measured, joint centre from the midline
  friend bool operator==(const Athlete&, const Athlete&) = default;
};

/// How whoever flies is called where nobody is known: an Athlete as it comes.
inline constexpr std::string_view average_adult = "an average adult";

}  // namespace halfturn
