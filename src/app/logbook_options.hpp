#pragma once

#include <CLI/CLI.hpp>
#include <cstdint>
#include <memory>
#include <string>

#include "base/result.hpp"
#include "command.hpp"
#include "format/attempt_file.hpp"
#include "ladder/ladder.hpp"
#include "logbook/logbook.hpp"
#include "logged_athlete.hpp"

namespace halfturn {

/// Options that every command on the logbook has.
struct LogbookOptions {
  std::string logbook;  ///< path; empty: the default
  bool json = false;
};
void add_logbook_options(CLI::App& command, LogbookOptions& options);

/// The logbook in the user's data folder (XDG base directory specification).
[[nodiscard]] std::string default_logbook();
/// Opens the logbook that the options name; write mode makes its folder.
[[nodiscard]] Result<Logbook> open_logbook(const LogbookOptions& options, Logbook::Mode mode);
/// Says a problem and gives its exit code: 3 when something could not be written, else 2.
Exit report_logbook(const Problem& problem);
/// Says when the daily backup could not be made.
void report_backup(const Logbook& logbook);

[[nodiscard]] std::int64_t now_ms();

/// Options that name a rung: of a plan file, of the athlete's plan in work, or a skill by itself.
struct RungOptions {
  std::string plan, rung, base, twist, side, takeoff, surface, setup, shape, vocabulary;
};
void add_rung_options(CLI::App& command, RungOptions& options, bool rung);

/// A ladder together with the vocabulary it points into.
struct ChosenLadder {
  std::shared_ptr<const Vocabulary> vocabulary;
  Ladder ladder;
  [[nodiscard]] const Rung& rung(std::size_t index) const { return ladder.rungs[index]; }
};
/// The ladder the options name; else that of the plan which the athlete saved last. Empty: there is none.
[[nodiscard]] Result<std::optional<ChosenLadder>> choose_ladder(const RungOptions& options,
                                                                const Logbook& logbook,
                                                                const AthleteEntry& athlete);
/// The rung of the options in a ladder; the problem lists the rungs.
[[nodiscard]] Result<std::size_t> choose_rung(const RungOptions& options, const Ladder& ladder);

/// Gates of a ladder from an athlete's attempts and decisions.
[[nodiscard]] Result<std::vector<Gate>> gates_of(const Logbook& logbook, const AthleteEntry& athlete,
                                                 const Ladder& ladder);

/// An athlete by name in a logbook, empty: the default one; without a name the plan's athlete.
[[nodiscard]] Result<LoggedAthlete> named_athlete(const std::string& logbook, const std::string& name,
                                                  const Ladder& ladder);
/// The same for an athlete by name; without a name those of the plan's athlete if a logbook is named, else
/// none.
[[nodiscard]] Result<std::vector<Gate>> named_gates(const std::string& logbook, const std::string& name,
                                                    const Ladder& ladder);
/// Gates for a person, target on top; empty when there are none.
[[nodiscard]] std::string gates_text(const Ladder& ladder, const std::vector<Gate>& gates);

/// A JSON object as a command prints it; text that is not UTF-8 is replaced.
[[nodiscard]] std::string json_text(const Json& json);
/// "AB" of "Ana Bianchi": what handed-over material calls an athlete unless the coach asks for the name.
[[nodiscard]] std::string initials(const std::string& name);
[[nodiscard]] AttemptRow row_of(const AttemptEntry& entry);
/// "back flip", or "back flip +360 right, trampoline" of a rung without its ladder.
[[nodiscard]] std::string rung_words(const RungKey& key);

}  // namespace halfturn
