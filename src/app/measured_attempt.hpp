#pragma once

#include "base/result.hpp"
#include "format/measure_json.hpp"
#include "ladder/attempt_record.hpp"

namespace halfturn {

/// Puts what was measured into an attempt at a rung: heading at first contact, trunk and air time. A Problem
/// when the turn is another rung's: a whole turn too few faces the same way. Its file is empty.
[[nodiscard]] Outcome take_measured(AttemptRecord& record, const MeasuredLanding& landing, const Rung& rung);

/// The same of a measurement that is still at hand.
[[nodiscard]] MeasuredLanding landing_of(const AttemptMeasures& measures);

}  // namespace halfturn
