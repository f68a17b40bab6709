#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "body/athlete.hpp"

namespace halfturn {

/// An athlete from JSON (format "halfturn-athlete", version 1, assets/schema/halfturn-athlete.schema.json):
/// name or initials, height, mass, segment table, twisting side, skills owned, what was measured and where.
/// Problems name the key, for instance `height_m`.
[[nodiscard]] Result<Athlete> read_athlete(std::string_view text, const std::string& file);

/// The text of an athlete: read_athlete gives the same athlete back, and writing that gives the same bytes.
[[nodiscard]] std::string write_athlete(const Athlete& athlete);

}  // namespace halfturn
