#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <memory>

#include "command.hpp"
#include "format/file.hpp"
#include "format/flights_file.hpp"
#include "handout/page.hpp"
#include "handout/pictures.hpp"
#include "panels/fonts.hpp"
#include "plan_flights.hpp"
#include "plan_input.hpp"
#include "progress_line.hpp"
#include "report.hpp"
#include "session/words.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

struct ShareOptions {
  std::string plan, output;
  FlightChoice flights;
  bool demo = false, still = false, progress = false;
};

/// The page that the build for browsers has put beside the program; empty where there is none.
std::string viewer_beside_program() {
  std::error_code unknown;
  const std::filesystem::path program = std::filesystem::read_symlink("/proc/self/exe", unknown);
  if (unknown) return "";
  const Result<std::string> page = read_file((program.parent_path() / "halfturn_page.html").string());
  return page ? *page : "";
}

/// The flights that were flown ahead, as the page shows them and says of them. Nothing where they are drawn.
void put_flights(const PlanFlights& flights, const Ladder& ladder, PageSource& source) {
  if (!flights.simulates()) return;
  FlownPlan flown{flights.flyer().whose, {}};
  for (std::size_t k = 0; k < ladder.rungs.size(); ++k) {
    const RungSimulation& simulation = flights.simulations()[k];
    FlownRung rung;
    rung.air_time_needed_s = simulation.air_time_needed_s;
    rung.air_time_margin_s = simulation.air_time_margin_s;
    if (flies_simulated(simulation)) {
      rung.flight = flights.flight(ladder, k);
    } else {
      rung.why_drawn = flight_label(simulation);
    }
    source.made_by.push_back(rung.flight ? "simulated, " + flown.whose : rung.why_drawn);
    flown.rungs.push_back(std::move(rung));
  }
  source.flights = write_flights(flown);
}

Exit run_share(const ShareOptions& options) {
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  Result<PlanFlights> chosen = PlanFlights::make(options.flights);
  if (!chosen) return report_bad_input(chosen.problem());
  PlanFlights flights = std::move(chosen).value();
  Ladder ladder = plan->ladder;
  const auto context = OffscreenContext::create();
  if (!context) return report_no_output(context.problem());
  const auto renderer = Renderer::create(OffscreenContext::load_function(),
                                         {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return report_no_output(renderer.problem());

  // Until here a signal ends the program, and nothing has been written yet.
  flights.fly_all(ladder);
  const CancelWatch watch;
  ProgressLine progress("page", "rung", ladder.rungs.size(), options.progress);
  PageSource source;
  source.flight = [&](std::size_t rung) { return flights.flight(ladder, rung); };
  put_flights(flights, ladder, source);
  source.draw = [&](const Scene& scene) -> Result<std::string> {
    const Projection& p = scene.projection;
    (*renderer)->render(scene, p.width_px, p.height_px, Quality::full);
    const Image image = (*renderer)->read();
    std::string png = small_png_bytes(image.width, image.height, image.rgba);
    if (png.empty()) return Problem{options.output, "", "a picture cannot be packed as PNG"};
    return png;
  };
  source.words = [&](std::size_t rung, const Flight& flight, double time) {
    const Rung& now = ladder.rungs[rung];
    return progress_words(turned_so_far_deg(now, flight.at(time), flight.duration()), now.turn_deg,
                          ladder.plan.side);
  };
  source.go_on = [&](std::size_t rung) {
    progress.at(rung);
    return !watch.cancelled();
  };
  const std::string viewer = options.still ? "" : viewer_beside_program();
  const Result<std::string> page =
      viewer.empty() ? still_page(ladder, source) : viewer_page(ladder, source, viewer);
  if (!page) return report_no_output(page.problem());
  if (const Outcome problem = write_file(options.output, *page)) return report_no_output(*problem);
  if (viewer.empty() && !options.still) {
    fmt::print(stderr,
               "halfturn: this build has no viewer for browsers (Emscripten was not there to build it); the "
               "page has pictures instead.\n");
  }
  return Exit::done;
}

}  // namespace

void add_share_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<ShareOptions>();
  ShareOptions& o = *options;
  CLI::App* command = program.add_subcommand(
      "share", "Make one HTML page that shows the ladder on any phone, without a network");
  command->add_option("plan", o.plan, "Plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command->add_flag("--still", o.still, "Text and pictures that move a little, without the viewer itself");
  command->add_flag("--progress", o.progress, "Tell how far it is, for programs: lines on standard error");
  add_flight_options(*command, o.flights);
  command->add_option("-o,--output", o.output, "Page to write, .html")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_share(*options); }; });
}

}  // namespace halfturn
