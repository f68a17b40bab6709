#include <cstdio>
#include <exception>

#include "command.hpp"
#include "window.hpp"

namespace {

/// Parses the command line and runs what it asks for.
int run(int argc, char** argv) {
  CLI::App program{
      "Halfturn plans, shows and checks the way from a skill an athlete owns to a twisting one.\n"
      "Without a command it opens the viewer on the demo plan.",
      "halfturn"};
  program.require_subcommand(0, 1);
  halfturn::WindowOptions window;
  halfturn::add_window_options(program, window);
  halfturn::Command chosen;
  halfturn::add_fly_command(program, chosen);
  halfturn::add_ladder_command(program, chosen);
  halfturn::add_chain_command(program, chosen);
  halfturn::add_measure_command(program, chosen);
  halfturn::add_draw_command(program, chosen);
  halfturn::add_athlete_command(program, chosen);
  halfturn::add_attempt_command(program, chosen);
  halfturn::add_progress_command(program, chosen);
  halfturn::add_export_command(program, chosen);
  halfturn::add_film_command(program, chosen);
  halfturn::add_share_command(program, chosen);
  halfturn::add_sheet_command(program, chosen);
  halfturn::add_spread_command(program, chosen);
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    // CLI11's own exit codes become ours: 0 after --help, else 2.
    return program.exit(error) == 0 ? 0 : static_cast<int>(halfturn::Exit::bad_input);
  }
  return static_cast<int>(chosen ? chosen() : halfturn::run_window(window));
}

}  // namespace

int main(int argc, char** argv) {
  try {
    return run(argc, argv);
  } catch (const std::exception& error) {
    std::fprintf(stderr, "halfturn: internal error: %s\n", error.what());
    return static_cast<int>(halfturn::Exit::bad_input);
  }
}
