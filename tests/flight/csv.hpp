#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

/// Rows of a table in tests/data by column name; lines that start with # are its source.
inline std::vector<std::map<std::string, std::string>> read_table(const std::string& name) {
  std::ifstream file(std::string(TEST_DATA) + "/" + name);
  REQUIRE(file.good());
  std::vector<std::string> header;
  std::vector<std::map<std::string, std::string>> rows;
  for (std::string line; std::getline(file, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (const char c : line) {
      if (c == '"') {
        quoted = !quoted;
      } else if (c == ',' && !quoted) {
        cells.emplace_back();
      } else if (c != '\r') {
        cells.back() += c;
      }
    }
    if (header.empty()) {
      header = cells;
      continue;
    }
    REQUIRE(cells.size() == header.size());
    std::map<std::string, std::string>& row = rows.emplace_back();
    for (std::size_t i = 0; i < cells.size(); ++i) row[header[i]] = cells[i];
  }
  REQUIRE(!rows.empty());
  return rows;
}

inline double number(const std::map<std::string, std::string>& row, const std::string& column) {
  return std::stod(row.at(column));
}
