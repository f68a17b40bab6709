#include <fmt/chrono.h>
#include <fmt/format.h>

#include <ctime>
#include <memory>

#include "command.hpp"
#include "format/file.hpp"
#include "format/vocabulary_file.hpp"
#include "handout/sheet.hpp"
#include "panels/fonts.hpp"
#include "plan_flights.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "simulations.hpp"

namespace halfturn {
namespace {

struct SheetOptions {
  std::string plan, output, paper = "a4", kind = "ladder", names;
  FlightChoice flights;
  bool demo = false, no_finish = false;
};

/// "a, b" as two names without the spaces around them.
std::vector<std::string> names_of(const std::string& text) {
  std::vector<std::string> names;
  std::string name;
  const auto add = [&] {
    const std::size_t first = name.find_first_not_of(' '), last = name.find_last_not_of(' ');
    if (first != std::string::npos) names.push_back(name.substr(first, last - first + 1));
    name.clear();
  };
  for (const char c : text) {
    if (c == ',') {
      add();
    } else {
      name += c;
    }
  }
  add();
  return names;
}

/// "climb.svg" becomes "climb-2.svg" for the second page.
std::string page_path(const std::string& path, std::size_t page) {
  return fmt::format("{}-{}{}", path.substr(0, path.size() - 4), page + 1, path.substr(path.size() - 4));
}

Exit run_sheet(const SheetOptions& options) {
  const bool pdf = options.output.ends_with(".pdf");
  if (!pdf && !options.output.ends_with(".svg"))
    return report_bad_input(
        {"", "--output", fmt::format("\"{}\" is neither a .pdf nor a .svg file", options.output)});
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  Ladder ladder = plan->ladder;
  Result<PlanFlights> made = PlanFlights::make(options.flights);
  if (!made) return report_bad_input(made.problem());
  PlanFlights flights = std::move(made).value();
  flights.fly_all(ladder);
  SheetRequest request;
  request.kind = options.kind == "class"  ? SheetKind::class_grid
                 : options.kind == "wall" ? SheetKind::wall
                                          : SheetKind::ladder;
  request.paper = options.paper == "letter" ? PaperSize::letter : PaperSize::a4;
  request.format = pdf ? SheetFormat::pdf : SheetFormat::svg;
  request.names = names_of(options.names);
  request.whose = flights.flyer().whose;
  request.date = fmt::format("{:%Y-%m-%dT%H:%M:%SZ}", fmt::gmtime(std::time(nullptr)));
  if (request.kind == SheetKind::ladder && !options.no_finish)
    request.finishes = finishes_of(ladder, flights.flyer(), flights.simulations());
  Plan mirrored = ladder.plan;
  mirrored.side = other(mirrored.side);
  const Result<Ladder> other_side = make_ladder(mirrored, built_in_vocabulary(), built_in_difficulty());
  if (other_side) request.other_side = &*other_side;

  const Result<std::vector<std::string>> files = make_sheet(
      ladder, [&](std::size_t rung) { return flights.flight(ladder, rung); },
      {medium_font_file(), bold_font_file(), heavy_font_file(), other_letters_font_file()}, request);
  if (!files) return report_no_output(files.problem());
  for (std::size_t page = 0; page < files->size(); ++page) {
    const std::string path = files->size() == 1 ? options.output : page_path(options.output, page);
    if (const Outcome problem = write_file(path, (*files)[page])) return report_no_output(*problem);
  }
  if (files->size() > 1)
    return print(fmt::format("{} pages: {} to {}\n", files->size(), page_path(options.output, 0),
                             page_path(options.output, files->size() - 1)));
  return Exit::done;
}

}  // namespace

void add_sheet_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<SheetOptions>();
  SheetOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("sheet", "Make a sheet to print (PDF, or SVG: one file per page)");
  command->add_option("plan", o.plan, "Plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command
      ->add_option("--kind", o.kind,
                   "ladder: the climb; class: names by rungs to tick; wall: large, both sides")
      ->check(CLI::IsMember({"ladder", "class", "wall"}))
      ->default_val("ladder");
  command->add_option("--paper", o.paper, "Size of the paper")
      ->check(CLI::IsMember({"a4", "letter"}, CLI::ignore_case))
      ->default_val("a4");
  command->add_option("--names", o.names, "Athletes for the class sheet, \"Ada, Bo, Cem\"");
  command->add_flag("--no-finish", o.no_finish, "Leave the finish plans out");
  add_flight_options(*command, o.flights);
  command->add_option("-o,--output", o.output, "Sheet to write, .pdf or .svg")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_sheet(*options); }; });
}

}  // namespace halfturn
