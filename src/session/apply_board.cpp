#include <algorithm>

#include "apply.hpp"

namespace halfturn {

void Applier::operator()(const ShowBoard& edit) {
  s.board = edit.board;
}

void Applier::operator()(const ShowGates& edit) {
  s.gates = edit.gates;
  s.crashes = edit.crashes;
}

void Applier::operator()(const ShowAir& edit) {
  s.air = edit.air;
  s.flown_by = edit.flown_by;
  s.flown_by_logged = edit.logged;
}

void Applier::operator()(const ChooseBoardRung& edit) {
  const BoardPlace* place = s.board.now();
  if (place == nullptr || place->plan.empty()) return;
  const auto rung = static_cast<std::int64_t>(place->rung) + edit.by;
  if (rung < 0) return;
  request.kind = Request::Kind::choose_board_rung;
  request.number = rung;
}

void Applier::operator()(const ShowAthletes& edit) {
  s.athletes = edit.athletes;
}

void Applier::operator()(const EditAthlete& edit) {
  request.kind = Request::Kind::edit_athlete;
  request.number = edit.id;
}

void Applier::operator()(const ShowAthlete& edit) {
  (*this)(ShowSheet{Sheet::athlete});
  s.form = edit.form;
}

void Applier::operator()(const TypeAthlete& edit) {
  s.form = edit.form;
}

void Applier::operator()(const SaveAthlete&) {
  request.kind = Request::Kind::save_athlete;
}

void Applier::operator()(const ShowSpread& edit) {
  s.spread = edit.spread;
}

void Applier::operator()(const ChooseThreshold& edit) {
  s.spread_threshold = std::clamp(edit.share, 0.5, 0.99);
}

void Applier::operator()(const ChooseHandOver& edit) {
  if (s.hand_over.running) return;
  s.hand_over.path = hand_over_path(s, s.hand_over, edit.form);
  s.hand_over.form = edit.form;
  s.notice.clear();
}

void Applier::operator()(const TypeHandOver& edit) {
  if (!s.hand_over.running) s.hand_over.path = edit.path;
}

void Applier::operator()(const StartHandOver&) {
  if (!s.hand_over.running) request.kind = Request::Kind::start_hand_over;
}

void Applier::operator()(const CancelHandOver&) {
  if (s.hand_over.running) request.kind = Request::Kind::cancel_hand_over;
}

void Applier::operator()(const HandOverNews& edit) {
  s.hand_over.running = edit.running;
  s.hand_over.percent = edit.percent;
}

void Applier::operator()(const TapOutcome& edit) {
  const BoardPlace* place = s.board.now();
  if (place == nullptr || place->plan.empty()) return say(s, "this athlete has no plan in work yet", true);
  s.board.tapped = edit.outcome;
  if (needs_no_heading(edit.outcome)) request = {Request::Kind::log_attempt, "", edit.outcome, {}};
}

void Applier::operator()(const TapHeading& edit) {
  if (s.board.tapped) request = {Request::Kind::log_attempt, "", *s.board.tapped, edit.error_deg};
}

void Applier::operator()(const Untap&) {
  s.board.tapped.reset();
}

void Applier::operator()(const PickPlace& edit) {
  s.board.tapped.reset();
  if (edit.place < s.board.places.size()) s.board.next = edit.place;
}

void Applier::operator()(const SkipPlace&) {
  s.board.tapped.reset();
  s.board.next = next_place(s.board, s.board.next);
}

void Applier::operator()(const MarkAbsent& edit) {
  if (edit.place >= s.board.places.size()) return;
  s.board.places[edit.place].absent = edit.absent;
  if (edit.absent && edit.place == s.board.next) (*this)(SkipPlace{});
  request = {Request::Kind::keep_attendance, ""};
}

void Applier::operator()(const UndoAttempt&) {
  s.board.tapped.reset();
  request = {Request::Kind::undo_attempt, ""};
}

void Applier::operator()(const ShowRecord& edit) {
  // A coach who has put the recorded stage away is not shown it again with every rung.
  const bool is_new = !s.record || !s.record->attempt || s.sheet == Sheet::record;
  s.record = edit.record;
  if (s.recorded_now() == nullptr) {
    if (s.look.comparison) s.look.comparison = without_record(*s.look.comparison);
    return;
  }
  if (is_new) s.look.comparison = with_record(s.look.comparison);
  s.look.wall = false;
  if (s.sheet == Sheet::record) s.picked_stage = recorded_stage(s.look.comparison);
}

void Applier::operator()(const OpenRecord& edit) {
  request = {Request::Kind::open_record, edit.path};
}

void Applier::operator()(const AnswerRecord& edit) {
  request = {Request::Kind::answer_record, edit.option};
  request.words = edit.words;
}

void Applier::operator()(const MarkRecord& edit) {
  request.kind = Request::Kind::mark_record;
  request.marks = Span{edit.takeoff_s, edit.landing_s};
}

void Applier::operator()(const UnmarkRecord&) {
  request.kind = Request::Kind::mark_record;
}

void Applier::operator()(const LogRecord& edit) {
  request.kind = Request::Kind::log_record;
  request.outcome = edit.outcome;
}

}  // namespace halfturn
