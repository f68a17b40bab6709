#pragma once

#include <optional>
#include <string>
#include <vector>

#include "ladder/rung_simulation.hpp"
#include "logbook/logbook.hpp"

namespace halfturn {

/// An athlete with all that a gate or a fit reads.
struct LoggedAthlete {
  AthleteProfile profile;
  std::vector<AttemptRecord> records;
  std::vector<OverrideRecord> decisions;
};
[[nodiscard]] Result<LoggedAthlete> read_logged(const Logbook& logbook, const std::string& name);

/// The body to fly of a profile that knows height and mass, with the profile's air time; empty where it does
/// not.
[[nodiscard]] std::optional<Athlete> body_of(const AthleteProfile& profile);
/// That body, else an average adult's with the athlete's air time and side.
[[nodiscard]] Flyer flyer_of(const AthleteProfile& profile);

}  // namespace halfturn
