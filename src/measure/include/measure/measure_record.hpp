#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "measure/measures.hpp"

namespace halfturn {

/// What a person says about a record as a whole.
struct MeasureRequest {
  FrameAnswers frame;
  std::optional<double> takeoff_s, landing_s;  ///< by hand, in the record's time
  std::optional<int> flight;                   ///< which of several, from 1
};

/// A measured flight and how it was come by.
struct MeasuredRecord {
  std::vector<FoundFlight> flights;  ///< all that were found, ascending
  std::size_t chosen = 0;
  AttemptMeasures measures;
  std::vector<Convention> conventions;
};

/// Settles the record's axes, finds the flight, solves the mounting and measures. The record is changed on
/// the way. Problems are errors with a place, or questions whose place is the option that answers; file
/// empty.
[[nodiscard]] Result<MeasuredRecord> measure_record(Recording& recording, const MeasureRequest& request);

}  // namespace halfturn
