#include "session/record_shown.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "format/shape_file.hpp"
#include "ladder/gate.hpp"
#include "rotation/heading.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

struct Answers {
  const char* place;   // of the problem
  const char* option;  // that answers it
  std::vector<std::string> choices;
};

const std::vector<Answers>& few_answers() {
  static const std::vector<Answers> all{
      {"--up", "--up", {"y", "z", "x", "-y", "-z", "-x"}},
      {"--orientation", "--orientation", {"body-to-world", "world-to-body"}},
      {"--hand", "--hand", {"right", "left"}},
      {"--rest", "--rest", {"up", "down"}},
      {"--bow", "--flip-toward", {"back", "front", "left", "right"}},
      {"--flip-toward", "--flip-toward", {"back", "front", "left", "right"}},
      {"--time-unit", "--time-unit", {"s", "ms", "us", "ns"}},
      {"--rate-unit", "--rate-unit", {"deg/s", "rad/s"}},
      {"--force-unit", "--force-unit", {"m/s2", "g", "mg"}},
      {"--length-unit", "--length-unit", {"m", "cm", "mm", "in", "ft"}},
  };
  return all;
}

/// Degrees that a person reads: whole ones.
double whole(double degrees) {
  return std::round(degrees) + 0.0;
}

/// The ladder with one rung as it was flown: what is known of it stands in place of what was planned.
std::shared_ptr<const Ladder> as_flown(const Ladder& ladder, std::size_t index, const Flight& flight,
                                       const AttemptMeasures& measures) {
  auto flown = std::make_shared<Ladder>(ladder);
  Rung& rung = flown->rungs[index];
  const FlightMeasures& m = measures.flight;
  rung.air_turn_deg = to_deg(flight.at(flight.duration()).angles.twist);
  if (measures.floor_turn_deg) rung.floor_turn_deg = *measures.floor_turn_deg;
  const double contact =
      m.landing_heading_deg.value_or(rung.start.heading_deg + rung.floor_turn_deg + rung.air_turn_deg);
  rung.landing.contact_heading_deg = m.landing_heading_deg;
  rung.landing.contact_angle_deg = m.landing_angle_deg;
  rung.landing.heading_deg = wrap_deg(whole(measures.stood_heading_deg.value_or(contact)));
  rung.foot_turn_deg = wrap_deg(rung.landing.heading_deg - contact);
  rung.turn_deg = whole(rung.floor_turn_deg + rung.air_turn_deg + rung.foot_turn_deg);
  rung.landing.stance = stance_at(rung.landing.heading_deg, rung.mark_deg);
  if (rung.landing.kind != "upright" && m.twist_deg)
    rung.landing.kind = landing_kind(rung.flip_toward_deg, whole(*m.twist_deg));
  rung.air_time_s = flight.duration();
  rung.air_time_margin_s = flight.duration() - rung.air_time_needed_s;
  return flown;
}

/// What is left once the flight and its measures are there.
void hold_against(RecordedAttempt& attempt, const Ladder& ladder) {
  const Rung& rung = ladder.rungs[attempt.rung];
  attempt.plan = ladder.plan;
  attempt.tolerance_deg = gate_demands(ladder)[attempt.rung].tolerance_deg;
  const FlightMeasures planned = measure_flight(drawn_flight(rung, embedded_shapes()));
  attempt.against = against_plan(attempt.measured.measures, planned, sign_of(rung.side), rung.floor_turn_deg,
                                 rung.start.heading_deg);
  attempt.ladder = as_flown(ladder, attempt.rung, attempt.flight, attempt.measured.measures);
}

}  // namespace

RecordQuestion question_of(const Problem& problem, std::size_t flights) {
  RecordQuestion question{problem.text, "", {}};
  if (!problem.place.starts_with("--")) {
    question.text = problem.place.empty() ? problem.text : problem.place + ": " + problem.text;
    return question;
  }
  question.option = problem.place;
  for (const Answers& known : few_answers()) {
    if (problem.place != known.place) continue;
    question.option = known.option;
    question.choices = known.choices;
  }
  if (problem.place == "--flight") {
    for (std::size_t k = 0; k < flights; ++k) question.choices.push_back(fmt::format("{}", k + 1));
  }
  return question;
}

Result<RecordedAttempt> recorded_attempt(const SettledRecord& record, MeasureRequest request,
                                         const Ladder& ladder, std::size_t index) {
  const Rung& rung = ladder.rungs[index];
  request.frame.planned_flip_toward_deg = rung.flip_toward_deg;
  Result<MeasuredRecord> measuring = measure_settled(record, request);
  if (!measuring) return measuring.problem();
  MeasuredRecord measured = std::move(measuring).value();
  if (const Outcome question = side_question(measured, sign_of(rung.side))) return *question;
  // Beside the plan it starts where the plan does, unless the coach has said where it faced.
  if (!record.answers.start_heading_deg) {
    const AttemptMeasures& m = measured.measures;
    const double planned_takeoff = rung.start.heading_deg + rung.floor_turn_deg;
    std::optional<double> off;
    if (m.start_heading_deg && m.floor_turn_deg) {
      off = rung.start.heading_deg - *m.start_heading_deg;
    } else if (m.flight.takeoff_heading_deg) {
      off = planned_takeoff - *m.flight.takeoff_heading_deg;
    }
    if (off) {
      measured.alignment.heading_shift += to_rad(*off);
      Result<AttemptMeasures> turned = measure_attempt(record.recording, measured.alignment, measured.flight);
      if (!turned) return turned.problem();
      std::vector<std::string> cautions = std::move(measured.measures.cautions);
      measured.measures = std::move(turned).value();
      measured.measures.cautions = std::move(cautions);
    }
  }
  const Flight limbs = drawn_flight(rung, embedded_shapes());
  RecordedAttempt attempt{ladder.plan,  index, with_limbs_of(limbs, flight_of(record, measured)),
                          nullptr,      false, std::move(measured),
                          std::nullopt, 0};
  hold_against(attempt, ladder);
  return attempt;
}

Result<RecordedAttempt> marked_attempt(const FrameMarks& marks, const Ladder& ladder, std::size_t index) {
  const Result<FrameMeasures> frames = measure_frames(marks);
  if (!frames) return frames.problem();
  if (!frames->fit) {
    return Problem{"", "--turned",
                   "needs three marks or more in the flight for one that fits best: mark how far the chest "
                   "has turned, for instance 120:0,140:180,165:360"};
  }
  Rung rung = ladder.rungs[index];
  rung.air_turn_deg = frames->fit->air_turn_deg;
  rung.air_time_s = frames->air_time_s;
  rung.values.twist_onset = frames->fit->onset;
  rung.values.twist_end = frames->fit->end;
  const Flight flight = drawn_flight(rung, embedded_shapes());
  MeasuredRecord measured;
  measured.measures.flight = measure_flight(flight);
  measured.measures.doubt.air_time_s = frames->air_time_doubt_s;
  measured.measures.doubt.twist_deg = measured.measures.doubt.heading_deg =
      std::max(20.0, frames->fit->error_deg);
  measured.measures.start_heading_deg = rung.start.heading_deg;
  measured.measures.cautions.emplace_back("By eye: an estimate; the flip is the drawn one.");
  RecordedAttempt attempt{ladder.plan, index, flight, nullptr, true, std::move(measured), std::nullopt, 0};
  hold_against(attempt, ladder);
  return attempt;
}

std::string against_words(const RecordedAttempt& attempt) {
  if (!attempt.against) return "";
  const double error = whole(attempt.against->turn_error_deg);
  const std::string counts =
      fmt::format("{} the {:g} that count",
                  std::abs(attempt.against->turn_error_deg) > attempt.tolerance_deg ? "outside" : "within",
                  attempt.tolerance_deg);
  if (error == 0) return "as planned, " + counts;
  return fmt::format("{:.0f} degrees {}, {}", std::abs(error), error < 0 ? "short" : "long", counts);
}

}  // namespace halfturn
