#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "format/vocabulary_file.hpp"
#include "ladder/ladder.hpp"
#include "logbook/logbook.hpp"
#include "logged_athlete.hpp"
#include "session/edit.hpp"

namespace halfturn {

/// The window's only way to the logbook: answers the requests of the class board and tells where the chosen
/// athlete stands. Everything it finds out comes back as an edit.
class ClassKeeper {
 public:
  /// `path` empty: the default logbook. `athlete` empty: that of the plan, if the logbook knows the name.
  ClassKeeper(std::string path, std::string athlete) : path_(std::move(path)), athlete_(std::move(athlete)) {}

  /// Of the logbook; empty: the default one.
  [[nodiscard]] const std::string& path() const { return path_; }

  /// The board as it stands, or a notice that says why there is none.
  [[nodiscard]] Edit board(const Session& session);
  /// Logs, undoes or keeps who is there; the answers to one request.
  [[nodiscard]] std::vector<Edit> answer(const Request& request, const Session& session);
  /// Gates of the chosen athlete on the plan shown, when they may have changed; empty when they have not.
  [[nodiscard]] std::optional<Edit> gates(const Session& session);
  /// Another rung than the suggested one for the athlete whose turn it is, today.
  [[nodiscard]] std::vector<Edit> choose_rung(std::size_t rung, const Session& session);
  /// The measured attempt of the session's record, with the outcome that the coach saw.
  [[nodiscard]] std::vector<Edit> log_measured(AttemptOutcome outcome, const Session& session);
  /// Whose attempt that would be: the chosen athlete, else whose turn it is; empty: nobody's.
  [[nodiscard]] std::string whose(const Session& session) const;
  /// Everybody in the logbook; one of them as typed texts; what was typed, kept.
  [[nodiscard]] std::vector<Edit> athletes();
  [[nodiscard]] std::vector<Edit> athlete_form(std::int64_t id);
  [[nodiscard]] std::vector<Edit> save_athlete(const Session& session);
  /// The chosen athlete as last read; empty where there is none. `readings` grows with every reading.
  [[nodiscard]] const LoggedAthlete& watched() const { return watched_; }
  [[nodiscard]] int readings() const { return readings_; }

 private:
  /// A place with what the keeper needs to log for it.
  struct Training {
    std::optional<Ladder> ladder;
    std::vector<AttemptRecord> records;
    std::vector<OverrideRecord> decisions;
    std::size_t suggested = 0;
  };
  [[nodiscard]] Outcome open();
  [[nodiscard]] Notice backup_notice(const std::string& done = "") const;
  /// All athletes in the order of turns, those who are there first; who is new is there.
  [[nodiscard]] Result<std::vector<Attendance>> everybody(const std::string& session) const;
  [[nodiscard]] Result<ClassBoard> read_board(const ClassBoard& before);
  [[nodiscard]] Result<BoardPlace> read_place(std::int64_t athlete, const std::string& name,
                                              const std::string& session, Training& training);
  [[nodiscard]] Outcome watch(const std::string& name);
  [[nodiscard]] std::vector<Edit> log(const Request& request, const Session& session);

  std::string path_, athlete_;
  std::optional<Logbook> logbook_;
  std::map<std::int64_t, std::size_t> chosen_;  ///< rungs of the coach's own choice, by athlete
  std::vector<Training> training_;              ///< by place of the board
  std::shared_ptr<const Ladder> told_;
  LoggedAthlete watched_;  ///< the chosen athlete, as last read
  std::string watched_name_;
  int readings_ = 0;
  bool stale_ = true;     ///< something was logged since
  bool is_read_ = false;  ///< the last reading went well
};

}  // namespace halfturn
