#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "flight/flight.hpp"
#include "ladder/finish.hpp"
#include "ladder/ladder.hpp"

namespace halfturn {

/// The climb with everything about each rung; a table of names by rungs to tick; large for a wall, both
/// sides.
enum class SheetKind : unsigned char { ladder, class_grid, wall };
enum class PaperSize : unsigned char { a4, letter };
enum class SheetFormat : unsigned char { pdf, svg };

/// Font files (OpenType); `other` has the letters that the first three lack. They must outlive the call.
struct HandoutFonts {
  std::string_view medium, bold, heavy, other;
};

using FlightOfRung = std::function<Flight(std::size_t rung)>;

struct SheetRequest {
  SheetKind kind = SheetKind::ladder;
  PaperSize paper = PaperSize::a4;
  SheetFormat format = SheetFormat::pdf;
  std::vector<std::string> names;      ///< athletes, for the class grid
  std::string whose{average_adult};    ///< whose body flies the simulated flights, for a sentence
  std::vector<FinishPlan> finishes;    ///< by rung, for the climb; empty: left out
  const Ladder* other_side = nullptr;  ///< the same plan twisting the other way, for the wall
  std::string date;                    ///< ISO 8601, of the document; empty: now
};

/// A sheet to print, as the bytes of one PDF or of one SVG per page. A problem when it cannot be drawn.
[[nodiscard]] Result<std::vector<std::string>> make_sheet(const Ladder& ladder, const FlightOfRung& flight,
                                                          const HandoutFonts& fonts,
                                                          const SheetRequest& request);

}  // namespace halfturn
