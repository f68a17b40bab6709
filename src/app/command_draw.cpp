#include <fmt/format.h>
#include <filesystem>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "command.hpp"
#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/vocabulary_file.hpp"
#include "handout/pictures.hpp"
#include "panels/fonts.hpp"
#include "plan_flights.hpp"
#include "plan_input.hpp"
#include "recording_keeper.hpp"
#include "report.hpp"
#include "scene/compose.hpp"
#include "session/spread_shown.hpp"
#include "session/words.hpp"
#include "share_out.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

struct DrawOptions {
  std::string plan, rung = "0", time = "0", camera = "side", size = "1440x900", theme = "light", exposures,
                    output;
  FlightChoice flights;
  bool demo = false, instructor = false, landings = false, alone = false;
  MeasureOptions record;
};

constexpr int least_size_px = 200, most_exposures = 24;
constexpr std::size_t rose_flights = 8192;
constexpr double earliest_s = -5, latest_s = 60;  // standing before and after is all there is beyond

View view_of(const DrawOptions& options, std::pair<int, int> size) {
  View view;
  view.theme = theme_of(options.theme);
  view.camera = camera_of(options.camera);
  view.width_px = size.first;
  view.height_px = size.second;
  // Type and lines grow with the picture in quarters, and never fall below what can be read.
  const double fit = std::min(size.first / 1440.0, size.second / 900.0);
  view.scale = std::max(1.0, std::floor(4 * fit) / 4);
  view.answer_width_px = 520 * view.scale;
  view.answer_height_px = (size.second < 700 * view.scale ? 200 : 180) * view.scale;
  if (options.instructor) {
    view.toggles.flip_axis = view.toggles.momentum = view.toggles.long_axis = view.toggles.tilt_wedge = true;
  }
  return view;
}

/// Where the body would land with takeoffs that vary as usual; empty when no such flight lands.
std::optional<LandingRose> landing_rose(const Ladder& ladder, std::size_t rung, const Flyer& flyer) {
  SpreadAnswer answer;
  answer.simulation = simulate_rung(ladder, rung, flyer);
  answer.landings = rung_spread(ladder, rung, flyer, answer.simulation, TakeoffSpread{}, rose_flights, 1,
                                [](std::size_t count, const auto& work) { share_out(count, work); });
  return rose_of(ladder.rungs[rung], answer);
}

/// What the record's measures rest on without its saying so.
void report_assumed(const RecordedAttempt& attempt) {
  for (const Convention& c : attempt.measured.conventions) {
    if (c.how.starts_with("assumed")) report_warning(fmt::format("{}: {} ({})", c.what, c.value, c.how));
  }
}

constexpr double same_moment_s = 0.005;  // as times are printed

/// "0.40 of 0.85 s", "0.30 s before takeoff", "landed after 0.85 s".
std::string moment_words(double time, double duration) {
  if (time < 0) return fmt::format("{:.2f} s before takeoff", -time);
  if (time > duration + same_moment_s) return fmt::format("landed after {:.2f} s", duration);
  return fmt::format("{:.2f} of {:.2f} s", time, duration);
}

/// Standing before and after is drawn too, but whoever mistook the time should hear of it.
void warn_outside(double time, double duration) {
  if (time < -same_moment_s || time > duration + same_moment_s)
    report_warning(fmt::format("--time: the flight lasts {:.2f} s; drawn as {}", duration,
                               time < 0 ? "standing before takeoff" : "landed"));
}

Exit run_draw(const DrawOptions& options) {
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  const Result<std::size_t> rung = parse_rung_number(options.rung, plan->ladder);
  if (!rung) return report_bad_input(rung.problem());
  std::optional<RecordedAttempt> recorded;
  if (!options.record.record.empty() || !options.record.frames.empty()) {
    Result<RecordedAttempt> attempt = attempt_of(options.record, plan->ladder, *rung);
    if (!attempt) return report_bad_input(attempt.problem());
    recorded = std::move(attempt).value();
    report_assumed(*recorded);
  }
  const Ladder& ladder = recorded ? *recorded->ladder : plan->ladder;
  const Result<double> time = parse_number(options.time, "--time");
  if (!time) return report_bad_input(time.problem());
  if (*time < earliest_s || *time > latest_s) {
    return report_bad_input({"", "--time",
                             fmt::format("{} s is too far from the flight; give {} to {} s from takeoff",
                                         options.time, earliest_s, latest_s)});
  }
  const Result<std::pair<int, int>> size = parse_picture_size(options.size, least_size_px);
  if (!size) return report_bad_input(size.problem());

  const Result<PlanFlights> flights = PlanFlights::make(options.flights);
  if (!flights) return report_bad_input(flights.problem());
  View view = view_of(options, *size);
  if (options.landings) {
    view.rose = landing_rose(ladder, *rung, flights->flyer());
    if (!view.rose) report_warning("no flight of this body lands this rung as planned: no rose");
  }
  const ToldFlight told = flights->tell(plan->ladder, *rung);
  const Flight& planned = told.flight;
  const Flight flight = recorded ? recorded->flight : planned;
  int exposures = 0;
  if (!options.exposures.empty()) {
    const Result<double> count = parse_number(options.exposures, "--exposures");
    if (!count || *count != std::floor(*count) || *count < 2 || *count > most_exposures) {
      return report_bad_input(
          {"", "--exposures",
           fmt::format("\"{}\" is no number of figures; give 2 to {}", options.exposures, most_exposures)});
    }
    exposures = static_cast<int>(*count);
  }
  // What was planned stands beside what happened, see-through, at the same share of its flight.
  std::vector<Companion> beside;
  if (recorded && !options.alone) {
    const double share = *time / flight.duration();
    const double at = share <= 0   ? *time
                      : share >= 1 ? *time - flight.duration() + planned.duration()
                                   : share * planned.duration();
    beside.push_back({plan->ladder.rungs[*rung], planned, at, "planned"});
  }
  if (exposures == 0) warn_outside(*time, flight.duration());
  const FootPart maker =
      recorded ? FootPart{recorded->by_eye ? "marked by eye, drawn" : "recorded turn, drawn limbs", false}
               : told.told;
  const std::vector<FootPart> foot{{ladder.rungs[*rung].title, false},
                                   maker,
                                   {exposures > 0 ? fmt::format("all of {:.2f} s", flight.duration())
                                                  : moment_words(*time, flight.duration()),
                                    false},
                                   {std::string(short_caution), false}};
  view.inset_bottom_px = foot_height_px(foot, size->first, view);
  Scene scene = exposures > 0 ? compose_exposures(ladder, *rung, flight, exposures, view)
                              : compose(ladder, *rung, flight, *time, view, beside);
  const AnswerWords words = answer_words(ladder, *rung);
  add_answer(scene, {words.lead, words.wall, words.turn, words.landing}, ladder.plan.side, view);
  add_foot(scene, foot, size->first, 0, view);

  if (const std::string ending = std::filesystem::path(options.output).extension().string();
      !ending.empty() && ending != ".png" && ending != ".PNG")
    return report_bad_input({"", "--output", "\"" + options.output + "\": pictures are written as .png"});
  const auto context = OffscreenContext::create();
  if (!context) return report_no_output(context.problem());
  const auto renderer = Renderer::create(OffscreenContext::load_function(),
                                         {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return report_no_output(renderer.problem());
  (*renderer)->render(scene, size->first, size->second, Quality::full);
  const Image image = (*renderer)->read();
  const std::string bytes = png_bytes(image.width, image.height, image.rgba);
  if (bytes.empty()) return report_no_output({options.output, "", "the picture cannot be packed as PNG"});
  if (const Outcome problem = write_file(options.output, bytes)) return report_no_output(*problem);
  if (!recorded) return Exit::done;
  const std::string against = against_words(*recorded);
  return print(fmt::format("{}; at first contact {}\n",
                           recorded->by_eye ? "marked by eye, drawn" : "recorded turn, drawn limbs",
                           against.empty() ? "it cannot be told how far it turned" : against));
}

}  // namespace

void add_draw_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<DrawOptions>();
  DrawOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("draw", "Draw one moment of a rung as a picture (PNG); needs no display");
  command->add_option("plan", o.plan, "Plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  command->add_option("--rung", o.rung, "Rung of the ladder, counted from 0, the base")->default_val("0");
  CLI::Option* time = command->add_option("--time", o.time, "Seconds from takeoff")->default_val("0");
  command
      ->add_option("--exposures", o.exposures,
                   "The whole flight in one picture: so many figures from takeoff to landing, spread apart")
      ->excludes(time);
  command->add_option("--camera", o.camera, "Where it is seen from")
      ->check(CLI::IsMember({"side", "front", "above", "eyes"}))
      ->default_val("side");
  command->add_option("--size", o.size, "Width x height in pixels")->default_val("1440x900");
  command->add_option("--theme", o.theme, "Colours")
      ->check(CLI::IsMember({"light", "dark", "sunlight"}))
      ->default_val("light");
  command->add_flag("--instructor", o.instructor,
                    "Show flip axis, long axis, tilt and, where known, the momentum H");
  command->add_flag(
      "--landings", o.landings,
      "A rose of where the athlete, or an average adult, would land with takeoffs that vary: an "
      "estimate");
  add_flight_options(*command, o.flights);
  command
      ->add_option("--record", o.record.record,
                   "Record of what really happened (CSV or BVH): drawn as it was turned, with the limbs of "
                   "the plan, and the plan see-through beside it")
      ->type_name("FILE");
  command->add_flag("--alone", o.alone, "With a record: without the plan beside it");
  add_answer_options(*command, o.record, "What a record does not say, or the marks of a video", "--marks");
  command->add_option("-o,--output", o.output, "Picture to write")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_draw(*options); }; });
}

}  // namespace halfturn
