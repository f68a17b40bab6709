#include <exception>

#include "command.hpp"

namespace {

/// CLI11's own exit codes become ours: 0 after --help and --version, else 2.
int usage_exit(const CLI::App& program, const CLI::ParseError& error) {
  return program.exit(error) == 0 ? 0 : static_cast<int>(halfturn::Exit::bad_input);
}

}  // namespace

int main(int argc, char** argv) {
  CLI::App program{
      "Halfturn plans, shows and checks the way from a skill an athlete owns to a twisting one.\n"
      "Without a command it opens the viewer on the demo plan.",
      "halfturn"};
  program.require_subcommand(0, 1);
  halfturn::Command chosen;
  halfturn::add_ladder_command(program, chosen);
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    return usage_exit(program, error);
  }
  return chosen ? static_cast<int>(chosen()) : 0;
}
