#pragma once

#include <span>
#include <string>
#include <vector>

#include "ladder/progress.hpp"

namespace halfturn {

/// One rung of a chart.
struct ChartLine {
  std::string title, note;  ///< the note stands under the title
  std::vector<SessionProgress> sessions;
  bool passed = false;
};
/// A chart for the wall as SVG, target on top: for every rung and session a bar as high as the share of
/// controlled landings, with the counts under it; crashes as crosses. Rungs without attempts have an empty
/// row.
[[nodiscard]] std::string progress_chart_svg(const std::string& athlete, std::span<const ChartLine> lines);

}  // namespace halfturn
