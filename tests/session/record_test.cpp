// A record of what really happened, held against a rung and shown beside it.
#include <cmath>

#include "body/human.hpp"
#include "flight/drawn.hpp"
#include "format/shape_file.hpp"
#include "rotation/heading.hpp"
#include "sample.hpp"
#include "session/record_shown.hpp"

using namespace halfturn;

namespace {

constexpr double takeoff = 1.5, air = 0.8, hertz = 200;

/// What a clean sensor that lies like the body writes of a back flip with a twist: standing, the drawn flight
/// of the closed form, standing again. `heading_deg` is where the athlete stands before.
SettledRecord settled_flight(double twist_deg, double heading_deg = 0) {
  DrawnParameters p;
  p.side = twist_deg < 0 ? -1 : 1;
  p.start_heading_deg = heading_deg;
  p.air_turn_deg = twist_deg;
  p.takeoff_phase_deg = 10;
  p.landing_phase_deg = 15;
  p.twist_onset = 0.12;
  p.twist_end = 0.85;
  const DrawnOrientation flown(p);
  Recording recording;
  for (int i = 0; i <= static_cast<int>(3.4 * hertz); ++i) {
    const double t = i / hertz, u = (t - takeoff) / air;
    const Quat before = rotation_y(to_rad(heading_deg)), after = rotation_y(to_rad(heading_deg + twist_deg));
    const Quat q = u < 0   ? slerp(before, flown.at(0), minimum_jerk(1 + u * air / 0.3))
                   : u > 1 ? slerp(flown.at(1), after, minimum_jerk((u - 1) * air / 0.3))
                           : flown.at(u);
    recording.time.push_back(t);
    recording.orientation.push_back(q);
    recording.force.emplace_back(glm::conjugate(q) * Vec3(0, u < 0 || u > 1 ? 9.80665 : 0, 0));
  }
  note_steps(recording);
  FrameAnswers answers;
  answers.forward = SignedAxis{0, 1};
  answers.up = SignedAxis{1, 1};
  answers.left_handed = false;
  Result<SettledRecord> settled = settle_record(std::move(recording), answers);
  REQUIRE_MESSAGE(settled.ok(), settled.problem().message());
  return std::move(settled).value();
}

RecordedAttempt attempt_of(double twist_deg, const Session& session, double heading_deg = 0) {
  Result<RecordedAttempt> attempt =
      recorded_attempt(settled_flight(twist_deg, heading_deg), {}, *session.ladder, session.rung);
  REQUIRE_MESSAGE(attempt.ok(), attempt.problem().message());
  return std::move(attempt).value();
}

std::shared_ptr<const RecordShown> shown(const RecordedAttempt& attempt) {
  auto record = std::make_shared<RecordShown>();
  record->path = "/tmp/attempt.csv";
  record->attempt = std::make_shared<const RecordedAttempt>(attempt);
  return record;
}

/// The sample session on its top rung, the full.
Session on_full() {
  return after(sample_session(), {ChooseRung{4}});
}

}  // namespace

TEST_CASE("a recorded flight starts where the rung does and lands where it really landed") {
  const Session s = on_full();
  // Recorded facing 70 degrees off, 25 degrees short of a full.
  const RecordedAttempt attempt = attempt_of(335, s, 70);
  REQUIRE(attempt.against);
  CHECK(std::abs(attempt.against->turn_error_deg + 25) < 2);
  CHECK_FALSE(attempt.is_short());  // 30 degrees count
  const Rung& flown = attempt.ladder->rungs[4];
  CHECK(std::abs(*attempt.measured.measures.start_heading_deg) < 0.5);
  CHECK(std::abs(wrap_deg(flown.landing.heading_deg - 335)) < 2);
  CHECK(std::abs(flown.turn_deg - 335) < 2);
  CHECK(std::abs(*flown.air_time_s - air) < 0.01);
  // The plan's own rung stays as it was.
  CHECK(s.ladder->rungs[4].landing.heading_deg == 0);
  CHECK(attempt.ladder->rungs[3].landing.heading_deg == s.ladder->rungs[3].landing.heading_deg);
  CHECK(against_words(attempt).find("25 degrees short") == 0);
  CHECK(attempt_of(300, s).is_short());
}

TEST_CASE("the turn is the record's, the limbs are the plan's, and feet touch the floor at both ends") {
  const Session s = on_full();
  const RecordedAttempt attempt = attempt_of(360, s);
  const Flight planned = drawn_flight(s.rung_now(), embedded_shapes());
  CHECK(attempt.flight.provenance() == Provenance::recorded);
  const HumanBody body = human_body(Athlete{});
  const double end = attempt.flight.duration();
  for (const double share : {0.0, 0.3, 0.5, 0.8, 1.0}) {
    CAPTURE(share);
    const FlightSample got = attempt.flight.at(share * end);
    const FlightSample limbs = planned.at(share * planned.duration());
    CHECK(got.pose == limbs.pose);
    CHECK(got.com_W.x == limbs.com_W.x);
    CHECK(angle_between(got.q_WB, attempt.flight.orientation(share * end)) < 1e-12);
  }
  for (const double t : {0.0, end}) {
    const FlightSample ends = attempt.flight.at(t);
    CHECK(ends.com_W.y == doctest::Approx(com_above_lowest_point(body, ends.pose, ends.q_WB)));
  }
  // Free fall between: a second difference of -g.
  const double h = 0.05, middle = 0.4 * end;
  const double bend = attempt.flight.at(middle + h).com_W.y - 2 * attempt.flight.at(middle).com_W.y +
                      attempt.flight.at(middle - h).com_W.y;
  CHECK(bend / (h * h) == doctest::Approx(-9.80665));
}

TEST_CASE("a record that is shown becomes a stage of its own, with its own dial, name and label") {
  Session s = on_full();
  const RecordedAttempt attempt = attempt_of(335, s);
  s = after(s, {ShowRecord{shown(attempt)}});
  REQUIRE(s.stages.size() == 2);
  CHECK(s.stages[1].source == FlightSource::recorded);
  CHECK(std::abs(wrap_deg(s.stages[1].now().landing.heading_deg - 335)) < 2);
  CHECK(s.stages[0].now().landing.heading_deg == 0);
  CHECK(stage_name(1, s.stages) == "full, recorded");
  CHECK(made_words(s.stages[1], attempt.flight) == "recorded turn, drawn limbs");
  // The table tells the two apart by what really happened.
  const FlightFacts planned_facts = flight_facts(s.stages[0].now(), attempt.flight, {});
  const FlightFacts facts = flight_facts(s.stages[1].now(), attempt.flight, {});
  const std::vector<StageFacts> both{{s.stages[0].now(), planned_facts}, {s.stages[1].now(), facts}};
  const std::vector<CompareRow> rows = compare_table(both, s.plan.walls);
  CHECK(rows[0].values[0] == "front wall");
  CHECK(rows[0].values[1] == "front wall, 25 right of it");
  // It is not kept in the plan, and goes when the record is closed.
  CHECK(view_json(s).dump().find("recorded") == std::string::npos);
  CHECK(after(s, {ShowRecord{}}).stages.empty());
}

TEST_CASE("another rung has no recorded stage until its own attempt is told") {
  Session s = on_full();
  s = after(s, {ShowRecord{shown(attempt_of(335, s))}, ChooseRung{3}});
  CHECK(s.recorded_now() == nullptr);
  s = after(s, {ShowRecord{shown(attempt_of(335, s))}});
  REQUIRE(s.recorded_now() != nullptr);
  CHECK(s.stages.back().source == FlightSource::recorded);
  CHECK(s.stages.back().rung == 3);
  // A coach who has put the stage away does not get it back with the next rung.
  s = after(s, {Compare{std::nullopt}, ChooseRung{4}});
  s = after(s, {ShowRecord{shown(attempt_of(335, s))}});
  CHECK(s.stages.empty());
}

TEST_CASE("marks, answers and the log become requests") {
  Session s = on_full();
  s = after(s, {ShowRecord{shown(attempt_of(335, s))}});
  Applied applied = apply(s, MarkRecord{1.4, 2.4}, library());
  CHECK(applied.request.kind == Request::Kind::mark_record);
  REQUIRE(applied.request.marks);
  CHECK(applied.request.marks->to == 2.4);
  applied = apply(s, AnswerRecord{"--up", "z"}, library());
  CHECK(applied.request.kind == Request::Kind::answer_record);
  CHECK(applied.request.path == "--up");
  CHECK(applied.request.words == "z");
  applied = apply(s, LogRecord{AttemptOutcome::fall}, library());
  CHECK(applied.request.kind == Request::Kind::log_record);
  CHECK(applied.request.outcome == AttemptOutcome::fall);
}

TEST_CASE("a twist to the other side is a question as long as nothing tells left from right") {
  const Session s = on_full();
  SettledRecord record = settled_flight(-360);
  const Result<RecordedAttempt> known = recorded_attempt(record, {}, *s.ladder, 4);
  REQUIRE(known.ok());
  CHECK(std::abs(known->against->turn_error_deg + 720) < 3);
  for (Convention& c : record.recording.conventions) {
    if (c.what == "hand of the axes") c.how = "assumed: the usual one";
  }
  const Result<RecordedAttempt> asked = recorded_attempt(record, {}, *s.ladder, 4);
  REQUIRE_FALSE(asked.ok());
  CHECK(asked.problem().place == "--hand");
}

TEST_CASE("questions offer the words that answer them") {
  CHECK(question_of({"", "--rest", "up or down?"}, 0).choices == std::vector<std::string>{"up", "down"});
  CHECK(question_of({"", "--bow", "which way?"}, 0).option == "--flip-toward");
  CHECK(question_of({"", "--flight", "which?"}, 3).choices == std::vector<std::string>{"1", "2", "3"});
  CHECK(question_of({"", "line 3", "is broken"}, 0).option.empty());
  CHECK(question_of({"", "line 3", "is broken"}, 0).text == "line 3: is broken");
  CHECK(question_of({"", "--axes", "which?"}, 0).choices.empty());
}

TEST_CASE("marks of a video give the best-fitting flight, by eye") {
  const Session s = on_full();
  FrameMarks marks;
  marks.frames_per_second = 60;
  marks.takeoff = 120;
  marks.landing = 168;
  marks.turned = {{120, 0}, {144, 165}, {168, 330}};
  const Result<RecordedAttempt> attempt = marked_attempt(marks, *s.ladder, 4);
  REQUIRE_MESSAGE(attempt.ok(), attempt.problem().message());
  CHECK(attempt->by_eye);
  CHECK(attempt->flight.duration() == doctest::Approx(0.8));
  CHECK(std::abs(attempt->against->turn_error_deg + 30) < 4);
  marks.turned.pop_back();
  CHECK_FALSE(marked_attempt(marks, *s.ladder, 4).ok());
}
