// A measured attempt of the window's record, written into the logbook.
#include <fmt/format.h>

#include <cmath>

#include "class_keeper.hpp"
#include "format/time_text.hpp"
#include "logbook_options.hpp"
#include "measured_attempt.hpp"

namespace halfturn {

std::string ClassKeeper::whose(const Session& session) const {
  if (!athlete_.empty()) return athlete_;
  if (!session.plan.athlete.empty()) return session.plan.athlete;
  const BoardPlace* place = session.board.now();
  return place == nullptr ? "" : place->name;
}

std::vector<Edit> ClassKeeper::log_measured(AttemptOutcome outcome, const Session& session) {
  const auto wrong = [](const Problem& problem) {
    return std::vector<Edit>{Notice{problem.message(), true}};
  };
  const RecordedAttempt* attempt = session.recorded_now();
  if (attempt == nullptr) return {Notice{"there is no measured attempt to log", true}};
  if (const Outcome problem = open()) return wrong(*problem);
  const Result<AthleteEntry> athlete = logbook_->athlete(whose(session));
  if (!athlete) return wrong(athlete.problem());
  NewAttempt logged;
  logged.athlete_id = athlete->id;
  logged.session = local_day(now_ms());
  AttemptRecord& record = logged.record;
  record.rung = rung_key(*session.ladder, session.rung);
  record.time_ms = now_ms();
  record.outcome = outcome;
  if (const Outcome problem =
          take_measured(record, landing_of(attempt->measured.measures), session.rung_now()))
    return wrong(*problem);
  if (attempt->by_eye) {
    // A facing by eye is good to 15 degrees; of the trunk the marks say nothing.
    record.heading_measured = record.upright_measured = false;
    record.upright_deg.reset();
    if (record.heading_error_deg) *record.heading_error_deg = 15 * std::round(*record.heading_error_deg / 15);
  }
  if (const auto complaint = attempt_complaint(record)) return {Notice{*complaint, true}};
  const Result<Added> added = logbook_->add_attempts({&logged, 1});
  if (!added) return wrong(added.problem());
  stale_ = true;
  const std::string error = heading_error_words(record);
  const std::string done =
      fmt::format("logged: {}, {}: {}{}{}, {:.2f} s", athlete->profile.name, session.rung_now().title,
                  word(outcome), error.empty() ? "" : ", ", error, *record.air_time_s);
  const Notice backup = backup_notice(done);
  std::vector<Edit> edits;
  // The class board, where it has been looked at, counts it too.
  if (!session.board.places.empty()) edits.push_back(board(session));
  edits.emplace_back(backup.text.empty() ? Notice{done, false} : backup);
  return edits;
}

}  // namespace halfturn
