#pragma once

#include "handout/sheet.hpp"
#include "sheet_parts.hpp"

namespace halfturn {

/// What every page of a sheet is made from.
struct SheetJob {
  Paper& paper;
  const Ladder& ladder;
  const FlightOfRung& flight;
  const SheetRequest& request;
};

// Points: around a page, for its title, and for what stands at its foot.
inline constexpr double page_margin = 34, page_head = 46, page_foot = 30;
/// Height between title and foot.
[[nodiscard]] double page_room(const Paper& paper);

/// Title, a line under it and the caution at the foot; gives the box that is left between them.
PaperBox draw_page_frame(SheetJob& job, const std::string& title, const std::string& under, std::size_t page,
                         std::size_t pages);

/// "B" or the number of a rung.
[[nodiscard]] std::string rung_label(std::size_t rung);
/// "half left", "no turn".
[[nodiscard]] std::string turned_words(double turn_deg);
/// "lands blind, on two feet".
[[nodiscard]] std::string landing_words(const Rung& rung);
/// "twists left, the start is held, sprung floor".
[[nodiscard]] std::string plan_words(const Ladder& ladder);

/// Who made the flights of the sheet, as a sentence.
[[nodiscard]] std::string flights_words(const SheetJob& job);

void draw_ladder_pages(SheetJob& job);
void draw_class_pages(SheetJob& job);
void draw_wall_pages(SheetJob& job);

}  // namespace halfturn
