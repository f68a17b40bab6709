#include "format/csv.hpp"

#include <fmt/format.h>

namespace halfturn {
namespace {

char separator_of(std::string_view text) {
  bool quoted = false;
  bool semicolon = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == ',') return ',';
    if (c == ';') semicolon = true;
    if (c == '\n') break;
  }
  return semicolon ? ';' : ',';
}

}  // namespace

Result<std::vector<CsvRow>> read_csv(std::string_view text, const std::string& file) {
  if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
  const char separator = separator_of(text);
  std::vector<CsvRow> rows;
  CsvRow row{1, {""}};
  int line = 1;
  bool quoted = false;
  bool was_quoted = false;  // the cell had quotes: it is there even when it is empty
  const auto end_row = [&] {
    if (row.cells.size() > 1 || !row.cells[0].empty() || was_quoted) rows.push_back(std::move(row));
    row = CsvRow{line, {""}};
    was_quoted = false;
  };
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '\n') ++line;
    std::string& cell = row.cells.back();
    if (quoted) {
      if (c != '"') {
        cell += c;
      } else if (i + 1 < text.size() && text[i + 1] == '"') {
        cell += c;
        ++i;
      } else {
        quoted = false;
      }
    } else if (c == '"') {
      if (!cell.empty()) {
        return Problem{file, fmt::format("line {}", line),
                       "a quote stands inside a cell that does not begin with one"};
      }
      quoted = was_quoted = true;
    } else if (c == separator) {
      row.cells.emplace_back();
    } else if (c == '\n') {
      end_row();
    } else if (c != '\r') {
      cell += c;
    }
  }
  if (quoted) return Problem{file, fmt::format("line {}", row.line), "a quote is opened and never closed"};
  end_row();
  return rows;
}

namespace {

/// Whether a spreadsheet would take a text that begins so for a formula (OWASP, "CSV Injection").
bool begins_formula(std::string_view text) {
  return !text.empty() && std::string_view("=+-@\t\r\n").find(text.front()) != std::string_view::npos;
}

}  // namespace

// A text of our own that begins with such a quote gets one more, so that every text comes back as it was.
std::string csv_text_cell(std::string_view text) {
  std::string_view rest = text;
  while (rest.starts_with('\'')) rest.remove_prefix(1);
  return csv_cell(begins_formula(rest) ? "'" + std::string(text) : std::string(text));
}

std::string text_of_csv_cell(std::string_view cell) {
  std::string_view rest = cell;
  while (rest.starts_with('\'')) rest.remove_prefix(1);
  if (cell.starts_with('\'') && begins_formula(rest)) cell.remove_prefix(1);
  return std::string(cell);
}

std::string csv_cell(std::string_view text) {
  if (text.find_first_of(",;\"\r\n") == std::string_view::npos) return std::string(text);
  std::string cell = "\"";
  for (const char c : text) {
    if (c == '"') cell += c;
    cell += c;
  }
  return cell + '"';
}

}  // namespace halfturn
