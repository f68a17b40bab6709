#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "figure_shapes.hpp"
#include "rotation/heading.hpp"
#include "scene/compose.hpp"
#include "scene/figure_parts.hpp"
#include "scene/projection.hpp"
#include "sheet_parts.hpp"

namespace halfturn {
namespace {

constexpr double least_highest_m = 2.55, over_com_m = 0.97;  // of a body in flight
constexpr double least_pitch_m = 1.1, lying_pitch_m = 1.5;   // between neighbours; of bodies that fly level
constexpr int fewest = 6, most = 8;      // figures, so that every rung shows about as much of its flight
constexpr std::size_t long_ladder = 60;  // from here on figures are few, to keep the file small
constexpr int fewest_of_long = 4;
constexpr double caption = 6.6;  // points

/// The lower edge of a figure on paper.
double lowest_y(const Figure& figure, const Projector& projector, PaperPoint shift) {
  double y = -1e9;
  for (const FlatPart& part : flat_parts(figure, projector, shift)) {
    if (part.limb)
      y = std::max({y, part.from.centre.y + part.from.radius, part.to.centre.y + part.to.radius});
    for (const PaperPoint& point : part.points) y = std::max(y, point.y);
  }
  return y;
}

}  // namespace

void draw_strip(Paper& paper, const PaperBox& box, const Ladder& ladder, std::size_t rung,
                const Flight& flight) {
  const Palette& c = paper_palette();
  const double below = 28;  // for the moments and the dials under the ground line
  const double ground = box.y + box.h - below;
  double highest = least_highest_m;
  for (int i = 0; i <= 8; ++i)
    highest = std::max(highest, flight.at(flight.duration() * i / 8).com_W.y + over_com_m);
  const double pitch_m = ladder.rungs[rung].values.incline_deg > 45 ? lying_pitch_m : least_pitch_m;
  const bool long_climb = ladder.rungs.size() > long_ladder;
  const double scale =
      std::min((box.h - below) / highest, box.w / (pitch_m * (long_climb ? fewest_of_long : fewest)));
  const int count =
      long_climb ? fewest_of_long : std::clamp(static_cast<int>(box.w / (pitch_m * scale)), fewest, most);
  const double pitch = box.w / count;

  const HumanBody body = human_body(Athlete{});
  View view;
  view.scale = 0.42;  // lines of the figure as wide as paper wants them
  paper.line({{box.x, ground}, {box.x + box.w, ground}}, c.ink, 0.9);
  std::vector<PaperPoint> arc;
  struct Placed {
    Figure figure;
    Projector projector;
    PaperPoint shift;
  };
  std::vector<Placed> placed;
  for (int i = 0; i < count; ++i) {
    const double time = flight.duration() * i / (count - 1);
    const FlightSample now = sample_in_picture(ladder.rungs[rung], flight, time);
    Projection projection = projection_for(camera_for(ladder, rung, now, view), view);
    const double distance = glm::length(projection.camera.target - projection.camera.eye);
    projection.focal_px = scale * distance;
    projection.centre_x_px = projection.centre_y_px = 0;
    const Projector projector(projection);
    // Every figure over its own place on the ground line: what it travels is the strip's own.
    const auto foot = projector.to_px({now.com_W.x, 0, now.com_W.z}), com = projector.to_px(now.com_W);
    if (!foot || !com) continue;
    const double x = box.x + (i + 0.5) * pitch;
    PaperPoint shift{x - foot->x, ground - foot->y};
    Figure figure = figure_at(body, ladder.rungs[rung], flight, time, Theme::light, view.scale);
    // A leaning body has its feet before or behind its centre of mass; they stand on the line all the same.
    shift.y -= std::max(0.0, lowest_y(figure, projector, shift) - ground);
    arc.push_back({com->x + shift.x, com->y + shift.y});
    placed.push_back({std::move(figure), projector, shift});
    paper.text({x, ground + 7.6}, caption, Weight::medium, c.ink,
               i == 0           ? "takeoff"
               : i == count - 1 ? fmt::format("landing {:.2f}", time)
                                : fmt::format("{:.2f}", time),
               Align::centre);
    const double turned = ladder.rungs[rung].floor_turn_deg + to_deg(now.angles.twist);
    draw_small_dial(paper, {x, ground + 19.5}, 6.6, turned);
  }
  paper.line(arc, c.hair, 0.8, 2.2);
  for (const Placed& p : placed) draw_figure(paper, p.figure, p.projector, p.shift);
}

}  // namespace halfturn
