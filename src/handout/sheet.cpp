#include "handout/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "sheet_pages.hpp"

namespace halfturn {
namespace {

struct PageSize {
  double width, height;
};
/// ISO 216 and ANSI, points.
PageSize page_size(PaperSize paper, bool upright) {
  const PageSize size = paper == PaperSize::a4 ? PageSize{595.276, 841.89} : PageSize{612, 792};
  return upright ? size : PageSize{size.height, size.width};
}

}  // namespace

double page_room(const Paper& paper) {
  return paper.height() - 2 * page_margin - page_head - page_foot;
}

std::string rung_label(std::size_t rung) {
  return rung == 0 ? "B" : fmt::format("{}", rung);
}

std::string turned_words(double turn_deg) {
  if (turn_deg == 0) return "no turn";
  return fmt::format("{} {}", turn_words(turn_deg), turn_deg < 0 ? "right" : "left");
}

std::string landing_words(const Rung& rung) {
  const std::string feet = landing_feet_words(rung.landing.feet);
  if (rung.landing.kind == "sees floor") return "sees the floor, " + feet;
  if (rung.landing.kind == "upright") return "lands " + feet;
  return fmt::format("lands {}, {}", rung.landing.kind, feet);
}

std::string plan_words(const Ladder& ladder) {
  return fmt::format("{} to {}, the {} is held, {}", ladder.rungs.front().title, ladder.rungs.back().title,
                     ladder.holds_start ? "start" : "landing", ladder.rungs.back().surface);
}

std::string flights_words(const SheetJob& job) {
  std::size_t drawn = 0;
  for (std::size_t k = 0; k < job.ladder.rungs.size(); ++k)
    drawn += job.flight(k).provenance() == Provenance::drawn ? 1u : 0u;
  return drawn == job.ladder.rungs.size() ? "The flights are drawn to teach where to face."
         : drawn == 0
             ? fmt::format("The flights are a model's, simulated for {}.", job.request.whose)
             : fmt::format(
                   "Some flights are a model's, simulated for {}; the others are drawn to teach "
                   "where to face.{}",
                   job.request.whose, job.request.kind == SheetKind::ladder ? " Each rung says which." : "");
}

PaperBox draw_page_frame(SheetJob& job, const std::string& title, const std::string& under, std::size_t page,
                         std::size_t pages) {
  Paper& paper = job.paper;
  const Palette& c = paper_palette();
  const double left = page_margin, right = paper.width() - page_margin;
  if (page > 0) paper.next_page();
  const std::string number = pages > 1 ? fmt::format("{} of {}", page + 1, pages) : "";
  paper.open("H1");
  paper.text({left, page_margin + 20}, 24, Weight::heavy, c.ink,
             paper.cut(title, 24, Weight::heavy, right - left - 150));
  paper.close("H1");
  paper.open("P");
  paper.text({left, page_margin + 36}, 9.5, Weight::medium, c.dim,
             paper.cut(under, 9.5, Weight::medium, right - left - 150));
  if (!job.ladder.plan.athlete.empty() && job.request.kind == SheetKind::ladder)
    paper.text({right, page_margin + 19}, 13, Weight::bold, c.ink,
               paper.cut(job.ladder.plan.athlete, 13, Weight::bold, 140), Align::right);
  if (job.request.kind != SheetKind::wall) {
    const Side side = job.ladder.plan.side;
    const std::string twists = fmt::format("twists {}", word(side));
    paper.text({right - 20, page_margin + 36}, 9.5, Weight::bold, c.ink, twists, Align::right);
    draw_side_badge(paper, {right - 7, page_margin + 32.5}, 7, side);
  }
  paper.close("P");
  // At the foot: how to read it, the caution, the page.
  double y = paper.height() - page_margin + 10;
  paper.open("P");
  const std::vector<std::string> caution = paper.wrap(
      fmt::format("{} {}", ladder_caution, flights_words(job)), 7.5, Weight::bold, right - left - 60);
  y -= 10.0 * static_cast<double>(caution.size());
  const std::string key =
      "Yellow: where the chest points. Round, L: left. Square with bands, R: right. The start is up on "
      "every dial. Boxes: landings with something in hand, in a row.";
  // In one line between the margins, however wide the paper.
  const double key_width = paper.text_width(key, 7.5, Weight::medium);
  paper.text({left, y - 1}, 7.5 * std::min(1.0, (right - left) / key_width), Weight::medium, c.dim, key);
  for (const std::string& line : caution) {
    y += 10;
    paper.text({left, y - 1}, 7.5, Weight::bold, c.ink, line);
  }
  if (!number.empty()) paper.text({right, y - 1}, 7.5, Weight::bold, c.ink, number, Align::right);
  paper.close("P");
  const double top = page_margin + page_head;
  return {left, top, right - left, page_room(paper)};
}

Result<std::vector<std::string>> make_sheet(const Ladder& ladder, const FlightOfRung& flight,
                                            const HandoutFonts& fonts, const SheetRequest& request) {
  const PageSize size = page_size(request.paper, request.kind == SheetKind::ladder);
  auto paper = Paper::create(request.format, size.width, size.height, fonts, ladder.plan.title, request.date);
  if (!paper) return paper.problem();
  SheetJob job{**paper, ladder, flight, request};
  switch (request.kind) {
    case SheetKind::ladder:
      draw_ladder_pages(job);
      break;
    case SheetKind::class_grid:
      draw_class_pages(job);
      break;
    case SheetKind::wall:
      draw_wall_pages(job);
      break;
  }
  return (*paper)->finish();
}

}  // namespace halfturn
