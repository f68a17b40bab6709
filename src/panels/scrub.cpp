#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

/// The arc of the jump on the screen: time to the right, height of the centre of mass up.
class Arc {
 public:
  Arc(const Ui& ui, const Rect& area) : flight_(ui.in.flight), area_(area), layout_(ui.in.layout) {
    duration_ = flight_.duration();
    first_ = flight_.at(0).com_W.y;
    last_ = flight_.at(duration_).com_W.y;
    for (int i = 0; i <= samples; ++i) {
      heights_[i] = rise(duration_ * i / samples);
      highest_ = std::max(highest_, heights_[i]);
    }
  }
  [[nodiscard]] double x_of(double t) const { return area_.x + area_.w * t / duration_; }
  [[nodiscard]] double time_of(double x) const { return duration_ * (x - area_.x) / area_.w; }
  /// On the arc at a share of the flight.
  [[nodiscard]] Point at(double share) const {
    const double place = std::clamp(share, 0.0, 1.0) * samples;
    const int i = std::min(samples - 1, static_cast<int>(place));
    const double height = heights_[i] + (place - i) * (heights_[i + 1] - heights_[i]);
    return {area_.x + area_.w * share, layout_.ground_y - layout_.arc_height * height / highest_};
  }
  static constexpr int samples = 96;

 private:
  [[nodiscard]] double rise(double t) const {
    return flight_.at(t).com_W.y - first_ - (last_ - first_) * t / duration_;
  }
  const Flight& flight_;
  Rect area_;
  const Layout& layout_;
  double duration_ = 1, first_ = 0, last_ = 0, highest_ = 1e-9;
  double heights_[samples + 1] = {};
};

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
      ui.paint.disc(p, r + 1, c.plate);
      ui.paint.ring(p, r + 1, c.ink, 2);
      ui.paint.disc(p, 3, c.ink);
      break;
    case EventKind::landing:
      ui.paint.polygon({{p.x - 10, p.y - 9}, {p.x + 10, p.y - 9}, {p.x, p.y + 8}}, c.front, c.line, 1.5);
      break;
  }
}

/// A circle with a yellow mark at the side the chest is turned to; the start is up.
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

void show_ticks(Ui& ui, const Arc& arc, bool wide) {
  const Session& s = ui.session();
  const double ground = ui.in.layout.ground_y;
  const double duration = ui.in.flight.duration();
  const int last = last_frame(duration, s.playback.fps);
  const double spacing = ui.in.layout.scrub.w / std::max(1, last);
  const int small = spacing >= 5 ? 1 : spacing >= 2.5 ? 2 : 10;
  const int large = spacing * 10 >= 44 ? 10 : spacing * 20 >= 44 ? 20 : 50;
  for (int k = 0; k <= last; k += small) {
    const bool tenth = k % large == 0;
    const double x = arc.x_of(time_of_frame(k, duration, s.playback.fps));
    ui.paint.line({x, ground}, {x, ground + (tenth ? 14 : 7)}, ui.c().ink, tenth ? 2 : 1.5);
    if (tenth && wide && (k == 0 || arc.x_of(duration) - x > 28 || k == last)) {
      ui.paint.text(Type::label, {x, ground + 32}, ui.c().dim, fmt::format("{}", k), TextAlign::middle);
    }
  }
}

void show_event_words(Ui& ui, const Arc& arc, bool wide) {
  const Rung& rung = ui.session().rung_now();
  const auto& events = ui.in.flight.events();
  struct Placed {
    double from, to;
  };
  std::vector<Placed> placed;
  const double y = ui.in.layout.ground_y + (wide ? 54 : 38);
  const auto place = [&](const FlightEvent& event) {
    const std::string words = event_words(event, rung);
    const double w = ui.paint.text_width(Type::label_bold, words);
    const Rect& area = ui.in.layout.scrub;
    const double from = std::clamp(arc.x_of(event.time) - w / 2, area.x - 9, area.right() + 9 - w);
    for (const Placed& other : placed) {
      if (from < other.to + 12 && from + w + 12 > other.from) return;
    }
    placed.push_back({from, from + w});
    ui.words("event/" + std::string(event_word(event.kind)), Type::label_bold, {from, y}, ui.c().ink, words);
  };
  // Both ends first: they are never left out for another.
  for (const bool ends : {true, false}) {
    for (const FlightEvent& event : events) {
      const bool end = event.kind == EventKind::takeoff || event.kind == EventKind::landing;
      if (end == ends && (ends || wide)) place(event);
    }
  }
}

void show_play(Ui& ui) {
  const Layout& l = ui.in.layout;
  if (l.play.empty()) return;
  const Session& s = ui.session();
  const Ui::Touched touched =
      ui.touch({WidgetRecord::Kind::button, "play", s.playback.playing ? "pause" : "play", "",
                s.playback.playing, l.play},
               32);
  if (touched.pressed) ui.push(Play{!s.playback.playing});
  const Point p{l.play.mid_x(), l.play.mid_y()};
  ui.paint.disc(p, 32, ui.c().selected);
  if (s.playback.playing) {
    ui.paint.fill({p.x - 11, p.y - 13, 8, 26}, ui.c().on_selected);
    ui.paint.fill({p.x + 3, p.y - 13, 8, 26}, ui.c().on_selected);
  } else {
    ui.paint.polygon({{p.x - 9, p.y - 15}, {p.x + 17, p.y}, {p.x - 9, p.y + 15}}, ui.c().on_selected);
  }
  if (l.speed.empty()) return;
  const std::string rate = rate_words(s.playback.rate);
  const Ui::Touched speed =
      ui.touch({WidgetRecord::Kind::button, "speed", "speed " + rate, rate, false, l.speed}, 24);
  if (speed.hovered) ui.paint.outline({l.speed.x, l.speed.y + 4, l.speed.w, 40}, ui.c().edge, 2, 20);
  ui.paint.text(Type::label_bold, {l.speed.mid_x(), l.speed.mid_y() + 6}, ui.c().ink,
                l.form == Form::wide ? "speed " + rate : "x " + rate, TextAlign::middle);
  // Slower with every press, then from the start again.
  if (speed.pressed) ui.push(ChooseRate{s.playback.rate <= slowest_rate ? 1.0 : s.playback.rate / 2});
}

}  // namespace

void show_scrub(Ui& ui) {
  const Layout& l = ui.in.layout;
  if (l.scrub.empty()) return;
  show_play(ui);
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Flight& flight = ui.in.flight;
  const Rung& rung = s.rung_now();
  const double duration = flight.duration();
  const double t = std::clamp(s.playback.t, 0.0, duration);
  const bool wide = l.form == Form::wide;
  const Arc arc(ui, l.scrub);
  const FlightSample now = flight.at(t);
  const int frame = frame_at(t, duration, s.playback.fps), last = last_frame(duration, s.playback.fps);

  if (!l.scrub_words.empty()) {
    const Rect& area = l.scrub_words;
    const double y = area.y + 22;
    const std::string words =
        progress_words(turned_so_far_deg(rung, now, duration), rung.turn_deg, rung.side);
    const Type type = wide ? Type::text_bold : Type::label_bold;
    std::string frames = fmt::format("frame {} of {}", frame, last);
    // Who made the flight, as long as there is room for it.
    const std::string made{provenance_word(flight.provenance())};
    const double room = area.w - ui.paint.text_width(type, words) - 120;
    for (const std::string& maker :
         {flight.provenance() == Provenance::drawn ? made + ", not simulated" : made, made}) {
      const std::string longer = maker + "   " + frames;
      if (wide && ui.paint.text_width(Type::text, longer) <= room) {
        frames = longer;
        break;
      }
    }
    const double right = ui.words("scrub/frame", wide ? Type::text : Type::label, {area.right(), y}, c.dim,
                                  frames, TextAlign::right);
    double x = area.x;
    if (wide) x += ui.words("scrub/now", Type::text, {x, y}, c.dim, "now") + 8;
    side_badge(ui.paint, {x + 14, y - 7}, 14, rung.side);
    x += 38;
    ui.words("scrub/turned", type, {x, y}, c.ink, ui.paint.cut(type, words, area.right() - right - 16 - x));
  }

  // Hit area over the whole height; a drag follows the mouse.
  WidgetRecord record{
      WidgetRecord::Kind::slider, "scrub", "time",
      fmt::format("{}", frame),   false,   {l.scrub.x - 12, l.scrub.y, l.scrub.w + 24, l.scrub.h}};
  const Ui::Touched touched = ui.touch(std::move(record), 8);
  if (touched.held) {
    ui.push(Seek{std::clamp(arc.time_of(touched.mouse.x), 0.0, duration)});
    ui.out.dragging = true;
  }

  // What has been flown, and what is ahead.
  const double share = t / duration;
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
  show_ticks(ui, arc, wide);

  const int beads = wide ? 11 : 5;
  for (int i = 1; i <= beads; ++i) {
    const double u = static_cast<double>(i) / (beads + 1);
    if (std::abs(u - share) * l.scrub.w < 36) continue;
    show_bead(ui, arc.at(u), turned_so_far_deg(rung, flight.at(u * duration), duration));
  }
  for (const FlightEvent& event : flight.events()) {
    const double u = event.time / duration;
    const bool end = event.kind == EventKind::takeoff || event.kind == EventKind::landing;
    if (!end) ui.paint.dotted({arc.x_of(event.time), l.ground_y - 8}, arc.at(u), c.ink, 1.6);
    show_event(ui, event.kind, {arc.x_of(event.time), l.ground_y});
  }
  show_event_words(ui, arc, wide);

  // The thumb: a dial of its own on the arc, and a stem to the ground.
  const Point p = arc.at(share);
  ui.paint.line({p.x, p.y}, {p.x, l.ground_y + 14}, c.ink, 3);
  ui.paint.disc(p, 31, c.air);
  ui.paint.line({p.x, p.y + 24}, {p.x, std::max(p.y + 31, l.ground_y + 14)}, c.ink, 3);
  mini_dial(ui.paint, p, 24, turned_so_far_deg(rung, now, duration), false);
}

}  // namespace halfturn
