#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "format/recording_file.hpp"

namespace halfturn {

/// What a column of a record holds.
enum class Quantity : unsigned char { time, orientation, rate, force, place, height };

/// A header cell understood.
struct NamedColumn {
  Quantity quantity = Quantity::time;
  int component = 0;           ///< orientation: 0 w, 1 x, 2 y, 3 z; others: 0 x, 1 y, 2 z
  std::string set;             ///< what stands before the name: "root", "left_wrist", often empty
  std::optional<double> unit;  ///< of the quantity in SI, where the header says so
};
/// Empty for a name that says nothing this program knows.
[[nodiscard]] std::optional<NamedColumn> named_column(std::string_view name);

/// Which column holds what; -1 where there is none.
struct ColumnPlan {
  int time = -1, height = -1;
  std::array<int, 4> orientation{-1, -1, -1, -1};
  std::array<int, 3> rate{-1, -1, -1}, force{-1, -1, -1}, place{-1, -1, -1};
  std::optional<double> time_unit, rate_unit, force_unit;
  double place_unit = 1, height_unit = 1;
  bool own_table = false;
  std::string set;
};
/// Chooses the columns of a header. Problems ask which, or say what is missing.
[[nodiscard]] Result<ColumnPlan> plan_columns(const std::vector<std::string>& header,
                                              const ColumnAnswers& answers);

}  // namespace halfturn
