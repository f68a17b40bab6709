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
  FoundFlight flight;  ///< the one that was measured, its ends as found or by hand
  Alignment alignment;
  AttemptMeasures measures;
  std::vector<Convention> conventions;
};

/// A record whose axes are settled, with the flights in it: all that stays the same while a person chooses a
/// flight or moves its ends.
struct SettledRecord {
  Recording recording;
  FrameAnswers answers;
  std::vector<FoundFlight> flights;  ///< ascending
  std::string how;                   ///< they were found
};
/// Settles the record's axes and finds its flights. Problems as below.
[[nodiscard]] Result<SettledRecord> settle_record(Recording recording, const FrameAnswers& answers);
/// Chooses a flight, or takes that given by hand, solves the mounting and measures. Problems as below.
[[nodiscard]] Result<MeasuredRecord> measure_settled(const SettledRecord& record,
                                                     const MeasureRequest& request);
/// The recorded flight of a measured record.
[[nodiscard]] Flight flight_of(const SettledRecord& record, const MeasuredRecord& measured);

/// Asks about the axes where the twist goes to the other side than planned (`side` +1 left, -1 right) and
/// nothing in the record or said about it tells left from right; empty otherwise.
[[nodiscard]] Outcome side_question(const MeasuredRecord& measured, double side);

/// Both in one: settles the record's axes, finds the flight, solves the mounting and measures. The record is
/// changed on the way. Problems are errors with a place, or questions whose place is the option that answers;
/// file empty.
[[nodiscard]] Result<MeasuredRecord> measure_record(Recording& recording, const MeasureRequest& request);

}  // namespace halfturn
