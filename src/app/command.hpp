#pragma once

#include <CLI/CLI.hpp>
#include <functional>

namespace halfturn {

/// Exit codes of every command.
enum class Exit : int {
  done = 0,
  no = 1,         ///< the answer is no: not feasible, gate not passed
  bad_input = 2,  ///< bad input or usage
  no_output = 3,  ///< could not write, or no display
};

/// The command that the command line chose; main runs it after parsing.
using Command = std::function<Exit()>;

/// Each adds its subcommand to the program and sets `chosen` when that subcommand is given.
void add_fly_command(CLI::App& program, Command& chosen);
void add_ladder_command(CLI::App& program, Command& chosen);
void add_measure_command(CLI::App& program, Command& chosen);
void add_chain_command(CLI::App& program, Command& chosen);
void add_draw_command(CLI::App& program, Command& chosen);
void add_athlete_command(CLI::App& program, Command& chosen);
void add_attempt_command(CLI::App& program, Command& chosen);
void add_progress_command(CLI::App& program, Command& chosen);
void add_export_command(CLI::App& program, Command& chosen);
void add_film_command(CLI::App& program, Command& chosen);
void add_share_command(CLI::App& program, Command& chosen);
void add_sheet_command(CLI::App& program, Command& chosen);
void add_spread_command(CLI::App& program, Command& chosen);

}  // namespace halfturn
