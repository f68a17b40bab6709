#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>

#include "attempt_row.hpp"
#include "format/csv.hpp"
#include "format/time_text.hpp"

namespace halfturn {
namespace {

constexpr std::array<std::string_view, 19> columns{
    "id",         "athlete",     "session",    "time",       "skill",  "twist_deg", "side",
    "takeoff",    "surface",     "setup",      "shape",      "timing", "outcome",   "heading_error_deg",
    "heading_by", "upright_deg", "upright_by", "air_time_s", "note"};

/// Other columns hold words.
bool is_number_column(std::string_view name) {
  return name == "twist_deg" || name == "heading_error_deg" || name == "upright_deg" || name == "air_time_s";
}

std::string number_text(const std::optional<double>& value) {
  return value ? fmt::format("{}", *value) : "";
}

/// A CSV row under its header as the JSON of an attempt: read_attempt_row then complains about both alike.
Json json_of_row(const std::vector<std::string>& header, const CsvRow& row) {
  Json json = Json::object();
  for (std::size_t i = 0; i < header.size(); ++i) {
    const std::string& cell = row.cells[i];
    if (cell.empty()) continue;
    const bool numeric = is_number_column(header[i]);
    double number = 0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), number);
    if (numeric && error == std::errc() && end == cell.data() + cell.size() && std::isfinite(number)) {
      json[header[i]] = number;
    } else {
      json[header[i]] = numeric ? cell : text_of_csv_cell(cell);
    }
  }
  return json;
}

}  // namespace

std::string write_attempts_csv(std::span<const AttemptRow> rows) {
  std::string text = fmt::format("{}\r\n", fmt::join(columns, ","));
  for (const AttemptRow& row : rows) {
    const AttemptRecord& r = row.record;
    const std::array<std::string, columns.size()> cells{row.id,
                                                        row.athlete,
                                                        row.session,
                                                        time_text(r.time_ms),
                                                        r.rung.skill,
                                                        fmt::format("{}", r.rung.twist_deg),
                                                        std::string(word(r.rung.side)),
                                                        r.rung.takeoff,
                                                        r.rung.surface,
                                                        r.rung.setup,
                                                        r.rung.shape,
                                                        r.rung.early ? "early" : "late",
                                                        std::string(word(r.outcome)),
                                                        number_text(r.heading_error_deg),
                                                        r.heading_measured ? "measurement" : "eye",
                                                        number_text(r.upright_deg),
                                                        r.upright_measured ? "measurement" : "eye",
                                                        number_text(r.air_time_s),
                                                        r.note};
    for (std::size_t i = 0; i < cells.size(); ++i) {
      if (i > 0) text += ',';
      text += is_number_column(columns[i]) ? csv_cell(cells[i]) : csv_text_cell(cells[i]);
    }
    text += "\r\n";
  }
  return text;
}

Result<std::vector<AttemptRow>> read_attempts_csv(std::string_view text, const std::string& file,
                                                  const Vocabulary& vocabulary) {
  Result<std::vector<CsvRow>> table = read_csv(text, file);
  if (!table) return table.problem();
  if (table->empty())
    return Problem{file, "", "is empty; a first line with the names of the columns is needed"};
  const std::vector<std::string>& header = table->front().cells;
  for (const std::string& name : header) {
    if (std::find(columns.begin(), columns.end(), name) != columns.end()) continue;
    return Problem{file, "line 1",
                   fmt::format("unknown column \"{}\"; known are {}", name, fmt::join(columns, ", "))};
  }
  std::vector<AttemptRow> rows;
  for (std::size_t k = 1; k < table->size(); ++k) {
    const CsvRow& row = (*table)[k];
    const std::string place = fmt::format("line {}", row.line);
    if (row.cells.size() != header.size()) {
      return Problem{file, place,
                     fmt::format("has {} cells, the first line names {}", row.cells.size(), header.size())};
    }
    const Json json = json_of_row(header, row);
    JsonReader::Log log{file, std::nullopt};
    rows.push_back(read_attempt_row(JsonReader(&json, place, &log), vocabulary));
    if (log.problem) return *log.problem;
  }
  return rows;
}

}  // namespace halfturn
