#include "sheet_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// A place on a dial: the start is up, left turns go to the left.
PaperPoint on_dial(PaperPoint centre, double turn_deg, double radius) {
  const double angle = to_rad(turn_deg);
  return {centre.x - radius * std::sin(angle), centre.y - radius * std::cos(angle)};
}

/// A place in the axes of a heading on a dial: ahead and to the right of it.
PaperPoint beside(PaperPoint centre, double turn_deg, double ahead, double right) {
  const double angle = to_rad(turn_deg);
  return {centre.x - ahead * std::sin(angle) + right * std::cos(angle),
          centre.y - ahead * std::cos(angle) - right * std::sin(angle)};
}

void draw_wedge(Paper& paper, PaperPoint centre, double radius, double turn_deg, double width_deg,
                double line) {
  std::vector<PaperPoint> points{centre};
  for (int i = 0; i <= 8; ++i)
    points.push_back(on_dial(centre, turn_deg + width_deg * (i / 8.0 - 0.5), radius));
  paper.polygon(points, paper_palette().front, paper_palette().line, line);
}

/// The turn as a band from the start; it winds inwards, so that whole turns can be counted.
void draw_turn_band(Paper& paper, PaperPoint centre, double radius, double turn_deg) {
  const double size = std::abs(turn_deg);
  if (size < 0.5) return;
  const double sign = turn_deg > 0 ? 1 : -1;
  const double width = 0.11 * radius;
  const auto middle = [&](double turned) { return (0.84 - 0.15 * turned / 360) * radius; };
  const double head_deg = std::min(0.6 * size, to_deg(0.22 * radius / middle(size)));
  std::vector<PaperPoint> outer, inner;
  const double body = size - head_deg;
  const int pieces = std::max(2, static_cast<int>(std::ceil(body / 5)));
  for (int i = 0; i <= pieces; ++i) {
    const double turned = body * i / pieces;
    outer.push_back(on_dial(centre, sign * turned, middle(turned) + 0.5 * width));
    inner.push_back(on_dial(centre, sign * turned, middle(turned) - 0.5 * width));
  }
  outer.push_back(on_dial(centre, sign * body, middle(body) + 1.15 * width));
  outer.push_back(on_dial(centre, sign * size, middle(size)));
  outer.push_back(on_dial(centre, sign * body, middle(body) - 1.15 * width));
  outer.insert(outer.end(), inner.rbegin(), inner.rend());
  const Palette& c = paper_palette();
  paper.polygon(outer, turn_deg > 0 ? c.left : c.right, c.line, 0.5);
}

void draw_athlete(Paper& paper, PaperPoint centre, double k, double turn_deg) {
  const Palette& c = paper_palette();
  const PaperPoint left = beside(centre, turn_deg, 0, -11 * k), right = beside(centre, turn_deg, 0, 11 * k);
  paper.line({left, right}, c.line, 8 * k);
  paper.line({left, right}, c.body, 6 * k);
  paper.disc(left, 5 * k, c.left, c.line, 1.2 * k);
  const double h = 4.6 * k;
  paper.polygon({beside(right, turn_deg, -h, -h), beside(right, turn_deg, -h, h),
                 beside(right, turn_deg, h, h), beside(right, turn_deg, h, -h)},
                c.right, c.line, 1.2 * k);
  paper.disc(centre, 5.5 * k, c.head, c.line, 1.2 * k);
}

}  // namespace

const Palette& paper_palette() {
  static const Palette palette = [] {
    Palette p = palette_of(Theme::light);
    p.air = p.plate = p.mat = p.floor = rgb(0xFFFFFF);
    return p;
  }();
  return palette;
}

void draw_dial(Paper& paper, PaperPoint centre, double radius, const Rung& rung) {
  const Palette& c = paper_palette();
  const double turn = rung.turn_deg;
  paper.disc(centre, radius, c.mat, c.ink, 1.1);
  for (int deg = 0; deg < 360; deg += 15) {
    const bool quarter = deg % 90 == 0;
    const double from = quarter ? 1.07 : deg % 45 == 0 ? 0.92 : 0.96;
    paper.line({on_dial(centre, deg, from * radius), on_dial(centre, deg, quarter ? 0.93 * radius : radius)},
               c.ink, quarter ? 2 : 0.6);
  }
  draw_wedge(paper, centre, 0.98 * radius, turn, 32, 0.5);
  draw_turn_band(paper, centre, radius, turn);
  // Start: a hollow arrow. Landing: the house shape outside the ring, with the number of the rung.
  const auto start = [&](double ahead, double right) {
    return beside(centre, 0, ahead * radius, right * radius);
  };
  paper.polygon({start(0.26, -0.055), start(0.44, -0.055), start(0.44, -0.15), start(0.66, 0),
                 start(0.44, 0.15), start(0.44, 0.055), start(0.26, 0.055)},
                c.plate, c.ink, 0.8);
  draw_athlete(paper, centre, radius / 62, turn);
  const auto arrow = [&](double ahead, double right) {
    return beside(centre, turn, ahead * radius, right * radius);
  };
  paper.polygon(
      {arrow(1.10, -0.14), arrow(1.10, 0.14), arrow(1.24, 0.14), arrow(1.40, 0), arrow(1.24, -0.14)}, c.front,
      c.line, 0.9);
}

void draw_small_dial(Paper& paper, PaperPoint centre, double radius, double turn_deg) {
  const Palette& c = paper_palette();
  const double k = radius / 26;
  paper.disc(centre, radius, c.mat, c.ink, 1.6 * k);
  for (int deg = 90; deg < 360; deg += 90)
    paper.line({on_dial(centre, deg, radius), on_dial(centre, deg, radius + 5 * k)}, c.ink, 2 * k);
  const double top = centre.y - radius - 8 * k;
  paper.polygon({{centre.x - 5 * k, top}, {centre.x + 5 * k, top}, {centre.x, top + 8 * k}}, c.ink);
  draw_wedge(paper, centre, radius - 2 * k, turn_deg, 52, 1.3 * k);
  draw_athlete(paper, centre, k, turn_deg);
}

void draw_side_badge(Paper& paper, PaperPoint centre, double radius, Side side) {
  const Palette& c = paper_palette();
  const bool left = side == Side::left;
  const double h = 0.9 * radius;
  if (left) {
    paper.disc(centre, radius, c.left, c.ink, 0.12 * radius);
  } else {
    paper.polygon({{centre.x - h, centre.y - h},
                   {centre.x + h, centre.y - h},
                   {centre.x + h, centre.y + h},
                   {centre.x - h, centre.y + h}},
                  c.right, c.ink, 0.12 * radius);
  }
  const double size = 1.25 * radius;
  paper.text({centre.x, centre.y + 0.36 * size}, size, Weight::bold, left ? c.on_left : c.on_right,
             left ? "L" : "R", Align::centre);
}

void draw_turn_arrow(Paper& paper, PaperPoint centre, double size, double turn_deg) {
  const bool left = turn_deg > 0;
  const double mirror = left ? 1 : -1;
  const auto at = [&](double angle_deg, double r) {
    const double angle = to_rad(angle_deg);
    return PaperPoint{centre.x + mirror * (size * 0.55 - std::cos(angle) * r),
                      centre.y + size * 0.75 - std::sin(angle) * r};
  };
  const double outer = size * 1.42, inner = size * 0.86, from = 88, to = 34, spread = size * 0.34;
  std::vector<PaperPoint> edge;
  for (int i = 0; i <= 8; ++i) edge.push_back(at(from + (to - from) * i / 8, outer));
  edge.push_back(at(to, outer + spread));
  edge.push_back(at(2, (outer + inner) / 2));
  edge.push_back(at(to, inner - spread));
  for (int i = 8; i >= 0; --i) edge.push_back(at(from + (to - from) * i / 8, inner));
  const Palette& c = paper_palette();
  paper.polygon(edge, left ? c.left : c.right, c.line, 0.6);
}

double draw_boxes(Paper& paper, PaperPoint top_left, int count, double size) {
  const double pitch = 1.45 * size;
  for (int i = 0; i < count; ++i)
    paper.plate(top_left.x + i * pitch, top_left.y, size, size, 0.14 * size, paper_palette().plate,
                paper_palette().ink, 0.9);
  return count * pitch;
}

}  // namespace halfturn
