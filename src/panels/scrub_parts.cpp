#include "scrub_parts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "eyes.hpp"

namespace halfturn {

void touch_scrub(Ui& ui, const Arc& arc, std::string value, double longest_s) {
  const Rect& scrub = ui.in.layout.scrub;
  const Ui::Touched touched = ui.touch({WidgetRecord::Kind::slider,
                                        "scrub",
                                        "time",
                                        std::move(value),
                                        false,
                                        {scrub.x - 12, scrub.y, scrub.w + 24, scrub.h}},
                                       8);
  if (touched.held) {
    ui.push(Seek{std::clamp(arc.time_of(touched.mouse.x), 0.0, longest_s)});
    ui.out.dragging = true;
  }
}

Arc::Arc(const Flight& flight, const Layout& layout, double span_s)
    : area_(layout.scrub), ground_(layout.ground_y), span_(span_s) {
  const double duration = flight.duration();
  const double first = flight.at(0).com_W.y, last = flight.at(duration).com_W.y;
  double highest = 1e-9;
  for (int i = 0; i <= samples; ++i) {
    const double t = std::min(duration, span_ * i / samples);
    heights_[i] = flight.at(t).com_W.y - first - (last - first) * t / duration;
    highest = std::max(highest, heights_[i]);
  }
  for (double& height : heights_) height *= layout.arc_height / highest;
}

Point Arc::at(double share) const {
  const double place = std::clamp(share, 0.0, 1.0) * samples;
  const int i = std::min(samples - 1, static_cast<int>(place));
  const double height = heights_[i] + (place - i) * (heights_[i + 1] - heights_[i]);
  return {area_.x + area_.w * share, ground_ - height};
}

void show_arc(Ui& ui, const Arc& arc, double share) {
  const Palette& c = ui.c();
  const Layout& l = ui.in.layout;
  std::vector<Point> past, ahead;
  constexpr int pieces = Arc::samples;
  for (int i = 0; i <= pieces; ++i) {
    const double u = static_cast<double>(i) / pieces;
    (u <= share ? past : ahead).push_back(arc.at(u));
  }
  past.push_back(arc.at(share));
  ahead.insert(ahead.begin(), arc.at(share));
  const auto fill_under = [&](const std::vector<Point>& points, Color tint) {
    for (std::size_t i = 1; i < points.size(); ++i) {
      const Point &a = points[i - 1], &b = points[i];
      // Whole pixels, so that neighbours do not show a seam.
      ui.paint.fill({std::round(a.x), std::min(a.y, b.y), std::round(b.x) - std::round(a.x),
                     l.ground_y - std::min(a.y, b.y)},
                    tint);
    }
  };
  fill_under(ahead, c.mat);
  fill_under(past, c.mat);
  fill_under(past, faded(c.ink, 0.10));
  ui.paint.polyline(ahead, c.edge, 4 / c.line_factor * std::min(1.3, c.line_factor));
  ui.paint.polyline(past, c.ink, 5);
  ui.paint.line({l.scrub.x, l.ground_y}, {l.scrub.right(), l.ground_y}, c.ink, 2);
}

void show_event(Ui& ui, EventKind kind, Point p) {
  const Palette& c = ui.c();
  const double r = 7;
  switch (kind) {
    case EventKind::takeoff:
      ui.paint.polygon({{p.x - 8, p.y + 3}, {p.x, p.y - 11}, {p.x + 8, p.y + 3}}, c.ink);
      break;
    case EventKind::arm_drop:
      ui.paint.fill({p.x - r, p.y - r, 2 * r, 2 * r}, c.plate);
      ui.paint.outline({p.x - r, p.y - r, 2 * r, 2 * r}, c.ink, 2);
      ui.paint.line({p.x - 3, p.y + 3}, {p.x + 3, p.y - 3}, c.ink, 2);
      break;
    case EventKind::open:
      ui.paint.polygon({{p.x - 9, p.y}, {p.x, p.y - 9}, {p.x + 9, p.y}, {p.x, p.y + 9}}, c.plate, c.ink, 2);
      break;
    case EventKind::strike:
      ui.paint.polygon({{p.x - 8, p.y - 8}, {p.x + 8, p.y}, {p.x - 8, p.y + 8}}, c.plate, c.ink, 2);
      break;
    case EventKind::landing_in_sight:
      show_eye(ui, p);
      break;
    case EventKind::landing:
      ui.paint.polygon({{p.x - 10, p.y - 9}, {p.x + 10, p.y - 9}, {p.x, p.y + 8}}, c.front, c.line, 1.5);
      break;
  }
}

void show_events(Ui& ui, const Arc& arc, const Flight& flight) {
  for (const FlightEvent& event : flight.events()) {
    const double x = arc.x_of(event.time);
    const bool end = event.kind == EventKind::takeoff || event.kind == EventKind::landing;
    const double share = (x - ui.in.layout.scrub.x) / ui.in.layout.scrub.w;
    if (!end) ui.paint.dotted({x, ui.in.layout.ground_y - 8}, arc.at(share), ui.c().ink, 1.6);
    show_event(ui, event.kind, {x, ui.in.layout.ground_y});
  }
}

void show_bead(Ui& ui, Point p, double turn_deg) {
  const Palette& c = ui.c();
  ui.paint.disc(p, 10, c.plate);
  ui.paint.ring(p, 10, c.ink, 1.5);
  const double a = to_rad(turn_deg);
  const Point out{-std::sin(a), -std::cos(a)};
  const Point m{p.x + out.x * 7, p.y + out.y * 7};
  const double r = 7;
  ui.paint.polygon({{m.x + out.x * r, m.y + out.y * r},
                    {m.x - out.y * r, m.y + out.x * r},
                    {m.x - out.x * r, m.y - out.y * r},
                    {m.x + out.y * r, m.y - out.x * r}},
                   c.front, c.line, 1.3);
}

}  // namespace halfturn
