#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "rotation/heading.hpp"
#include "session/words.hpp"
#include "skill/stance.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

/// The floor seen from above, start up; radii in metres as on the floor dial of the stage.
struct FloorDial {
  Point centre;
  double px_a_metre = 1;
  double start_deg = 0;
  /// At an angle to the left of the start, degrees, and a radius, m.
  [[nodiscard]] Point at(double left_deg, double radius) const {
    const double a = to_rad(left_deg);
    return {centre.x - std::sin(a) * radius * px_a_metre, centre.y - std::cos(a) * radius * px_a_metre};
  }
};

/// A band of a ring from one angle to another.
void band(Ui& ui, const FloorDial& dial, double from_deg, double to_deg_, double inner, double outer,
          Color fill, bool filled) {
  const int pieces = std::max(2, static_cast<int>(std::abs(to_deg_ - from_deg) / 4));
  std::vector<Point> edge;
  const auto angle = [&](double i) { return from_deg + (to_deg_ - from_deg) * i / pieces; };
  for (int i = 0; i < pieces; ++i) {
    const double next = angle(std::min<double>(pieces, i + 1.03));
    ui.paint.polygon(
        {dial.at(angle(i), outer), dial.at(next, outer), dial.at(next, inner), dial.at(angle(i), inner)},
        filled ? fill : ui.c().plate);
  }
  for (int i = 0; i <= pieces; ++i) edge.push_back(dial.at(angle(i), outer));
  for (int i = pieces; i >= 0; --i) edge.push_back(dial.at(angle(i), inner));
  ui.paint.polyline(edge, ui.c().ink, filled ? 2 : 1.5, true);
}

void number(Ui& ui, Point p, int n, bool inverse = false) {
  ui.paint.disc(p, 18, inverse ? ui.c().on_selected : ui.c().selected);
  ui.paint.ring(p, 18, inverse ? ui.c().selected : ui.c().plate, 2);
  ui.paint.text(Type::text_bold, {p.x, p.y + 7}, inverse ? ui.c().selected : ui.c().on_selected,
                fmt::format("{}", n), TextAlign::middle);
}

/// Two feet that stand at an angle of the dial and point along a heading: left round, right square.
void feet(Ui& ui, const FloorDial& dial, double place_deg, double radius, double facing_deg, int n,
          bool filled) {
  const Palette& c = ui.c();
  const double a = to_rad(facing_deg);
  const Point ahead{-std::sin(a), -std::cos(a)}, left{-std::cos(a), std::sin(a)};
  const Point middle = dial.at(place_deg, radius);
  const double k = dial.px_a_metre;
  const auto at = [&](double forward, double sideways) {
    return Point{middle.x + (ahead.x * forward + left.x * sideways) * k,
                 middle.y + (ahead.y * forward + left.y * sideways) * k};
  };
  const double half = 0.25, width = 0.09, gap = 0.195;
  // Left: a round sole.
  std::vector<Point> sole;
  for (int i = 0; i < 24; ++i) {
    const double t = (i + 0.5) * pi / 12;
    const double end = std::cos(t) > 0 ? half - width : -(half - width);
    sole.push_back(at(end + std::cos(t) * width, gap + std::sin(t) * width));
  }
  if (filled) {
    ui.paint.line(at(-(half - width), gap), at(half - width, gap), c.left, 2 * width * k / c.line_factor);
    ui.paint.disc(at(half - width, gap), width * k, c.left);
    ui.paint.disc(at(-(half - width), gap), width * k, c.left);
  } else {
    ui.paint.line(at(-(half - width), gap), at(half - width, gap), c.plate, 2 * width * k / c.line_factor);
    ui.paint.disc(at(half - width, gap), width * k, c.plate);
    ui.paint.disc(at(-(half - width), gap), width * k, c.plate);
  }
  ui.paint.polyline(sole, filled ? c.ink : c.left, filled ? 2 : 4, true);
  ui.paint.polygon(
      {at(half, -gap - width), at(half, -gap + width), at(-half, -gap + width), at(-half, -gap - width)},
      filled ? c.right : c.plate, filled ? c.ink : c.right, filled ? 2 : 4);
  const Point l = at(-0.08, gap), r = at(-0.08, -gap);
  ui.paint.text(Type::text_bold, {l.x, l.y + 7}, filled ? c.on_left : c.ink, "L", TextAlign::middle);
  ui.paint.text(Type::text_bold, {r.x, r.y + 7}, filled ? c.on_right : c.ink, "R", TextAlign::middle);
  // The way the chest points.
  ui.paint.polygon({at(0.34, 0.15), at(0.34, -0.15), at(0.55, 0)}, filled ? c.front : c.plate, c.ink, 2);
  number(ui, middle, n);
}

/// A landing arrow outside the ring: green if passed, paper if to come, yellow in play.
void landing_arrow(Ui& ui, const FloorDial& dial, double left_deg, double from, const std::string& peg,
                   bool now, bool passed) {
  const Palette& c = ui.c();
  const double a = to_rad(left_deg);
  const Point out{-std::sin(a), -std::cos(a)}, across{-out.y, out.x};
  const double k = dial.px_a_metre;
  const auto at = [&](double r, double w) {
    return Point{dial.centre.x + (out.x * r + across.x * w) * k,
                 dial.centre.y + (out.y * r + across.y * w) * k};
  };
  if (now) {
    ui.paint.polygon({at(from, -0.11), at(from, 0.11), at(from + 0.16, 0.11), at(from + 0.16, -0.11)},
                     c.front);
    ui.paint.polygon({at(from + 0.12, -0.27), at(from + 0.12, 0.27), at(from + 0.42, 0)}, c.front);
    ui.paint.polyline({at(from, -0.11), at(from, 0.11), at(from + 0.12, 0.11), at(from + 0.12, 0.27),
                       at(from + 0.42, 0), at(from + 0.12, -0.27), at(from + 0.12, -0.11)},
                      c.line, 2, true);
  } else {
    ui.paint.polygon({at(from, -0.155), at(from, 0.155), at(from + 0.13, 0.155), at(from + 0.34, 0),
                      at(from + 0.13, -0.155)},
                     passed ? c.passed : c.plate, c.ink, 2);
  }
  const Point p = at(from + 0.14, 0);
  ui.paint.disc(p, now ? 15 : 14, now ? c.front : passed ? c.passed : c.plate);
  ui.paint.ring(p, now ? 15 : 14, now ? c.line : c.ink, 2);
  ui.paint.text(Type::label_bold, {p.x, p.y + 6},
                now      ? c.on_front
                : passed ? c.on_passed
                         : c.ink,
                peg, TextAlign::middle);
}

void show_ring(Ui& ui, const FloorDial& dial) {
  const Palette& c = ui.c();
  const double k = dial.px_a_metre;
  ui.paint.disc(dial.centre, 1.62 * k, c.plate);
  ui.paint.disc(dial.centre, 1.50 * k, c.mat);
  ui.paint.ring(dial.centre, 1.62 * k, c.ink, 3);
  ui.paint.ring(dial.centre, 1.50 * k, c.ink, 1.5);
  for (int degree = -175; degree <= 180; degree += 5) {
    const bool quarter = degree % 90 == 0, eighth = degree % 45 == 0, small = degree % 15 == 0;
    if (quarter) {
      ui.paint.line(dial.at(degree, 1.46), dial.at(degree, 1.66), c.ink, 12 / c.line_factor);
    } else {
      const double length = eighth ? 0.12 : small ? 0.05 : 0.03;
      ui.paint.line(dial.at(degree, 1.50), dial.at(degree, 1.50 + (eighth ? length : length + 0.02)), c.ink,
                    eighth ? 3 : 1.5);
    }
    if (!small || quarter) continue;
    const Point p = dial.at(degree, 1.76);
    if (eighth) {
      ui.paint.text(Type::text_bold, {p.x, p.y + 7}, c.ink,
                    fmt::format("{} {}", std::abs(degree), degree > 0 ? "L" : "R"), TextAlign::middle);
    } else if (k >= 130) {
      ui.paint.text(Type::label, {p.x, p.y + 6}, c.dim, fmt::format("{}", std::abs(degree)),
                    TextAlign::middle);
    }
  }
}

}  // namespace

void show_walk_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  const WalkWords words = walk_words(*s.ladder, s.rung);
  const Rung& rung = s.rung_now();
  const bool low = area.h < 700;
  ui.words("sheet/caption", Type::text, {area.x, area.y + (low ? 20 : 31)}, ui.c().dim,
           ui.paint.cut(Type::text, words.caption, area.w));
  ui.words("sheet/title", low ? Type::title : Type::answer, {area.x - 2, area.y + (low ? 68 : 95)},
           ui.c().ink, "walk it");
  const bool playing = s.playback.playing;
  if (ui.pill("walk/play", playing ? "pause" : "play",
              {area.right() - 110, area.y + (low ? 30 : 48), 110, 48}, playing))
    ui.push(Play{!playing});
  double y = area.y + (low ? 88 : 166);
  const double h = std::clamp((area.bottom() - 72 - (low ? 4 : 96) - y) / 3 - 14, 74.0, 130.0);
  const double turns[3] = {wrap_deg(rung.walk_stand_deg - rung.start.heading_deg), rung.walk_turn_deg, 0};
  for (int i = 0; i < 3; ++i) {
    const Rect card{area.x, y, area.w, h};
    const bool now = i == s.walk_card;
    const Ui::Touched touched = ui.touch({WidgetRecord::Kind::choice, fmt::format("card/{}", i + 1),
                                          words.title[i] + " " + words.text[i], "", now, card},
                                         8);
    if (touched.pressed) ui.push(ShowCard{i});
    ui.paint.fill(card, now ? ui.c().selected : ui.c().plate, 8);
    if (!now) ui.paint.outline(card, touched.hovered ? ui.c().ink : ui.c().edge, 2, 8);
    const Point peg{card.x + 41, card.mid_y()};
    ui.paint.disc(peg, 22, now ? ui.c().on_selected : ui.c().selected);
    ui.paint.text(Type::turn_bold, {peg.x, peg.y + 8}, now ? ui.c().selected : ui.c().on_selected,
                  fmt::format("{}", i + 1), TextAlign::middle);
    const bool picture = i < 2 && (i == 0 || turns[1] != 0) && card.w >= 380;
    const double room = card.w - 80 - (picture ? 78 : 12);
    const Type type = ui.paint.text_width(Type::step, words.title[i]) <= room ? Type::step : Type::text_bold;
    ui.paint.text(type, {card.x + 80, card.mid_y() - 8}, now ? ui.c().on_selected : ui.c().ink,
                  ui.paint.cut(type, words.title[i], room));
    ui.paint.text(Type::text, {card.x + 80, card.mid_y() + 28}, now ? ui.c().on_selected : ui.c().ink,
                  ui.paint.cut(Type::text, words.text[i], room));
    const Point at{card.right() - 50, card.mid_y()};
    if (picture && i == 0) {
      const double from_start =
          s.rung == 0 || !s.ladder->holds_start ? turns[0] : s.ladder->rungs[s.rung - 1].turn_deg;
      mini_dial(ui.paint, at, 26, from_start, now);
    }
    if (picture && i == 1) turn_arrow(ui.paint, at, 26, turns[1]);
    y += h + 14;
  }
  if (!low) {
    ui.words("walk/sum", Type::text_bold, {area.x, y + 30}, ui.c().ink, words.sum);
    ui.words("walk/note", Type::text, {area.x, y + 58}, ui.c().dim, words.note);
  }
  const double w = (area.w - 32) / 3, by = area.bottom() - 56;
  if (ui.pill("walk/step back", "step back", {area.x, by, w, 56})) {
    s.walk_card > 0 ? ui.push(ShowCard{s.walk_card - 1}) : ui.push(ChooseRung{s.rung == 0 ? 0 : s.rung - 1});
  }
  if (ui.pill("sheet/done", "done", {area.x + w + 16, by, w, 56})) ui.push(ShowSheet{Sheet::none});
  if (ui.pill("walk/step on", "step on", {area.right() - w, by, w, 56}, true)) {
    s.walk_card < 2 ? ui.push(ShowCard{s.walk_card + 1}) : ui.push(ChooseRung{s.rung + 1});
  }
}

void show_walk_dial(Ui& ui) {
  const Rect& area = ui.in.layout.walk_dial;
  if (area.empty()) return;
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Rung& rung = s.rung_now();
  const bool wide = ui.in.layout.form == Form::wide;
  ui.paint.fill(area, c.floor);
  FloorDial dial;
  dial.centre = {area.mid_x() + (wide ? 8 : 0), area.mid_y() - 4};
  dial.px_a_metre = std::min(area.w / (wide ? 4.9 : 4.6), area.h / 5.1);
  dial.start_deg = rung.start.heading_deg;
  const double k = dial.px_a_metre;
  // Seams every metre.
  for (int m = -12; m <= 12; ++m) {
    const double x = dial.centre.x + m * k, y = dial.centre.y + m * k;
    if (x > area.x + 4 && x < area.right())
      ui.paint.line({x, area.y}, {x, area.bottom()}, faded(c.hair, 0.5), 1);
    if (y > area.y && y < area.bottom()) ui.paint.line({area.x, y}, {area.right(), y}, faded(c.hair, 0.5), 1);
  }
  ui.paint.fade({area.x, 0, 60, area.h}, c.air, true, true);
  show_ring(ui, dial);

  const bool holds_start = s.ladder->holds_start;
  const double stand = wrap_deg(rung.walk_stand_deg - rung.start.heading_deg);
  const double face = wrap_deg(rung.walk_face_deg - rung.start.heading_deg);
  const double turn = rung.walk_turn_deg;
  // The beam of the chest, at the place that the card of now tells.
  const double beam = stand + walked_deg(s);
  const bool turning = std::abs(wrap_deg(beam - face)) > 1 && s.walk_card == 1;
  const auto beam_at = [&](double d) { return dial.at(beam + d, 1.48); };
  ui.paint.polygon({dial.centre, beam_at(-16), beam_at(-8), beam_at(0), beam_at(8), beam_at(16)},
                   faded(c.front, 0.55));
  // The way turned last time, outlined; the turn of this step, solid.
  if (holds_start && stand != 0 && s.rung > 0) {
    const double before = s.ladder->rungs[s.rung - 1].turn_deg;
    const double shown = std::clamp(before, -355.0, 355.0);
    band(ui, dial, shown * 0.02, shown * 0.99, 1.29, 1.42, c.plate, false);
    const Point p = dial.at(shown / 2, 1.06);
    ui.paint.text(Type::label_bold, {p.x, p.y + 6}, c.dim, "last time", TextAlign::middle);
  }
  const Color side = turn >= 0 ? c.left : c.right;
  if (turn != 0) {
    const double head = std::copysign(std::min(std::abs(turn) * 0.5, 11.0), turn);
    band(ui, dial, stand + std::copysign(2.0, turn), stand + turn - head, 1.29, 1.42, side, s.walk_card >= 1);
    ui.paint.polygon({dial.at(stand + turn - head, 1.22), dial.at(stand + turn - head, 1.49),
                      dial.at(stand + turn, 1.355)},
                     s.walk_card >= 1 ? side : c.plate, c.ink, 2);
    number(ui, dial.at(stand + turn / 2, 1.355), 2);
    const Point p = dial.at(stand + turn / 2, 0.98);
    ui.paint.text(Type::text_bold, {p.x, p.y}, c.ink, turn_words(turn), TextAlign::middle);
    ui.paint.text(Type::text_bold, {p.x, p.y + 26}, c.ink, turn > 0 ? "left" : "right", TextAlign::middle);
  }
  // Start arrow, hollow.
  const auto start = [&](double r, double w) { return Point{dial.centre.x - w * k, dial.centre.y - r * k}; };
  ui.paint.polygon({start(0.52, 0.08), start(0.52, -0.08), start(0.88, -0.08), start(0.88, 0.08)}, c.plate);
  ui.paint.polygon({start(0.86, 0.22), start(1.20, 0), start(0.86, -0.22)}, c.plate);
  ui.paint.polyline({start(0.52, 0.08), start(0.86, 0.08), start(0.86, 0.22), start(1.20, 0),
                     start(0.86, -0.22), start(0.86, -0.08), start(0.52, -0.08)},
                    c.ink, 2.5, true);
  ui.paint.text(Type::text_bold, {dial.centre.x, dial.centre.y - 0.52 * k + 24}, c.ink, "start",
                TextAlign::middle);

  // Feet: where you stand, and where you face after the turn.
  if (turn != 0 || s.walk_card == 0) feet(ui, dial, stand, 0.6, stand, 1, s.walk_card == 0);
  if (turn != 0 || s.walk_card != 0) feet(ui, dial, face, 0.6, face, 3, s.walk_card == 2);
  if (turning) feet(ui, dial, beam, 0.6, beam, 2, true);

  // Landings of the climb, one for each way: that of now before all others.
  std::vector<double> places;
  std::vector<std::size_t> order{s.rung};
  for (std::size_t i = 0; i < s.ladder->rungs.size(); ++i) {
    if (i != s.rung) order.push_back(i);
  }
  for (const std::size_t i : order) {
    const double way = wrap_deg(s.ladder->rungs[i].landing.heading_deg - rung.start.heading_deg);
    const bool taken = std::any_of(places.begin(), places.end(),
                                   [&](double place) { return std::abs(wrap_deg(place - way)) < 14; });
    if (taken) continue;
    places.push_back(way);
    const bool passed = i < s.gates.size() && s.gates[i].passed;
    landing_arrow(ui, dial, way, 1.72, i == 0 ? "B" : fmt::format("{}", i), i == s.rung, passed);
  }
  // Names of the walls; the one that is faced on a yellow tag.
  const std::array<const std::string*, 4> names{&s.plan.walls.front, &s.plan.walls.left, &s.plan.walls.back,
                                                &s.plan.walls.right};
  for (int i = 0; i < 4; ++i) {
    const double way = wrap_deg(90.0 * i - rung.start.heading_deg);
    const bool faced = std::abs(wrap_deg(way - beam)) < 1;
    Point p = dial.at(way, std::abs(std::sin(to_rad(way))) > 0.7 ? 2.12 : 2.34);
    const Type type = faced ? Type::step : Type::text_bold;
    const double w = ui.paint.text_width(type, *names[static_cast<std::size_t>(i)]);
    const bool at_side = std::abs(std::sin(to_rad(way))) > 0.7;
    if (at_side) p.y -= 0.32 * k;
    p.x = std::clamp(p.x, area.x + w / 2 + 28, area.right() - w / 2 - 28);
    p.y = std::clamp(p.y, area.y + 32, area.bottom() - 34);
    if (faced) {
      const Rect tag{p.x - w / 2 - 20, p.y - 24, w + 40, 48};
      ui.paint.fill(tag, c.front, 8);
      ui.paint.outline(tag, c.line, 2, 8);
      ui.words("wall/faced", type, {p.x, p.y + 10}, c.on_front, *names[static_cast<std::size_t>(i)],
               TextAlign::middle);
    } else {
      ui.paint.text(type, {p.x, p.y + 7}, c.ink, *names[static_cast<std::size_t>(i)], TextAlign::middle);
    }
  }
}

}  // namespace halfturn
