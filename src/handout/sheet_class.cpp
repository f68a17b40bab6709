#include <fmt/format.h>

#include <algorithm>

#include "sheet_pages.hpp"

namespace halfturn {
namespace {

constexpr double head = 108, row = 25, name_width = 128;  // points
constexpr std::size_t most_columns = 9;

/// The rung at the head of a column: number, dial, name, wall.
void draw_column_head(SheetJob& job, std::size_t k, const PaperBox& box) {
  Paper& paper = job.paper;
  const Palette& c = paper_palette();
  const Rung& rung = job.ladder.rungs[k];
  const double centre = box.x + 0.5 * box.w;
  paper.open("P");
  paper.disc({centre - 19, box.y + 26}, 8.5, c.plate, c.ink, 1);
  paper.text({centre - 19, box.y + 29.3}, k < 100 ? 9 : 7, Weight::bold, c.ink, rung_label(k), Align::centre);
  draw_small_dial(paper, {centre + 13, box.y + 27}, 15, rung.turn_deg);
  double y = box.y + 57;
  std::vector<std::string> lines = paper.wrap(rung.title, 8.5, Weight::bold, box.w - 6);
  if (lines.size() > 3) lines.resize(3);
  for (const std::string& line : lines) {
    paper.text({centre, y}, 8.5, Weight::bold, c.ink, line, Align::centre);
    y += 10.5;
  }
  lines = paper.wrap(facing_words(rung.landing.heading_deg, job.ladder.plan.walls), 7.5, Weight::medium,
                     box.w - 6);
  if (lines.size() > 2) lines.resize(2);
  for (const std::string& line : lines) {
    paper.text({centre, y}, 7.5, Weight::medium, c.dim, line, Align::centre);
    y += 9;
  }
  paper.close("P");
}

}  // namespace

void draw_class_pages(SheetJob& job) {
  Paper& paper = job.paper;
  const Palette& c = paper_palette();
  const std::size_t rungs = job.ladder.rungs.size();
  const std::size_t column_pages = (rungs + most_columns - 1) / most_columns;
  const std::size_t columns = (rungs + column_pages - 1) / column_pages;
  const double room_height = page_room(paper);
  const auto rows = static_cast<std::size_t>((room_height - head) / row);
  // The names that are given, and empty lines to the end of the page.
  const std::size_t name_pages = std::max<std::size_t>(1, (job.request.names.size() + rows - 1) / rows);
  const std::size_t pages = column_pages * name_pages;
  for (std::size_t page = 0; page < pages; ++page) {
    const std::size_t first_name = page / column_pages * rows;
    const std::size_t first = page % column_pages * columns, last = std::min(rungs, first + columns);
    const PaperBox room =
        draw_page_frame(job, job.ladder.plan.title,
                        fmt::format("{}; {} in a row, controlled with something in hand, pass a rung",
                                    plan_words(job.ladder), job.ladder.plan.gate.needed),
                        page, pages);
    const double width = (room.w - name_width) / static_cast<double>(columns);
    const double right = room.x + name_width + width * static_cast<double>(last - first);
    const double top = room.y + head, bottom = top + row * static_cast<double>(rows);
    for (std::size_t k = first; k < last; ++k)
      draw_column_head(job, k,
                       {room.x + name_width + width * static_cast<double>(k - first), room.y, width, head});
    paper.open("P");
    double legend = room.y + 16;
    for (const std::string& line : paper.wrap(
             "Tick a box for one with something in hand. A miss: write M beside the boxes. A crash: write "
             "C. Either starts the row again; a crash goes back one rung.",
             7.5, Weight::medium, name_width - 10)) {
      paper.text({room.x, legend}, 7.5, Weight::medium, c.ink, line);
      legend += 9.5;
    }
    paper.close("P");
    paper.text({room.x, top - 6}, 8.5, Weight::bold, c.dim, "name");
    for (std::size_t r = 0; r < rows; ++r) {
      const double y = top + row * static_cast<double>(r);
      if (first_name + r < job.request.names.size()) {
        paper.open("P");
        paper.text({room.x + 2, y + 0.5 * row + 4}, 11, Weight::bold, c.ink,
                   paper.cut(job.request.names[first_name + r], 11, Weight::bold, name_width - 8));
        paper.close("P");
      }
      for (std::size_t k = first; k < last; ++k) {
        const double x = room.x + name_width + width * static_cast<double>(k - first);
        const double size = std::min(10.5, (width - 10) / (1.45 * job.ladder.plan.gate.needed));
        const double boxes = (1.45 * job.ladder.plan.gate.needed - 0.45) * size;
        draw_boxes(paper, {x + 0.5 * (width - boxes), y + 0.5 * (row - size)}, job.ladder.plan.gate.needed,
                   size);
      }
    }
    for (std::size_t r = 0; r <= rows; ++r) {
      const double y = top + row * static_cast<double>(r);
      paper.line({{room.x, y}, {right, y}}, r == 0 ? c.ink : c.hair, r == 0 ? 1.2 : 0.7);
    }
    for (std::size_t k = first; k <= last; ++k) {
      const double x = room.x + name_width + width * static_cast<double>(k - first);
      paper.line({{x, room.y + 8}, {x, bottom}}, c.hair, 0.7);
    }
  }
}

}  // namespace halfturn
