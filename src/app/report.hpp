#pragma once

#include <optional>
#include <string>

#include "base/result.hpp"
#include "command.hpp"

namespace halfturn {

/// Prints a problem on standard error and gives the exit code for bad input.
Exit report_bad_input(const Problem& problem);
/// Prints a problem on standard error and gives the exit code for what could not be written or shown.
Exit report_no_output(const Problem& problem);
/// A warning on standard error; the command goes on.
void report_warning(const std::string& text);

/// Writes a text to standard output; a closed or full output is reported.
Exit print(const std::string& text);

/// A whole text as a finite number; the problem names the option.
[[nodiscard]] Result<double> parse_number(const std::string& text, const std::string& option);
/// Sets a number from an option that may be empty, which leaves it as it is.
[[nodiscard]] Outcome set_number(std::optional<double>& target, const std::string& text, const char* option);

}  // namespace halfturn
