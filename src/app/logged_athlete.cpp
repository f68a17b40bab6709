#include "logged_athlete.hpp"

#include "format/shape_file.hpp"

namespace halfturn {

Result<LoggedAthlete> read_logged(const Logbook& logbook, const std::string& name) {
  const Result<AthleteEntry> entry = logbook.athlete(name);
  if (!entry) return entry.problem();
  Result<std::vector<AttemptRecord>> records = logbook.records(entry->id);
  if (!records) return records.problem();
  Result<std::vector<OverrideRecord>> decisions = logbook.decisions(entry->id);
  if (!decisions) return decisions.problem();
  return LoggedAthlete{entry->profile, std::move(records).value(), std::move(decisions).value()};
}

std::optional<Athlete> body_of(const AthleteProfile& profile) {
  if (!profile.height_m || !profile.mass_kg) return std::nullopt;
  Athlete athlete;
  athlete.height_m = *profile.height_m;
  athlete.mass_kg = *profile.mass_kg;
  athlete.table = profile.table;
  athlete.twists_left = profile.side == Side::left;
  athlete.air_time_s = profile.air_time_s;
  athlete.angular_momentum_kgm2_s = profile.angular_momentum_kgm2_s;
  athlete.surface = profile.surface;
  athlete.shoulder_half_width_m = profile.shoulder_half_width_m;
  return athlete;
}

Flyer flyer_of(const AthleteProfile& profile) {
  const std::optional<Athlete> own = body_of(profile);
  Athlete athlete = own.value_or(Athlete{});
  athlete.air_time_s = profile.air_time_s;
  athlete.surface = profile.surface;
  athlete.twists_left = profile.side == Side::left;
  return make_flyer(athlete, embedded_shapes(), own ? std::string_view(profile.name) : average_adult);
}

}  // namespace halfturn
