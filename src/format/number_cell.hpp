#pragma once

#include <charconv>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string_view>

namespace halfturn {

/// A cell without the blanks and quotes around it.
[[nodiscard]] inline std::string_view trimmed(std::string_view cell) {
  while (!cell.empty() && (cell.front() == ' ' || cell.front() == '"')) cell.remove_prefix(1);
  while (!cell.empty() && (cell.back() == ' ' || cell.back() == '"' || cell.back() == '\r'))
    cell.remove_suffix(1);
  return cell;
}

/// Whether all of a cell is one finite number: "info" and "nanoseconds" begin like one and are none.
[[nodiscard]] inline bool is_number_cell(std::string_view cell) {
  if (cell.starts_with('+')) cell.remove_prefix(1);
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return error == std::errc() && end == cell.data() + cell.size() && std::isfinite(value);
}

/// The whole number that a cell is, if it is one up to 4e18: any two of them have a difference that does not
/// overflow, and nanoseconds since 1970 stay exact, as doubles do not.
[[nodiscard]] inline std::optional<std::int64_t> whole_number_cell(std::string_view cell) {
  constexpr std::int64_t most = 4'000'000'000'000'000'000;
  if (cell.starts_with('+')) cell.remove_prefix(1);
  std::int64_t value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  if (error != std::errc() || end != cell.data() + cell.size() || value > most || value < -most)
    return std::nullopt;
  return value;
}

}  // namespace halfturn
