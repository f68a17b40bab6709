#pragma once

#include <optional>

#include "format/json_reader.hpp"
#include "measure/measure_record.hpp"

namespace halfturn {

/// A measured flight for machines, as `halfturn measure --json` prints it: degrees and seconds, null where a
/// number is not known.
[[nodiscard]] Json measure_json(const MeasuredRecord& measured, const Recording& recording);
/// The value of the key `plan`.
[[nodiscard]] Json against_plan_json(const AgainstPlan& against);

}  // namespace halfturn
