#include "recording_keeper.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "flight/simulated.hpp"

namespace halfturn {
namespace {

constexpr double around = 0.5;      // s shown before takeoff and after landing
constexpr std::size_t looks = 240;  // of the accelerometer over that stretch

/// Reads a record and settles its axes: all that takes long.
Result<SettledRecord> settled_record(const MeasureOptions& answers) {
  const Result<MeasureRequest> request = request_of(answers);
  if (!request) return request.problem();
  const Result<ColumnAnswers> columns = column_answers(answers);
  if (!columns) return columns.problem();
  Result<Recording> recording = load_recording(answers.record, *columns);
  if (!recording) return recording.problem();
  return settle_record(std::move(recording).value(), request->frame);
}

/// What the accelerometer reads at a time, in gravities.
float felt_g_at(const Recording& recording, double time) {
  return glm::length(recording.force[sample_before(recording, time)]) / static_cast<float>(standard_gravity);
}

}  // namespace

Result<RecordedAttempt> attempt_of(const MeasureOptions& options, const Ladder& ladder, std::size_t rung) {
  if (!options.frames.empty()) {
    if (!options.record.empty())
      return Problem{"", "--marks", "are of a video: give them or a record, not both"};
    const Result<FrameMarks> marks = frame_marks(options);
    Result<RecordedAttempt> attempt = marks ? marked_attempt(*marks, ladder, rung) : marks.problem();
    if (attempt || attempt.problem().place != "--frames") return attempt;
    return Problem{"", "--marks", attempt.problem().text};
  }
  const Result<MeasureRequest> request = request_of(options);
  if (!request) return request.problem();
  const Result<SettledRecord> settled = settled_record(options);
  Result<RecordedAttempt> attempt =
      settled ? recorded_attempt(*settled, *request, ladder, rung) : settled.problem();
  if (attempt) return attempt;
  Problem problem = attempt.problem();
  problem.file = options.record;
  return problem;
}

RecordingKeeper::RecordingKeeper(MeasureOptions answers, std::function<void()> wake)
    : answers_(std::move(answers)), job_(std::move(wake)) {
  if (!answers_.record.empty()) read();
  stale_ = !answers_.record.empty() || !answers_.frames.empty();
}

void RecordingKeeper::open(const std::string& path) {
  answers_ = {};
  answers_.record = path;
  settled_ = nullptr;
  stale_ = true;
  if (!path.empty()) read();
}

void RecordingKeeper::answer(const std::string& option, const std::string& words) {
  if (option == "--takeoff, --landing") {
    const std::size_t comma = words.find(',');
    answers_.takeoff = words.substr(0, comma);
    answers_.landing = comma == std::string::npos ? "" : words.substr(comma + 1);
  } else if (std::string* answer = answer_to(answers_, option)) {
    *answer = words;
  }
  if (option == "--flight") {
    // Another flight has ends of its own; the record is the same.
    answers_.takeoff = answers_.landing = "";
    stale_ = true;
    return;
  }
  read();
}

void RecordingKeeper::mark(const std::optional<Span>& marks) {
  answers_.takeoff = marks ? fmt::format("{:.6f}", marks->from) : "";
  answers_.landing = marks ? fmt::format("{:.6f}", marks->to) : "";
  stale_ = true;
}

void RecordingKeeper::read() {
  settled_ = nullptr;
  stale_ = true;
  job_.ask([answers = answers_] {
    return std::make_shared<const Result<SettledRecord>>(settled_record(answers));
  });
}

/// The stretch of the record that the scrub shows: it stays while the ends of a flight are moved in it.
void RecordingKeeper::keep_stretch(const FoundFlight& flight) {
  const Recording& recording = (*settled_)->recording;
  const bool inside = shown_.from_s < flight.takeoff && flight.landing < shown_.to_s &&
                      flight.landing - flight.takeoff > 0.2 * (shown_.to_s - shown_.from_s);
  if (inside && shown_.path == answers_.record) return;
  shown_.from_s = std::max(recording.time.front(), flight.takeoff - around);
  shown_.to_s = std::min(recording.time.back(), flight.landing + around);
  shown_.felt_g.clear();
  for (std::size_t i = 0; !recording.force.empty() && i <= looks; ++i) {
    const double share = static_cast<double>(i) / static_cast<double>(looks);
    shown_.felt_g.push_back(felt_g_at(recording, shown_.from_s + share * (shown_.to_s - shown_.from_s)));
  }
}

std::shared_ptr<const RecordShown> RecordingKeeper::measured(const Session& session) {
  if (answers_.record.empty() && answers_.frames.empty()) return nullptr;
  shown_.question.reset();
  shown_.attempt = nullptr;
  shown_.by_hand = !answers_.takeoff.empty() || !answers_.landing.empty();
  const bool reads = answers_.frames.empty();
  shown_.reading = reads && settled_ == nullptr;
  Result<RecordedAttempt> attempt = Problem{};
  if (!reads) {
    attempt = attempt_of(answers_, *session.ladder, session.rung);
  } else if (!shown_.reading) {
    const Result<MeasureRequest> request = request_of(answers_);
    attempt = !request     ? request.problem()
              : !*settled_ ? settled_->problem()
                           : recorded_attempt(**settled_, *request, *session.ladder, session.rung);
  }
  if (attempt) {
    if (reads) keep_stretch(attempt->measured.flight);
    shown_.attempt = std::make_shared<const RecordedAttempt>(std::move(attempt).value());
  } else if (!shown_.reading) {
    const bool has_flights = reads && settled_->ok();
    shown_.question = question_of(attempt.problem(), has_flights ? (*settled_)->flights.size() : 0);
  }
  shown_.path = reads ? answers_.record : "a video, marked by eye";
  return std::make_shared<const RecordShown>(shown_);
}

std::optional<Edit> RecordingKeeper::news(const Session& session, const std::string& athlete) {
  if (std::optional<Settled> read = job_.take()) {
    settled_ = std::move(*read);
    stale_ = true;
  }
  const bool open = !answers_.record.empty() || !answers_.frames.empty();
  const bool other =
      open && (told_rung_ != session.rung || told_athlete_ != athlete || told_plan_ != session.plan);
  if (!stale_ && !other) return std::nullopt;
  stale_ = false;
  told_plan_ = session.plan;
  told_rung_ = session.rung;
  told_athlete_ = athlete;
  shown_.athlete = athlete;
  return ShowRecord{measured(session)};
}

}  // namespace halfturn
