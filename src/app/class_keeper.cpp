#include "class_keeper.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "format/plan_file.hpp"
#include "format/time_text.hpp"
#include "ladder/turn.hpp"
#include "logbook_options.hpp"

namespace halfturn {
namespace {

/// A class is twelve; more do not fit a board that is read from afar.
constexpr std::size_t most_places = 12;

/// Going higher than the gate suggests is a decision beside it: kept with the first attempt made there.
std::vector<OverrideRecord> moves_on(const Ladder& ladder, std::size_t suggested, std::size_t rung) {
  std::vector<OverrideRecord> decisions;
  for (std::size_t k = suggested; k < rung; ++k)
    decisions.push_back({rung_key(ladder, k), now_ms(), Suggestion::move_on, "chosen on the class board"});
  return decisions;
}

}  // namespace

Outcome ClassKeeper::open() {
  if (logbook_) return std::nullopt;
  Result<Logbook> opened = open_logbook({path_, false}, Logbook::Mode::write);
  if (!opened) return opened.problem();
  logbook_ = std::move(opened).value();
  return std::nullopt;
}

/// Says when the backup of the day could not be made, after what was done all the same; else nothing.
Notice ClassKeeper::backup_notice(const std::string& done) const {
  const std::string& trouble = logbook_->backup_trouble();
  if (trouble.empty()) return {"", false};
  return {fmt::format("{}{}kept, but the backup of today could not be made: {}", done,
                      done.empty() ? "" : "; ", trouble),
          true};
}

Result<BoardPlace> ClassKeeper::read_place(std::int64_t athlete, const std::string& name,
                                           const std::string& session, Training& training) {
  BoardPlace place;
  place.athlete = athlete;
  place.name = name;
  Result<std::vector<AttemptRecord>> records = logbook_->records(athlete);
  if (!records) return records.problem();
  training.records = std::move(records).value();
  Result<std::vector<OverrideRecord>> decisions = logbook_->decisions(athlete);
  if (!decisions) return decisions.problem();
  training.decisions = std::move(decisions).value();
  const Result<std::vector<PlanInWork>> plans = logbook_->plans(athlete);
  if (!plans) return plans.problem();
  training.ladder.reset();
  if (plans->empty()) return place;
  const Result<PlanFile> plan = read_plan(plans->front().text, plans->front().title);
  if (!plan) {
    place.reason = "The plan in work cannot be read: " + plan.problem().message();
    return place;
  }
  Result<Ladder> ladder = make_ladder(plan->plan, built_in_vocabulary(), built_in_difficulty());
  if (!ladder) {
    place.reason = "The plan in work gives no ladder: " + ladder.problem().message();
    return place;
  }
  const Result<std::vector<AttemptEntry>> today =
      logbook_->attempts({.athlete_id = athlete, .session = session});
  if (!today) return today.problem();
  std::vector<AttemptRecord> of_session;
  for (const AttemptEntry& entry : *today) of_session.push_back(entry.record);
  const std::vector<Gate> gates = halfturn::gates(*ladder, training.records, training.decisions);
  const Turn turn = next_turn(*ladder, gates, of_session);
  std::size_t at = turn.rung;
  if (const auto chosen = chosen_.find(athlete); chosen != chosen_.end()) {
    at = std::min(chosen->second, ladder->rungs.size() - 1);
    place.chosen = at != turn.rung;
    if (!place.chosen) chosen_.erase(chosen);
  }
  training.suggested = suggested_rung(gates);
  const Rung& rung = ladder->rungs[at];
  place.plan = plans->front().title;
  place.rung = at;
  place.rung_title = rung.title;
  place.surface = rung.surface;
  place.side = rung.side;
  place.gate = gate_shown(gates[at], ladder->plan.gate);
  place.reason = gates[at].reason;
  place.recheck = turn.recheck && !place.chosen;
  place.attempts = turn.attempts;
  place.cap = ladder->plan.gate.attempts_cap;
  training.ladder = std::move(ladder).value();
  return place;
}

Result<std::vector<Attendance>> ClassKeeper::everybody(const std::string& session) const {
  const Result<std::vector<AthleteEntry>> athletes = logbook_->athletes();
  if (!athletes) return athletes.problem();
  Result<std::vector<Attendance>> kept = logbook_->attendance(session);
  if (!kept) return kept.problem();
  std::vector<Attendance> all = std::move(kept).value();
  for (const AthleteEntry& entry : *athletes) {
    const bool listed =
        std::any_of(all.begin(), all.end(), [&](const Attendance& a) { return a.athlete_id == entry.id; });
    if (!listed) all.push_back({entry.id, entry.profile.name, false});
  }
  // A larger club than the board has places: who is absent makes room for the next.
  std::stable_partition(all.begin(), all.end(), [](const Attendance& a) { return !a.absent; });
  return all;
}

Result<ClassBoard> ClassKeeper::read_board(const ClassBoard& before) {
  ClassBoard board;
  board.session = local_day(now_ms());
  board.last = before.last;
  const Result<std::vector<AthleteEntry>> athletes = logbook_->athletes();
  if (!athletes) return athletes.problem();
  for (const AthleteEntry& entry : *athletes) board.crashes += static_cast<int>(entry.crashes);
  Result<std::vector<Attendance>> all = everybody(board.session);
  if (!all) return all.problem();
  std::vector<Attendance> attendance = std::move(all).value();
  if (attendance.size() > most_places) attendance.resize(most_places);
  training_.assign(attendance.size(), {});
  for (std::size_t i = 0; i < attendance.size(); ++i) {
    const Attendance& a = attendance[i];
    Result<BoardPlace> place = read_place(a.athlete_id, a.athlete, board.session, training_[i]);
    if (!place) return place.problem();
    board.places.push_back(std::move(place).value());
    board.places.back().absent = a.absent;
  }
  // The same athlete's turn as before, wherever that place is now.
  const BoardPlace* turn = before.now();
  for (std::size_t i = 0; turn != nullptr && i < board.places.size(); ++i) {
    if (board.places[i].athlete == turn->athlete) board.next = i;
  }
  if (const BoardPlace* now = board.now(); now != nullptr && now->absent)
    board.next = next_place(board, board.next);
  return board;
}

Edit ClassKeeper::board(const Session& session) {
  if (const Outcome problem = open()) return Notice{problem->message(), true};
  Result<ClassBoard> board = read_board(session.board);
  if (!board) return Notice{board.problem().message(), true};
  return ShowBoard{std::move(board).value()};
}

std::vector<Edit> ClassKeeper::choose_rung(std::size_t rung, const Session& session) {
  const BoardPlace* place = session.board.now();
  if (place == nullptr) return {};
  chosen_[place->athlete] = rung;
  return {board(session)};
}

std::vector<Edit> ClassKeeper::log(const Request& request, const Session& session) {
  const ClassBoard& board = session.board;
  const BoardPlace* place = board.now();
  if (place == nullptr || board.next >= training_.size() || !training_[board.next].ladder) {
    return {
        Notice{"this athlete has no plan in work yet: halfturn athlete change NAME --plan FILE, or "
               "\"athletes\" here",
               true}};
  }
  NewAttempt attempt;
  attempt.athlete_id = place->athlete;
  attempt.session = board.session;
  attempt.record.rung = rung_key(*training_[board.next].ladder, place->rung);
  attempt.record.time_ms = now_ms();
  attempt.record.outcome = request.outcome;
  attempt.record.heading_error_deg = request.error_deg;
  if (place->chosen)
    attempt.decisions = moves_on(*training_[board.next].ladder, training_[board.next].suggested, place->rung);
  const Result<Added> added = logbook_->add_attempts({&attempt, 1});
  // Nothing was written: the tap stays, so that it can be given again.
  if (!added) return {Notice{added.problem().message(), true}};
  stale_ = true;
  ClassBoard next = board;
  next.tapped.reset();
  const std::string error = heading_error_words(attempt.record);
  next.last = fmt::format("{}, {}: {}{}{}", place->name, place->rung_title, word(request.outcome),
                          error.empty() ? "" : ", ", error);
  if (request.outcome == AttemptOutcome::fall) ++next.crashes;
  Result<BoardPlace> fresh = read_place(place->athlete, place->name, board.session, training_[board.next]);
  if (fresh) next.places[board.next] = std::move(fresh).value();
  next.next = next_place(next, board.next);
  const Notice backup = backup_notice(next.last);
  return {ShowBoard{std::move(next)}, backup};
}

std::vector<Edit> ClassKeeper::answer(const Request& request, const Session& session) {
  if (const Outcome problem = open()) return {Notice{problem->message(), true}};
  switch (request.kind) {
    case Request::Kind::log_attempt:
      return log(request, session);
    case Request::Kind::undo_attempt: {
      const Result<std::optional<AttemptEntry>> undone = logbook_->undo_last(std::nullopt, now_ms());
      if (!undone) return {Notice{undone.problem().message(), true}};
      if (!*undone) return {Notice{"there is no attempt to undo", false}};
      stale_ = true;
      Result<ClassBoard> read = read_board(session.board);
      if (!read) return {Notice{read.problem().message(), true}};
      ClassBoard board = std::move(read).value();
      // It is that athlete's turn again.
      for (std::size_t i = 0; i < board.places.size(); ++i) {
        if (board.places[i].athlete == (*undone)->athlete_id) board.next = i;
      }
      board.last = fmt::format("undone: {}, {}", (*undone)->athlete, word((*undone)->record.outcome));
      const Notice backup = backup_notice(board.last);
      return {ShowBoard{std::move(board)}, backup};
    }
    case Request::Kind::keep_attendance: {
      Result<std::vector<Attendance>> all = everybody(session.board.session);
      if (!all) return {Notice{all.problem().message(), true}};
      std::vector<Attendance> marked = std::move(all).value();
      for (Attendance& a : marked) {
        for (const BoardPlace& place : session.board.places) {
          if (place.athlete == a.athlete_id) a.absent = place.absent;
        }
      }
      if (const Outcome problem = logbook_->put_attendance(session.board.session, marked)) {
        return {Notice{problem->message(), true}};
      }
      return {board(session), backup_notice()};
    }
    default:
      return {};
  }
}

/// Reads the attempts of the chosen athlete unless they are known. Looking must not make a logbook.
Outcome ClassKeeper::watch(const std::string& name) {
  if (!stale_ && is_read_ && watched_name_ == name) return std::nullopt;
  // What cannot be read now is tried again with the next plan or attempt, not with every frame.
  stale_ = is_read_ = false;
  ++readings_;
  watched_name_ = name;
  watched_ = {};
  if (!name.empty()) {
    const Result<Logbook> opened = open_logbook({path_, false}, Logbook::Mode::read);
    if (!opened) return opened.problem();
    Result<LoggedAthlete> logged = read_logged(*opened, name);
    if (!logged) return logged.problem();
    watched_ = std::move(logged).value();
  }
  is_read_ = true;
  return std::nullopt;
}

std::optional<Edit> ClassKeeper::gates(const Session& session) {
  const std::string& name = athlete_.empty() ? session.plan.athlete : athlete_;
  if (!stale_ && told_ == session.ladder && watched_name_ == name) return std::nullopt;
  told_ = session.ladder;
  const Outcome problem = watch(name);
  // A plan may name somebody whom this logbook does not know.
  if (problem && !athlete_.empty()) return Notice{problem->message(), true};
  ShowGates told{{}, 0};
  if (!watched_.records.empty() || !watched_.decisions.empty()) {
    for (const Gate& gate : halfturn::gates(*session.ladder, watched_.records, watched_.decisions)) {
      told.gates.push_back(gate_shown(gate, session.ladder->plan.gate));
      told.crashes += gate.crashes;
    }
  }
  if (told.gates.empty() && session.gates.empty()) return std::nullopt;
  return told;
}

}  // namespace halfturn
