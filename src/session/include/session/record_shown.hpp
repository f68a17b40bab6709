#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "ladder/ladder.hpp"
#include "measure/frame_marks.hpp"
#include "measure/measure_record.hpp"

namespace halfturn {

/// Something a record does not say, and what would answer it.
struct RecordQuestion {
  std::string text;                  ///< whole sentence
  std::string option;                ///< of `halfturn measure` that answers; empty: nothing does
  std::vector<std::string> choices;  ///< words for it; empty: it is typed
  friend bool operator==(const RecordQuestion&, const RecordQuestion&) = default;
};
/// What a problem of measuring asks a person.
[[nodiscard]] RecordQuestion question_of(const Problem& problem, std::size_t flights);

/// What really happened, held against one rung of a plan.
struct RecordedAttempt {
  Plan plan;  ///< that it belongs to, with its rung
  std::size_t rung = 0;
  Flight flight;                         ///< turned so that it starts as the rung does, with the rung's limbs
  std::shared_ptr<const Ladder> ladder;  ///< the same with the rung as it was flown: start, turn, landing
  bool by_eye = false;                   ///< marked in a video instead of recorded
  MeasuredRecord measured;               ///< by eye: the measures of the fitted flight
  std::optional<AgainstPlan> against;    ///< empty where the twist could not be told
  double tolerance_deg = 0;              ///< of the heading at first contact, for this rung
  [[nodiscard]] bool is_short() const { return against && against->turn_error_deg < -tolerance_deg; }
};
/// Measures a settled record against a rung. Problems are questions; so is a twist to the other side than the
/// rung's, since axes that are not known to be right-handed may be mirrored.
[[nodiscard]] Result<RecordedAttempt> recorded_attempt(const SettledRecord& record, MeasureRequest request,
                                                       const Ladder& ladder, std::size_t rung);
/// The best-fitting flight through what a coach marked in a video. A Problem without three marks.
[[nodiscard]] Result<RecordedAttempt> marked_attempt(const FrameMarks& marks, const Ladder& ladder,
                                                     std::size_t rung);

/// "12 degrees short, within the 30 that count": the turn by first contact; empty where it cannot be told.
[[nodiscard]] std::string against_words(const RecordedAttempt& attempt);

/// The record that the window shows: told by the app.
struct RecordShown {
  std::string path;
  std::string athlete;  ///< whose attempt would be logged; empty: nobody's
  bool reading = false;
  std::optional<RecordQuestion> question;
  std::shared_ptr<const RecordedAttempt> attempt;  ///< null: not measured
  // The stretch of the record about the flight, for the scrub.
  double from_s = 0, to_s = 0;
  std::vector<float> felt_g;  ///< what the accelerometer reads, evenly over it, in gravities; may be empty
  bool by_hand = false;       ///< an end was moved
  std::optional<FoundFlight> found;  ///< as found; empty where it was not
};

}  // namespace halfturn
