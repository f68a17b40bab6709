#include "plan_input.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "format/vocabulary_file.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

constexpr int greatest_size_px = 8192;

}  // namespace

Result<LoadedPlan> load_ladder(const std::string& path, bool demo) {
  if (path.empty() && !demo) return Problem{"", "plan", "is missing: give a plan file, or --demo"};
  Result<PlanFile> file = demo ? Result<PlanFile>(demo_plan()) : load_plan(path);
  if (!file) return file.problem();
  Result<Ladder> ladder = make_ladder(file->plan, built_in_vocabulary(), built_in_difficulty());
  if (!ladder) {
    Problem problem = ladder.problem();
    problem.file = path;
    return problem;
  }
  return LoadedPlan{std::move(file).value(), std::move(ladder).value()};
}

Result<std::pair<int, int>> parse_picture_size(const std::string& text, int least) {
  const Problem wrong{
      "", "--size",
      fmt::format("\"{}\" is not a size; give width x height in pixels, {} to {}, for instance 1280x720",
                  text, least, greatest_size_px)};
  const std::size_t cross = text.find('x');
  if (cross == std::string::npos) return wrong;
  const Result<double> width = parse_number(text.substr(0, cross), "--size");
  const Result<double> height = parse_number(text.substr(cross + 1), "--size");
  if (!width || !height) return wrong;
  for (const double side : {*width, *height}) {
    if (side != std::floor(side) || side < least || side > greatest_size_px) return wrong;
  }
  return std::pair{static_cast<int>(*width), static_cast<int>(*height)};
}

Result<std::size_t> parse_rung_number(const std::string& text, const Ladder& ladder) {
  const Result<double> number = parse_number(text, "--rung");
  const std::size_t count = ladder.rungs.size();
  if (!number || *number != std::floor(*number) || *number < 0 || *number >= static_cast<double>(count))
    return Problem{"", "--rung",
                   fmt::format("\"{}\" is no rung of this plan; its rungs are 0 to {}", text, count - 1)};
  return static_cast<std::size_t>(*number);
}

Theme theme_of(const std::string& word) {
  return word == "dark" ? Theme::dark : word == "sunlight" ? Theme::sunlight : Theme::light;
}

CameraKind camera_of(const std::string& word) {
  return word == "front"   ? CameraKind::front
         : word == "above" ? CameraKind::above
         : word == "eyes"  ? CameraKind::eyes
                           : CameraKind::side;
}

}  // namespace halfturn
