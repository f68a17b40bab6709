#include "ladder/attempt_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

bool by_eye_step(double value_deg) {
  return std::fmod(value_deg, 15.0) == 0;
}

/// Whether early timing makes another skill of this rung than late timing does.
bool timing_matters(const Rung& rung, const Plan& plan) {
  const double twist = std::abs(rung.twist_deg);
  const FlightValues early = values_at(*rung.skill, twist, true, rung.setup, rung.surface);
  const FlightValues late = values_at(*rung.skill, twist, false, rung.setup, rung.surface);
  return plan.timing == "early" && twist > 0 &&
         (early.twist_onset != late.twist_onset || early.twist_end != late.twist_end);
}

}  // namespace

std::string_view word(AttemptOutcome outcome) {
  return attempt_outcome_words[static_cast<std::size_t>(outcome)];
}

std::optional<AttemptOutcome> attempt_outcome(std::string_view text) {
  std::string plain(text);
  std::replace_if(
      plain.begin(), plain.end(), [](char c) { return c == '-' || c == '_'; }, ' ');
  // What is counted as a crash is logged as a fall; a coach may say either.
  if (plain == "crash") return AttemptOutcome::fall;
  const auto found = std::find(attempt_outcome_words.begin(), attempt_outcome_words.end(), plain);
  if (found == attempt_outcome_words.end()) return std::nullopt;
  return static_cast<AttemptOutcome>(found - attempt_outcome_words.begin());
}

RungKey rung_key(const Ladder& ladder, std::size_t index) {
  HT_EXPECT(index < ladder.rungs.size());
  const Rung& rung = ladder.rungs[index];
  return {
      rung.skill->name, std::abs(rung.twist_deg),         rung.side, rung.takeoff, rung.surface, rung.setup,
      rung.shape,       timing_matters(rung, ladder.plan)};
}

std::optional<double> heading_error_deg(const Rung& rung, double contact_deg) {
  if (!rung.landing.contact_heading_deg) return std::nullopt;
  return wrap_deg(sign_of(rung.side) * (contact_deg - *rung.landing.contact_heading_deg)) + 0.0;
}

std::optional<std::string> attempt_complaint(const AttemptRecord& attempt) {
  const auto outside = [](const std::optional<double>& value, double low, double high) {
    return value && !(low <= *value && *value <= high);
  };
  if (outside(attempt.heading_error_deg, -180, 180)) {
    return fmt::format("the heading error is {}, must be between -180 and 180", *attempt.heading_error_deg);
  }
  if (outside(attempt.upright_deg, 0, 180)) {
    return fmt::format("the trunk is {} from vertical, must be between 0 and 180", *attempt.upright_deg);
  }
  if (outside(attempt.air_time_s, 0.05, 5)) {
    return fmt::format("the air time is {} s, must be between 0.05 and 5", *attempt.air_time_s);
  }
  if (attempt.heading_error_deg && !attempt.heading_measured && !by_eye_step(*attempt.heading_error_deg)) {
    return fmt::format(
        "a heading error of {} cannot be seen by eye: give steps of 15, or say it was measured",
        *attempt.heading_error_deg);
  }
  if (attempt.upright_deg && !attempt.upright_measured && !by_eye_step(*attempt.upright_deg)) {
    return fmt::format("{} from vertical cannot be seen by eye: give steps of 15, or say it was measured",
                       *attempt.upright_deg);
  }
  if (attempt.note.size() > 1000) return "the note is longer than 1000 letters";
  return std::nullopt;
}

std::string heading_error_words(const AttemptRecord& attempt) {
  if (!attempt.heading_error_deg) return "";
  const double error = *attempt.heading_error_deg;
  if (error == 0) return "on plan";
  return fmt::format("{} {}", degrees_text(error), error < 0 ? "short" : "long");
}

}  // namespace halfturn
