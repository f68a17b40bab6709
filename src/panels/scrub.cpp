#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "eyes.hpp"
#include "scrub_parts.hpp"
#include "session/words.hpp"

namespace halfturn {
namespace {

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
  std::vector<WordPlace> placed;
  const double y = ui.in.layout.ground_y + (wide ? 54 : 38);
  const auto place = [&](const FlightEvent& event) {
    const std::string words = event_words(event, rung);
    const double w = ui.paint.text_width(Type::label_bold, words);
    const Rect& area = ui.in.layout.scrub;
    const double from = std::clamp(arc.x_of(event.time) - w / 2, area.x - 9, area.right() + 9 - w);
    for (const WordPlace& other : placed) {
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
    if (ends) place_sight_words(ui, y, placed);
  }
}

}  // namespace

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
  const Arc arc(flight, l);
  const FlightSample now = flight.at(t);
  const int frame = frame_at(t, duration, s.playback.fps), last = last_frame(duration, s.playback.fps);

  if (!l.scrub_words.empty()) {
    const Rect& area = l.scrub_words;
    const double y = area.y + 22;
    const std::string words = progress_words(turned_so_far_deg(rung, now, duration), rung.turn_deg, rung.side,
                                             s.settings.turn_unit);
    const Type type = wide ? Type::text_bold : Type::label_bold;
    std::string frames = fmt::format("frame {} of {}", frame, last);
    // Who made the flight, as long as there is room for it.
    const std::string made{provenance_word(flight.provenance())};
    const std::string longest = flight.provenance() == Provenance::drawn       ? made + ", not simulated"
                                : flight.provenance() == Provenance::simulated ? made + ", " + s.flown_by
                                                                               : made;
    const double room = area.w - ui.paint.text_width(type, words) - 120;
    for (const std::string& maker : {longest, made}) {
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

  touch_scrub(ui, arc, fmt::format("{}", frame), duration);

  const double share = t / duration;
  show_arc(ui, arc, share);
  show_ticks(ui, arc, wide);

  const int beads = wide ? 11 : 5;
  for (int i = 1; i <= beads; ++i) {
    const double u = static_cast<double>(i) / (beads + 1);
    if (std::abs(u - share) * l.scrub.w < 36) continue;
    show_bead(ui, arc.at(u), turned_so_far_deg(rung, flight.at(u * duration), duration));
  }
  show_events(ui, arc, flight);
  show_sight_spans(ui);
  show_event_words(ui, arc, wide);

  // The thumb: a dial of its own on the arc, and a stem to the ground.
  const Point p = arc.at(share);
  ui.paint.line({p.x, p.y}, {p.x, l.ground_y + 14}, c.ink, 3);
  ui.paint.disc(p, 31, c.air);
  ui.paint.line({p.x, p.y + 24}, {p.x, std::max(p.y + 31, l.ground_y + 14)}, c.ink, 3);
  mini_dial(ui.paint, p, 24, turned_so_far_deg(rung, now, duration), false);
}

}  // namespace halfturn
