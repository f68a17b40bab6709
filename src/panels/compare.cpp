#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "panels/pane_words.hpp"
#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

constexpr double seam_radius = 34;

/// What one of the two stages shows now.
struct StageNow {
  const Rung& rung;
  const Flight& flight;
  double time = 0;  // s, of its own flight
};

std::array<StageNow, 2> stages_now(const Ui& ui) {
  const Session& s = ui.session();
  const std::array<double, 2> times = compared_times(s, ui.in.flight, ui.in.compare->flight);
  return {StageNow{s.rung_now(), ui.in.flight, times[0]},
          StageNow{s.partner.now(), ui.in.compare->flight, times[1]}};
}

void show_pairs(Ui& ui) {
  const Rect& area = ui.in.layout.pairs;
  const Comparison now = *ui.session().look.comparison;
  const bool wide = ui.in.layout.form == Form::wide;
  struct Pair {
    const char* label;
    const char* shorter;
    Pairing pairing;
  };
  static constexpr Pair pairs[] = {{"on and off axis", "axis", Pairing::axes},
                                   {"left and right", "sides", Pairing::sides},
                                   {"two forms", "forms", Pairing::forms},
                                   {"next rung", "next", Pairing::next}};
  const Type type = Type::label_bold;
  const auto total = [&](bool full) {
    double sum = 0;
    for (const Pair& pair : pairs) sum += ui.pill_width(full ? pair.label : pair.shorter, type) + 8;
    return sum + ui.pill_width("table", type) + ui.pill_width("one stage", type) + 8;
  };
  const bool full = wide && total(true) <= area.w;
  double x = area.x;
  const auto pill = [&](const std::string& name, const char* label, bool on, bool choice) {
    const double w = ui.pill_width(label, type);
    const bool pressed = ui.pill(name, label, {x, area.y, w, area.h}, on, choice, type);
    x += w + 8;
    return pressed;
  };
  for (const Pair& pair : pairs) {
    const bool on = now.pairing == pair.pairing;
    if (!pill(std::string("pair/") + pair.shorter, full ? pair.label : pair.shorter, on, true)) continue;
    Comparison wanted = now;
    wanted.pairing = pair.pairing;
    // Of three forms the other two take turns.
    if (on && pair.pairing == Pairing::forms) wanted.form = now.form == 1 ? 2 : 1;
    ui.push(Compare{wanted});
  }
  Comparison other = now;
  other.table = !now.table;
  if (pill("compare/table", "table", now.table, true)) ui.push(Compare{other});
  if (pill("compare/done", full ? "one stage" : "done", false, false)) ui.push(Compare{std::nullopt});
}

void show_words(Ui& ui, const CompareWords& words) {
  const Layout& l = ui.in.layout;
  const Rect& area = l.compare_words;
  const bool wide = l.form == Form::wide;
  const double y = area.bottom() - (wide ? 12 : 10);
  double right = area.right();
  // The row of gazes lies over the right end of this one.
  if (ui.session().look.camera == CameraKind::eyes) right = 0.5 * l.width;
  double x = area.x;
  x += ui.words("compare/lead", wide ? Type::text : Type::label, {x, y}, ui.c().dim, words.lead) + 12;
  Type type = wide ? Type::title : Type::step;
  for (const Type smaller : {Type::step, Type::text_bold}) {
    if (ui.paint.text_width(type, words.wall) > 0.5 * (right - x)) type = smaller;
  }
  x += ui.words("compare/wall", type, {x, y}, ui.c().ink, ui.paint.cut(type, words.wall, right - x)) + 28;
  const Type small = wide ? Type::text : Type::label;
  if (right - x > 120)
    ui.words("compare/differs", small, {x, y}, ui.c().dim, ui.paint.cut(small, words.differs, right - x));
}

void show_pane(Ui& ui, int index, const StageNow& now) {
  const Rect& pane = ui.in.layout.panes[static_cast<std::size_t>(index)];
  const bool wide = ui.in.layout.form == Form::wide;
  const Palette& c = ui.c();
  const unsigned texture = ui.in.compare->texture[index];
  if (texture != 0) ui.paint.image(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(texture)), pane);
  const std::string name = index == 0 ? "first" : "second";
  const double x = pane.x + (wide ? 24 : 16), room = pane.w - (wide ? 48 : 32);
  const Type small = wide ? Type::text : Type::label;
  if (pane_words_height(ui.in.layout) > 0) {
    const Type title = wide ? Type::title : Type::step;
    const std::string above = ui.paint.cut(title, now.rung.title, room);
    const std::string below = ui.paint.cut(small, stage_words(now.rung), room);
    const double y = pane.y + (wide ? 44 : 30), next = y + (wide ? 32 : 26);
    if (ui.session().look.camera == CameraKind::eyes) {
      // Through the eyes the walls come under every word.
      const double w = std::max(ui.paint.text_width(title, above), ui.paint.text_width(small, below));
      ui.paint.fill({pane.x, pane.y, x - pane.x + w + 16, next + 12 - pane.y}, faded(c.air, 0.85));
    }
    ui.words(name + "/title", title, {x - 1, y}, c.ink, above);
    ui.words(name + "/stage", small, {x, next}, c.dim, below);
  }
  const double duration = now.flight.duration();
  const FlightSample sample = now.flight.at(now.time);
  const double turned = std::abs(turned_so_far_deg(now.rung, sample, duration));
  const std::string words = now.rung.turn_deg == 0 ? std::string("no turn to make")
                                                   : fmt::format("{:.0f}\u00b0 of {:.0f}\u00b0 turned",
                                                                 turned, std::abs(now.rung.turn_deg));
  const Type bold = wide ? Type::text_bold : Type::label_bold;
  side_badge(ui.paint, {x + 13, pane.bottom() - 22}, 13, now.rung.side);
  ui.words(name + "/turned", bold, {x + 36, pane.bottom() - 15}, c.ink, words);
  // The table says it of the whole flight.
  if (!ui.in.layout.table.empty()) return;
  const double right = pane.right() - (wide ? 24 : 16);
  const double lean = std::abs(to_deg(sample.angles.lean));
  ui.words(name + "/lean", bold, {right, pane.bottom() - 15}, c.ink,
           fmt::format("lean {:.0f}\u00b0", std::round(lean) + 0.0), TextAlign::right);
  ui.words(name + "/air", small, {right, pane.bottom() - (wide ? 43 : 39)}, c.dim,
           fmt::format("air {:.2f} s", duration), TextAlign::right);
}

/// "=" where both land facing the same wall, else "not equal", between the stages.
void show_seam(Ui& ui, bool same_wall) {
  const Rect &a = ui.in.layout.panes[0], &b = ui.in.layout.panes[1];
  const Palette& c = ui.c();
  const bool wide = ui.in.layout.form == Form::wide;
  const double r = wide ? seam_radius : 26, k = r / seam_radius;
  const Point p{0.5 * (a.right() + b.x), a.y + (wide ? 0.27 : 0.3) * a.h};
  ui.paint.disc(p, r + 6, c.air);
  ui.paint.disc(p, r, c.plate);
  ui.paint.ring(p, r, c.ink, 3);
  for (const double dy : {-7.0 * k, 7.0 * k})
    ui.paint.line({p.x - 16 * k, p.y + dy}, {p.x + 16 * k, p.y + dy}, c.ink, 5);
  if (!same_wall) ui.paint.line({p.x - 10 * k, p.y + 20 * k}, {p.x + 10 * k, p.y - 20 * k}, c.ink, 4);
  const std::string words = same_wall ? "same wall" : "other wall";
  const double w = ui.paint.text_width(Type::label_bold, words) + 16, y = p.y + r + 24;
  ui.paint.fill({p.x - w / 2, y - 18, w, 26}, faded(c.air, 0.85), 6);
  ui.words("compare/same", Type::label_bold, {p.x, y}, c.ink, words, TextAlign::middle);
}

/// Facts side by side: a column for each, in as many rows of columns as there is room for.
void show_table(Ui& ui, const std::vector<CompareRow>& rows) {
  const Rect& area = ui.in.layout.table;
  if (area.empty()) return;
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const bool one_row = area.h < 120;
  const std::size_t columns = one_row ? rows.size() : (rows.size() + 1) / 2;
  const double line = area.h > 150 || one_row ? 24 : 21;
  double head = 0;
  for (const Rung* rung : {&s.rung_now(), &s.partner.now()})
    head = std::max(head, ui.paint.text_width(Type::label_bold, rung->title));
  head = std::clamp(head + 52, 100.0, 0.24 * area.w);
  const double column = (area.w - head) / static_cast<double>(columns);
  const double block = 3 * line + (one_row ? 8 : 6);
  for (std::size_t k = 0; k < rows.size(); ++k) {
    const std::size_t at = k % columns, below = k / columns;
    const double x = area.x + head + column * static_cast<double>(at);
    const double y = area.y + block * static_cast<double>(below) + 20;
    const CompareRow& row = rows[k];
    const double room = column - 12;
    const std::string name = fmt::format("table/{}", k);
    ui.words(name, Type::label, {x, y}, c.dim, ui.paint.cut(Type::label, row.caption, room));
    // What differs is heavier.
    const Type type = row.differs() ? Type::label_bold : Type::label;
    ui.words(name + "/first", type, {x, y + line}, c.ink, ui.paint.cut(type, row.first, room));
    ui.words(name + "/second", type, {x, y + 2 * line}, c.ink, ui.paint.cut(type, row.second, room));
  }
  const std::size_t blocks = (rows.size() + columns - 1) / columns;
  for (std::size_t below = 0; below < blocks; ++below) {
    const Rung* rungs[] = {&s.rung_now(), &s.partner.now()};
    const double y = area.y + block * static_cast<double>(below) + 20;
    if (below > 0) ui.paint.line({area.x, y - 20}, {area.right(), y - 20}, c.hair, 1);
    for (int i = 0; i < 2; ++i) {
      const double line_y = y + (i + 1) * line;
      side_badge(ui.paint, {area.x + 10, line_y - 6}, 10, rungs[i]->side);
      ui.paint.text(Type::label_bold, {area.x + 28, line_y}, c.ink,
                    ui.paint.cut(Type::label_bold, rungs[i]->title, head - 36));
    }
  }
}

}  // namespace

void show_compare(Ui& ui) {
  if (ui.in.layout.panes[0].empty() || ui.in.compare == nullptr || ui.in.coaching == nullptr) return;
  const Session& s = ui.session();
  const FlightFacts &first = ui.in.coaching->facts, &second = ui.in.compare->coaching.facts;
  const CompareWords words = compare_words(s.rung_now(), first, s.partner.now(), second, s.plan.walls);
  show_pairs(ui);
  show_words(ui, words);
  const std::array<StageNow, 2> now = stages_now(ui);
  for (int i = 0; i < 2; ++i) show_pane(ui, i, now[static_cast<std::size_t>(i)]);
  show_seam(ui, words.same_wall);
  show_table(ui, compare_table(s.rung_now(), first, s.partner.now(), second, s.plan.walls));
}

}  // namespace halfturn
