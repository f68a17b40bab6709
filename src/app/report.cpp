#include "report.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <cstdio>

namespace halfturn {

Exit report_bad_input(const Problem& problem) {
  fmt::print(stderr, "halfturn: {}\n", problem.message());
  return Exit::bad_input;
}

Exit report_no_output(const Problem& problem) {
  fmt::print(stderr, "halfturn: {}\n", problem.message());
  return Exit::no_output;
}

void report_warning(const std::string& text) {
  fmt::print(stderr, "halfturn: note: {}\n", text);
}

Exit print(const std::string& text) {
  const bool written =
      std::fwrite(text.data(), 1, text.size(), stdout) == text.size() && std::fflush(stdout) == 0;
  return written ? Exit::done : report_no_output({"standard output", "", "cannot be written"});
}

Result<double> parse_number(const std::string& text, const std::string& option) {
  double number = 0;
  const char* first = text.data() + (text.starts_with('+') ? 1 : 0);
  const char* last = text.data() + text.size();
  const auto [end, error] = std::from_chars(first, last, number);
  if (error != std::errc() || end != last || first == last || !std::isfinite(number)) {
    return Problem{"", option, fmt::format("\"{}\" is not a number", text)};
  }
  return number;
}

Outcome set_number(std::optional<double>& target, const std::string& text, const char* option) {
  if (text.empty()) return std::nullopt;
  const Result<double> number = parse_number(text, option);
  if (!number) return number.problem();
  target = *number;
  return std::nullopt;
}

}  // namespace halfturn
