// Two taps make a request to log; nothing else of the board is done by the session itself.
#include <doctest/doctest.h>

#include "sample.hpp"
#include "session/class_board.hpp"

using namespace halfturn;

namespace {

ClassBoard class_of(int count) {
  ClassBoard board;
  board.session = "2026-11-25";
  for (int i = 0; i < count; ++i) {
    BoardPlace place;
    place.athlete = 100 + i;
    place.name = "athlete " + std::to_string(i);
    place.plan = "full";
    board.places.push_back(place);
  }
  return board;
}

Applied applied(const Session& session, const Edit& edit) {
  return apply(session, edit, library());
}

}  // namespace

TEST_CASE("two taps ask to log an attempt, a fall takes one") {
  Session s = sample_session();
  s = applied(s, ShowBoard{class_of(3)}).session;
  Applied first = applied(s, TapOutcome{AttemptOutcome::in_hand});
  CHECK(first.request.kind == Request::Kind::none);
  CHECK(first.session.board.tapped == AttemptOutcome::in_hand);
  const Applied second = applied(first.session, TapHeading{-15.0});
  CHECK(second.request.kind == Request::Kind::log_attempt);
  CHECK(second.request.outcome == AttemptOutcome::in_hand);
  CHECK(second.request.error_deg == -15);
  CHECK(applied(first.session, Untap{}).session.board.tapped == std::nullopt);
  const Applied fall = applied(s, TapOutcome{AttemptOutcome::fall});
  CHECK(fall.request.kind == Request::Kind::log_attempt);
  CHECK_FALSE(fall.request.error_deg);
  // A heading without an outcome is nothing.
  CHECK(applied(s, TapHeading{0.0}).request.kind == Request::Kind::none);
}

TEST_CASE("nothing is logged for an athlete without a plan") {
  ClassBoard board = class_of(1);
  board.places[0].plan.clear();
  Session s = applied(sample_session(), ShowBoard{board}).session;
  const Applied tapped = applied(s, TapOutcome{AttemptOutcome::fall});
  CHECK(tapped.request.kind == Request::Kind::none);
  CHECK(tapped.session.notice_is_problem);
}

TEST_CASE("turns go round, past the absent and those who have had enough") {
  ClassBoard board = class_of(4);
  board.places[1].absent = true;
  board.places[2].attempts = board.places[2].cap;
  CHECK(next_place(board, 0) == 3);
  CHECK(next_place(board, 3) == 0);
  // When all have had enough, turns still go on; alone it is one's own turn.
  for (BoardPlace& place : board.places) place.attempts = place.cap;
  CHECK(next_place(board, 0) == 2);
  for (BoardPlace& place : board.places) place.absent = true;
  CHECK(next_place(board, 2) == 2);

  Session s = applied(sample_session(), ShowBoard{class_of(3)}).session;
  CHECK(applied(s, SkipPlace{}).session.board.next == 1);
  const Applied absent = applied(s, MarkAbsent{0, true});
  CHECK(absent.request.kind == Request::Kind::keep_attendance);
  CHECK(absent.session.board.places[0].absent);
  CHECK(absent.session.board.next == 1);
  CHECK(applied(s, PickPlace{2}).session.board.next == 2);
  CHECK(applied(s, PickPlace{9}).session.board.next == 0);
  CHECK(applied(s, UndoAttempt{}).request.kind == Request::Kind::undo_attempt);
}

TEST_CASE("a crash shows on its rung and on the one it leads back to") {
  const Session s = sample_session();
  const Ladder& ladder = *s.ladder;
  std::vector<AttemptRecord> attempts;
  const auto add = [&](std::size_t rung, AttemptOutcome outcome) {
    AttemptRecord attempt;
    attempt.rung = rung_key(ladder, rung);
    attempt.time_ms = 60'000 * static_cast<std::int64_t>(attempts.size());
    attempt.outcome = outcome;
    attempt.heading_error_deg = 0;
    attempts.push_back(attempt);
  };
  const auto shown = [&](std::size_t rung) {
    return gate_shown(gates(ladder, attempts)[rung], ladder.plan.gate);
  };
  for (int i = 0; i < 3; ++i) add(1, AttemptOutcome::in_hand);
  CHECK(shown(1).controlled == 3);
  CHECK_FALSE(shown(1).again);
  add(2, AttemptOutcome::fall);
  CHECK(shown(2).back);
  CHECK(shown(1).again);
  CHECK(shown(1).controlled == 0);
  add(1, AttemptOutcome::in_hand);
  CHECK(shown(1).controlled == 1);
  add(1, AttemptOutcome::in_hand);
  add(1, AttemptOutcome::in_hand);
  CHECK_FALSE(shown(1).again);
  CHECK_FALSE(shown(2).back);
}
