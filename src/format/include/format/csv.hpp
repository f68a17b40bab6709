#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"

namespace halfturn {

struct CsvRow {
  int line = 0;  ///< on which the row begins, from 1
  std::vector<std::string> cells;
};
/// Rows of a CSV text (RFC 4180); quotes may hold separators and line ends. Empty lines are left out. The
/// separator is a comma, or a semicolon where the first line has no comma outside quotes.
[[nodiscard]] Result<std::vector<CsvRow>> read_csv(std::string_view text, const std::string& file);

/// A cell, quoted where it must be.
[[nodiscard]] std::string csv_cell(std::string_view text);
/// A cell of words that somebody typed. Where a spreadsheet would take it for a formula (it begins with = + -
/// @ or white space that starts a cell anew) an apostrophe stands before it.
[[nodiscard]] std::string csv_text_cell(std::string_view text);
/// The words of such a cell, as they were before `csv_text_cell`.
[[nodiscard]] std::string text_of_csv_cell(std::string_view cell);

}  // namespace halfturn
