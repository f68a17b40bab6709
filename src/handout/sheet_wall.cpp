#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "sheet_pages.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_rungs = 5;  // on a page, to be read across a gym

void draw_wall_rung(SheetJob& job, const Ladder& ladder, std::size_t k, const PaperBox& box) {
  Paper& paper = job.paper;
  const Palette& c = paper_palette();
  const Rung& rung = ladder.rungs[k];
  const bool target = k > 0 && k + 1 == ladder.rungs.size();
  paper.open("Sect");
  paper.plate(box.x, box.y, box.w, box.h, 6, c.plate, target ? c.ink : c.edge, target ? 2.4 : 1.3);
  const double radius = std::min(0.5 * box.h / 1.45, 40.0);
  const PaperPoint dial{box.x + 22 + 1.4 * radius, box.y + 0.5 * box.h};
  paper.open("Figure");
  draw_dial(paper, dial, radius, rung);
  paper.close("Figure");
  paper.open("H2");
  paper.disc({box.x, box.y + 0.5 * box.h}, 14, c.plate, c.ink, 1.6);
  paper.text({box.x, box.y + 0.5 * box.h + 5}, k < 100 ? 14 : 10, Weight::bold, c.ink, rung_label(k),
             Align::centre);
  const double x = dial.x + 1.48 * radius + 6, width = box.x + box.w - 10 - x;
  const std::string wall = facing_words(rung.landing.heading_deg, ladder.plan.walls);
  double size = 25;
  while (size > 13 && paper.text_width(wall, size, Weight::heavy) > width) size -= 1;
  const double middle = box.y + 0.5 * box.h;
  paper.text({x, middle - 0.42 * size - 6}, 13, Weight::bold, c.dim,
             paper.cut(rung.title, 13, Weight::bold, width));
  paper.text({x, middle + 0.42 * size}, size, Weight::heavy, c.ink,
             paper.cut(wall, size, Weight::heavy, width));
  paper.close("H2");
  paper.open("P");
  const std::string how = fmt::format("{}, {}", turned_words(rung.turn_deg), landing_words(rung));
  double how_size = 12;
  while (how_size > 9 && paper.text_width(how, how_size, Weight::medium) > width) how_size -= 0.5;
  paper.text({x, middle + 0.42 * size + 16}, how_size, Weight::medium, c.ink,
             paper.cut(how, how_size, Weight::medium, width));
  paper.close("P");
  paper.close("Sect");
}

void draw_wall_climb(SheetJob& job, const Ladder& ladder, std::size_t from, std::size_t to, std::size_t slots,
                     const PaperBox& room) {
  Paper& paper = job.paper;
  const Palette& c = paper_palette();
  const Side side = ladder.plan.side;
  const double head = 30;
  draw_side_badge(paper, {room.x + 30, room.y + 15}, 12, side);
  paper.open("H2");
  paper.text({room.x + 50, room.y + 20.5}, 16, Weight::heavy, c.ink, fmt::format("twists {}", word(side)));
  paper.close("H2");
  const double pitch = (room.h - head) / static_cast<double>(slots);
  const double height = std::min(pitch - 12, 104.0);
  const double bottom = room.y + room.h - 2;
  const double reach = pitch * static_cast<double>(to - from);
  for (const double share : {0.16, 0.88}) {
    const double x = room.x + 16 + share * (room.w - 20);
    paper.line({{x, bottom}, {x, std::max(bottom - reach, room.y + head)}}, c.hair, 6);
  }
  for (std::size_t k = from; k < to; ++k)
    draw_wall_rung(
        job, ladder, k,
        {room.x + 16, bottom - pitch * static_cast<double>(k - from) - height - 4, room.w - 20, height});
}

}  // namespace

void draw_wall_pages(SheetJob& job) {
  const std::size_t rungs = job.ladder.rungs.size();
  const std::size_t pages = (rungs + most_rungs - 1) / most_rungs;
  const std::size_t slots = (rungs + pages - 1) / pages;
  const Ladder* other = job.request.other_side;
  for (std::size_t page = 0; page < pages; ++page) {
    const PaperBox room = draw_page_frame(job, job.ladder.plan.title, plan_words(job.ladder), page, pages);
    const std::size_t from = page * slots, to = std::min(rungs, from + slots);
    const double width = other != nullptr ? 0.5 * (room.w - 24) : room.w;
    const bool left_first = job.ladder.plan.side == Side::left || other == nullptr;
    const PaperBox first{room.x, room.y, width, room.h}, second{room.x + width + 24, room.y, width, room.h};
    draw_wall_climb(job, job.ladder, from, to, slots, left_first ? first : second);
    if (other != nullptr)
      draw_wall_climb(job, *other, from, std::min(to, other->rungs.size()), slots,
                      left_first ? second : first);
  }
}

}  // namespace halfturn
