#include <fmt/format.h>
#include <png.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <string>
#include <utility>

#include "command.hpp"
#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "panels/fonts.hpp"
#include "report.hpp"
#include "scene/compose.hpp"
#include "session/words.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

struct DrawOptions {
  std::string plan, rung = "0", time = "0", camera = "side", size = "1440x900", theme = "light", output;
  bool instructor = false;
};

constexpr int least_size_px = 200, greatest_size_px = 8192;
constexpr double earliest_s = -5, latest_s = 60;  // standing before and after is all there is beyond

/// PNG bytes of an image; empty when libpng cannot make them.
std::string png_bytes(const Image& image) {
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  png.width = static_cast<png_uint_32>(image.width);
  png.height = static_cast<png_uint_32>(image.height);
  png.format = PNG_FORMAT_RGBA;
  png_alloc_size_t size = 0;
  if (png_image_write_get_memory_size(png, size, 0, image.rgba.data(), 0, nullptr) == 0) return {};
  std::string bytes(size, '\0');
  if (png_image_write_to_memory(&png, bytes.data(), &size, 0, image.rgba.data(), 0, nullptr) == 0) return {};
  bytes.resize(size);
  return bytes;
}

Result<std::pair<int, int>> parse_size(const std::string& text) {
  const Problem wrong{
      "", "--size",
      fmt::format("\"{}\" is not a size; give width x height in pixels, {} to {}, for instance 1440x900",
                  text, least_size_px, greatest_size_px)};
  const std::size_t cross = text.find('x');
  if (cross == std::string::npos) return wrong;
  const Result<double> width = parse_number(text.substr(0, cross), "--size");
  const Result<double> height = parse_number(text.substr(cross + 1), "--size");
  if (!width || !height) return wrong;
  for (const double side : {*width, *height}) {
    if (side != std::floor(side) || side < least_size_px || side > greatest_size_px) return wrong;
  }
  return std::pair{static_cast<int>(*width), static_cast<int>(*height)};
}

Result<std::size_t> parse_rung(const std::string& text, std::size_t count) {
  const Result<double> number = parse_number(text, "--rung");
  if (!number || *number != std::floor(*number) || *number < 0 || *number >= static_cast<double>(count)) {
    return Problem{"", "--rung",
                   fmt::format("\"{}\" is no rung of this plan; its rungs are 0 to {}", text, count - 1)};
  }
  return static_cast<std::size_t>(*number);
}

View view_of(const DrawOptions& options, std::pair<int, int> size) {
  View view;
  view.theme = options.theme == "dark"       ? Theme::dark
               : options.theme == "sunlight" ? Theme::sunlight
                                             : Theme::light;
  view.camera = options.camera == "front"   ? CameraKind::front
                : options.camera == "above" ? CameraKind::above
                : options.camera == "eyes"  ? CameraKind::eyes
                                            : CameraKind::side;
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

Exit run_draw(const DrawOptions& options) {
  Result<PlanFile> file = load_plan(options.plan);
  if (!file) return report_bad_input(file.problem());
  const Result<Ladder> ladder = make_ladder(file->plan, built_in_vocabulary(), built_in_difficulty());
  if (!ladder) {
    Problem problem = ladder.problem();
    problem.file = options.plan;
    return report_bad_input(problem);
  }
  const Result<std::size_t> rung = parse_rung(options.rung, ladder->rungs.size());
  if (!rung) return report_bad_input(rung.problem());
  const Result<double> time = parse_number(options.time, "--time");
  if (!time) return report_bad_input(time.problem());
  if (*time < earliest_s || *time > latest_s) {
    return report_bad_input({"", "--time",
                             fmt::format("{} s is too far from the flight; give {} to {} s from takeoff",
                                         options.time, earliest_s, latest_s)});
  }
  const Result<std::pair<int, int>> size = parse_size(options.size);
  if (!size) return report_bad_input(size.problem());

  const View view = view_of(options, *size);
  const Flight flight = drawn_flight(ladder->rungs[*rung], embedded_shapes());
  Scene scene = compose(*ladder, *rung, flight, *time, view);
  const AnswerWords words = answer_words(*ladder, *rung);
  add_answer(scene, {words.lead, words.wall, words.turn, words.landing}, ladder->plan.side, view);

  const auto context = OffscreenContext::create();
  if (!context) return report_no_output(context.problem());
  const auto renderer =
      Renderer::create(OffscreenContext::load_function(), {medium_font_file(), bold_font_file()});
  if (!renderer) return report_no_output(renderer.problem());
  (*renderer)->render(scene, size->first, size->second, Quality::full);
  const Image image = (*renderer)->read();
  const std::string bytes = png_bytes(image);
  if (bytes.empty()) return report_no_output({options.output, "", "the picture cannot be packed as PNG"});
  if (const Outcome problem = write_file(options.output, bytes)) return report_no_output(*problem);
  return Exit::done;
}

}  // namespace

void add_draw_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<DrawOptions>();
  DrawOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("draw", "Draw one moment of a rung as a picture (PNG); needs no display");
  command->add_option("plan", o.plan, "Plan file")->required();
  command->add_option("--rung", o.rung, "Rung of the ladder, counted from 0, the base")->default_val("0");
  command->add_option("--time", o.time, "Seconds from takeoff")->default_val("0");
  command->add_option("--camera", o.camera, "Where it is seen from")
      ->check(CLI::IsMember({"side", "front", "above", "eyes"}))
      ->default_val("side");
  command->add_option("--size", o.size, "Width x height in pixels")->default_val("1440x900");
  command->add_option("--theme", o.theme, "Colours")
      ->check(CLI::IsMember({"light", "dark", "sunlight"}))
      ->default_val("light");
  command->add_flag("--instructor", o.instructor,
                    "Show flip axis, long axis, tilt and, where known, the momentum H");
  command->add_option("-o,--output", o.output, "Picture to write")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_draw(*options); }; });
}

}  // namespace halfturn
