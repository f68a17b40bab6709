#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scrub_parts.hpp"
#include "session/words.hpp"

namespace halfturn {
namespace {

constexpr double flip_tick_deg = 10, flip_number_deg = 90;

/// Moments at which the flip of a flight passes whole ticks, s.
std::vector<double> flip_ticks(const Flight& flight) {
  std::vector<double> times;
  const double end = flight.duration();
  double t0 = 0, f0 = to_deg(flight.at(0).angles.flip);
  for (int i = 1; i <= Arc::samples; ++i) {
    const double t1 = end * i / Arc::samples, f1 = to_deg(flight.at(t1).angles.flip);
    for (double tick = flip_tick_deg * std::ceil(f0 / flip_tick_deg); tick < f1; tick += flip_tick_deg)
      times.push_back(t0 + (t1 - t0) * (tick - f0) / (f1 - f0));
    t0 = t1;
    f0 = f1;
  }
  return times;
}

/// `thumb` hides the numbers that it would cut.
void show_tick(Ui& ui, double x, const std::string& number, const Rect& thumb) {
  const double ground = ui.in.layout.ground_y;
  const bool large = !number.empty();
  ui.paint.line({x, ground}, {x, ground + (large ? 14 : 7)}, ui.c().ink, large ? 2 : 1.5);
  const bool cut = thumb.bottom() > ground + 16 && x > thumb.x - 20 && x < thumb.right() + 20;
  if (large && !cut && ui.in.layout.form == Form::wide)
    ui.paint.text(Type::label, {x, ground + 32}, ui.c().dim, number, TextAlign::middle);
}

/// Frames, hundredths of the flight, or degrees of the flip, as the stages are locked.
void show_ticks(Ui& ui, const Arc& arc, const Flight& lead, Lock lock, double span, const Rect& thumb) {
  const Session& s = ui.session();
  const double px_a_second = ui.in.layout.scrub.w / span;
  if (lock == Lock::flip_angle && lead.at(lead.duration()).angles.flip > 0) {
    const double first = to_deg(lead.at(0).angles.flip);
    double tick = flip_tick_deg * std::ceil(first / flip_tick_deg);
    for (const double time : flip_ticks(lead)) {
      const bool large = std::fmod(tick, flip_number_deg) == 0;
      show_tick(ui, arc.x_of(time), large ? fmt::format("{:.0f}\u00b0", tick) : std::string(), thumb);
      tick += flip_tick_deg;
    }
    return;
  }
  if (lock != Lock::time) {
    const int step = ui.in.layout.scrub.w >= 500 ? 1 : 2;
    for (int k = 0; k <= 100; k += step)
      show_tick(ui, arc.x_of(span * k / 100), k % 10 == 0 ? fmt::format("{}", k) : std::string(), thumb);
    return;
  }
  const int fps = s.playback.fps, last = last_frame(span, fps);
  const int small = px_a_second / fps >= 5 ? 1 : px_a_second / fps >= 2.5 ? 2 : 10;
  const int large = px_a_second / fps * 10 >= 44 ? 10 : 50;
  for (int k = 0; k <= last; k += small)
    show_tick(ui, arc.x_of(time_of_frame(k, span, fps)),
              k % large == 0 ? fmt::format("{}", k) : std::string(), thumb);
}

std::string moment_words(const Session& s, const Flight& lead, double t, Lock lock, double span) {
  switch (lock) {
    case Lock::time:
      return fmt::format("{:.2f} s of {:.2f} s", t, span);
    case Lock::share:
      return fmt::format("{:.0f} of 100, share of the flight", 100 * t / span);
    case Lock::flip_angle:
      return s.rung_now().flip_deg == 0 ? std::string("no flip: locked by share")
                                        : fmt::format("flip {:.0f}\u00b0", to_deg(lead.at(t).angles.flip));
  }
  return "";
}

void show_locks(Ui& ui) {
  const Rect& area = ui.in.layout.locks;
  const Comparison now = *ui.session().look.comparison;
  Comparison wanted = now;
  if (area.h < 100) {
    const std::string label = "by " + std::string(lock_word(now.lock));
    if (ui.pill("lock/step", label, area, false, false, Type::label_bold)) {
      wanted.lock = static_cast<Lock>((static_cast<int>(now.lock) + 1) % lock_count);
      ui.push(Compare{wanted});
    }
    return;
  }
  for (int i = 0; i < lock_count; ++i) {
    const auto lock = static_cast<Lock>(i);
    const std::string word{lock_word(lock)};
    if (ui.pill("lock/" + word, "by " + word, {area.x, area.y + 56.0 * i, area.w, 48}, now.lock == lock,
                true)) {
      wanted.lock = lock;
      ui.push(Compare{wanted});
    }
  }
}

}  // namespace

void show_compare_scrub(Ui& ui) {
  const Layout& l = ui.in.layout;
  if (l.scrub.empty() || ui.in.compare == nullptr) return;
  show_play(ui);
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Lock lock = s.look.comparison->lock;
  const bool wide = l.form == Form::wide;
  const std::vector<Flight>& flights = ui.in.compare->flights;
  // By time the scrub is as long as the longest flight.
  const std::size_t leads = leading_flight(*s.look.comparison, flights);
  const Flight &first = flights.front(), &lead = flights[leads];
  const double span = lead.duration(), t = std::clamp(s.playback.t, 0.0, span);
  const Arc arc(lead, l);
  const std::vector<double> times = compared_times(s, flights);

  const double y = l.scrub_words.y + 22;
  const Type type = wide ? Type::text : Type::label;
  if (!l.scrub_words.empty()) {
    const double used = ui.words("scrub/moment", type, {l.scrub_words.right(), y}, c.dim,
                                 moment_words(s, first, t, lock, span), TextAlign::right);
    if (l.scrub_words.w - used > 180)
      ui.words("scrub/both", type, {l.scrub_words.x, y}, c.dim,
               flights.size() == 2 ? "one scrub for both" : "one scrub for all");
  }
  touch_scrub(ui, arc, fmt::format("{:.2f}", t), span);
  const double share = t / span;
  show_arc(ui, arc, share);
  const Point p = arc.at(share);
  const double dial = flights.size() > 2 ? 15 : wide ? 21 : 17, tall = dial + 10;
  const auto count = static_cast<double>(flights.size());
  const double half = 1.38 * count * dial,
               x = std::clamp(p.x, l.scrub.x + half - 12, l.scrub.right() - half + 12);
  const Rect thumb{x - half, p.y - tall, 2 * half, 2 * tall};
  show_ticks(ui, arc, lead, lock, span, thumb);
  const Rung& led = s.stages[leads].now();
  const int beads = wide ? 11 : 5;
  for (int i = 1; i <= beads; ++i) {
    const double u = static_cast<double>(i) / (beads + 1);
    if (std::abs(u - share) * l.scrub.w < 76) continue;
    show_bead(ui, arc.at(u), turned_so_far_deg(led, lead.at(u * span), span));
  }
  show_events(ui, arc, lead);
  const double words_y = l.ground_y + (wide ? 54 : 38);
  ui.words("event/takeoff", Type::label_bold, {l.scrub.x - 9, words_y}, c.ink, "takeoff");
  ui.words("event/landing", Type::label_bold, {l.scrub.right() + 9, words_y}, c.ink, "landing",
           TextAlign::right);

  // One thumb with a dial for each stage.
  ui.paint.line({p.x, p.y}, {p.x, l.ground_y + 14}, c.ink, 3);
  ui.paint.fill({thumb.x - 4, thumb.y - 4, thumb.w + 8, thumb.h + 8}, c.air, tall + 4);
  ui.paint.fill(thumb, c.plate, tall);
  ui.paint.outline(thumb, c.ink, 2, tall);
  for (std::size_t i = 0; i < flights.size(); ++i) {
    const double turned =
        turned_so_far_deg(s.stages[i].now(), flights[i].at(times[i]), flights[i].duration());
    const double aside = 2.66 * (static_cast<double>(i) - 0.5 * (count - 1));
    mini_dial(ui.paint, {x + aside * dial, p.y + 2}, dial, turned, false);
  }
  show_locks(ui);
}

}  // namespace halfturn
