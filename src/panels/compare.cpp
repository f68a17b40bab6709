#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

constexpr double seam_radius = 34;
/// Names of the stages for tests and for Tab.
constexpr std::array<const char*, most_stages> stage_ids{"first", "second", "third", "fourth"};

/// What one of the stages shows now.
struct StageNow {
  const Rung& rung;
  const Flight& flight;
  double time = 0;  // s, of its own flight
  std::string id;
};

std::vector<StageNow> stages_now(const Ui& ui) {
  const Session& s = ui.session();
  const std::vector<Flight>& flights = ui.in.compare->flights;
  const std::vector<double> times = compared_times(s, flights);
  std::vector<StageNow> now;
  for (std::size_t i = 0; i < s.stages.size(); ++i)
    now.push_back({s.stages[i].now(), flights[i], times[i], stage_ids[i]});
  return now;
}

void show_pairs(Ui& ui) {
  const Rect& area = ui.in.layout.pairs;
  const Session& s = ui.session();
  const Comparison now = *s.look.comparison;
  struct Pair {
    const char* label;
    const char* shorter;
    Pairing pairing;
  };
  static constexpr Pair pairs[] = {{"on and off axis", "axis", Pairing::axes},
                                   {"left and right", "sides", Pairing::sides},
                                   {"two forms", "forms", Pairing::forms},
                                   {"next rung", "next", Pairing::next}};
  struct Other {
    const char* name;
    const char* label;
    const char* shorter;
    bool on, choice;
    Edit edit;
  };
  Comparison table = now, overlay = now;
  table.table = !now.table;
  overlay.overlaid = !now.overlaid;
  const Other others[] = {{"compare/more", "one more", "more", false, false, AddStage{}},
                          {"compare/overlay", "overlaid", "overlaid", now.overlaid, true, Compare{overlay}},
                          {"compare/table", "table", "table", now.table, true, Compare{table}},
                          {"compare/done", "one stage", "done", false, false, Compare{std::nullopt}}};
  const Type type = Type::label_bold;
  const auto total = [&](bool full) {
    double sum = 0;
    for (const Pair& pair : pairs) sum += ui.pill_width(full ? pair.label : pair.shorter, type) + 8;
    for (const Other& other : others) sum += ui.pill_width(full ? other.label : other.shorter, type) + 8;
    return sum - 8;
  };
  const bool full = total(true) <= area.w;
  double x = area.x;
  const auto pill = [&](const std::string& name, const char* label, bool on, bool choice) {
    const double w = ui.pill_width(label, type);
    const bool pressed = ui.pill(name, label, {x, area.y, w, area.h}, on, choice, type);
    x += w + 8;
    return pressed;
  };
  for (const Pair& pair : pairs) {
    const bool on = now.beside.front().pairing == pair.pairing;
    if (pill(std::string("pair/") + pair.shorter, full ? pair.label : pair.shorter, on, true))
      ui.push(Compare{toggled_pair(s, pair.pairing)});
  }
  for (const Other& other : others) {
    if (pill(other.name, full ? other.label : other.shorter, other.on, other.choice)) ui.push(other.edit);
  }
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
  if (right - x > ui.paint.text_width(small, words.differs))
    ui.words("compare/differs", small, {x, y}, ui.c().dim, words.differs);
}

void show_picture(Ui& ui, std::size_t index) {
  const std::vector<unsigned>& textures = ui.in.compare->textures;
  if (index >= textures.size() || textures[index] == 0) return;
  ui.paint.image(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(textures[index])),
                 ui.in.layout.panes[index]);
}

/// The first of some wordings that fits; the last one cut where none does.
std::string fitting(const Ui& ui, Type type, double room, std::initializer_list<std::string> wordings) {
  for (const std::string& words : wordings) {
    if (ui.paint.text_width(type, words) <= room) return words;
  }
  return ui.paint.cut(type, *(wordings.end() - 1), room);
}

std::string turned_words(const StageNow& now, bool shorter = false) {
  if (now.rung.turn_deg == 0) return "no turn to make";
  const double turned = std::abs(turned_so_far_deg(now.rung, now.flight.at(now.time), now.flight.duration()));
  return fmt::format("{:.0f}\u00b0 of {:.0f}\u00b0{}", turned, std::abs(now.rung.turn_deg),
                     shorter ? "" : " turned");
}

/// The name of a stage: a press opens the page that says what it shows.
void stage_title(Ui& ui, std::size_t index, const StageNow& now, Type type, const Rect& area,
                 const std::string& words) {
  const Ui::Touched touched =
      ui.touch({WidgetRecord::Kind::button, "stage/" + now.id, words, "", false, area}, 4);
  const double y = area.bottom() - 0.24 * area.h;
  ui.paint.text(type, {area.x, y}, ui.c().ink, words);
  const double under = y + 6, w = ui.paint.text_width(type, words);
  if (touched.hovered) {
    ui.paint.line({area.x, under}, {area.x + w, under}, ui.c().ink, 2);
  } else {
    ui.paint.dotted({area.x, under}, {area.x + w, under}, ui.c().dim, 1.6);
  }
  if (touched.pressed) ui.push(PickStage{index});
}

void show_pane(Ui& ui, std::size_t index, const StageNow& now) {
  const Layout& l = ui.in.layout;
  const Rect& pane = l.panes[index];
  const bool large = l.pane_words > 80, wide = l.form == Form::wide;
  const Palette& c = ui.c();
  show_picture(ui, index);
  const double x = pane.x + (large ? 24 : 16), room = pane.w - (large ? 48 : 32);
  const Type small = large ? Type::text : Type::label;
  const ComparedStage& shown = ui.session().stages[index];
  const std::string made = made_words(shown, now.flight);
  if (l.pane_words > 0) {
    const std::string name = stage_name(index, ui.session().stages);
    Type title = large ? Type::title : Type::step;
    for (const Type smaller : {Type::step, Type::text_bold, Type::label_bold}) {
      if (ui.paint.text_width(title, name) > room) title = smaller;
    }
    const std::string above = ui.paint.cut(title, name, room);
    const std::string stage = stage_words(now.rung), start = stage.substr(0, stage.find(','));
    // Whose limbs are drawn matters more than the stance.
    const std::string below =
        shown.source == FlightSource::recorded
            ? fitting(ui, small, room, {stage + ", " + made, start + ", " + made, made})
            : fitting(ui, small, room, {stage + ", " + made, stage, start + ", " + made, start});
    const double y = pane.y + (large ? 44 : 30), next = y + (large ? 32 : 26);
    const double above_w = ui.paint.text_width(title, above);
    if (ui.session().look.camera == CameraKind::eyes) {
      // Through the eyes the walls come under every word.
      const double w = std::max(above_w, ui.paint.text_width(small, below));
      ui.paint.fill({pane.x, pane.y, x - pane.x + w + 16, next + 12 - pane.y}, faded(c.air, 0.85));
    }
    const double tall = large ? 44 : 30;
    stage_title(ui, index, now, title, {x - 1, y - 0.76 * tall, std::max(above_w, 48.0), tall}, above);
    ui.words(now.id + "/stage", small, {x, next}, c.dim, below);
  }
  const double duration = now.flight.duration();
  const Type bold = wide && large ? Type::text_bold : Type::label_bold;
  side_badge(ui.paint, {x + 13, pane.bottom() - 22}, 13, now.rung.side);
  const double lean = std::abs(to_deg(now.flight.at(now.time).angles.lean));
  const std::string leans = fmt::format("lean {:.0f}\u00b0", std::round(lean) + 0.0);
  const double used = ui.words(now.id + "/turned", bold, {x + 36, pane.bottom() - 15}, c.ink,
                               fitting(ui, bold, room - 36, {turned_words(now), turned_words(now, true)}));
  // The table says it of the whole flight.
  if (!l.table.empty()) return;
  const double right = pane.right() - (large ? 24 : 16);
  ui.words(now.id + "/air", small, {right, pane.bottom() - (large ? 43 : 39)}, c.dim,
           fmt::format("air {:.2f} s", duration), TextAlign::right);
  if (right - ui.paint.text_width(bold, leans) > x + 36 + used + 16)
    ui.words(now.id + "/lean", bold, {right, pane.bottom() - 15}, c.ink, leans, TextAlign::right);
}

/// All flyers in one stage: at its left each with the colour that tells it from the others.
void show_overlaid(Ui& ui, const std::vector<StageNow>& stages) {
  const Layout& l = ui.in.layout;
  const Palette& c = ui.c();
  const Rect& pane = l.panes[0];
  const bool wide = l.form == Form::wide;
  const double pitch = l.pane_words / static_cast<double>(stages.size());
  const bool low = pitch < 62;
  const double x = pane.x + l.margin, swatch = wide && !low ? 26 : 20, left = x + swatch + 12;
  const double room = pane.x + l.pane_words_w - left;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    const StageNow& now = stages[i];
    const double top = pane.y + 4 + pitch * static_cast<double>(i);
    ui.paint.fill({x, top + 4, swatch, swatch}, i == 0 ? c.body : c.companions[i - 1], 5);
    ui.paint.outline({x, top + 4, swatch, swatch}, c.ink, 2, 5);
    const std::string name = stage_name(i, ui.session().stages);
    if (low) {
      const double w = ui.paint.text_width(Type::label_bold, name);
      stage_title(ui, i, now, Type::label_bold, {left, top, std::max(w, 48.0), 26}, name);
      continue;
    }
    Type type = wide ? Type::step : Type::text_bold;
    for (const Type smaller : {Type::text_bold, Type::label_bold}) {
      if (ui.paint.text_width(type, name) > room) type = smaller;
    }
    const double w = ui.paint.text_width(type, name), tall = wide ? 34 : 28;
    stage_title(ui, i, now, type, {left, top, std::max(w, 48.0), tall}, name);
    side_badge(ui.paint, {left + 10, top + tall + 14}, 10, now.rung.side);
    ui.words(now.id + "/turned", Type::label_bold, {left + 28, top + tall + 20}, c.ink, turned_words(now));
    if (pitch < 86) continue;
    const std::string stage = stage_words(now.rung);
    const ComparedStage& shown = ui.session().stages[i];
    const std::string made = made_words(shown, now.flight);
    ui.words(now.id + "/stage", Type::label, {left, top + tall + 42}, c.dim,
             fitting(ui, Type::label, room,
                     {stage + ", " + made, shown.source == FlightSource::recorded ? made : stage}));
  }
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
void show_table(Ui& ui, const std::vector<CompareRow>& rows, const std::vector<StageNow>& stages) {
  const Rect& area = ui.in.layout.table;
  if (area.empty()) return;
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const auto lines = static_cast<double>(stages.size() + 1);
  const bool one_row = area.h < 24 + 24 * lines;
  const std::size_t columns = one_row ? rows.size() : (rows.size() + 1) / 2;
  const double line = one_row || area.h >= 24 + 48 * lines ? 24 : area.h >= 14 + 42 * lines ? 21 : 20;
  double head = 0;
  std::vector<std::string> names;
  for (std::size_t i = 0; i < stages.size(); ++i) {
    names.push_back(stage_name(i, s.stages));
    head = std::max(head, ui.paint.text_width(Type::label_bold, names.back()));
  }
  head = std::clamp(head + 52, 100.0, 0.24 * area.w);
  const double column = (area.w - head) / static_cast<double>(columns);
  const double block = lines * line + (one_row ? 8 : line > 20 ? 6 : 4);
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
    for (std::size_t i = 0; i < row.values.size(); ++i)
      ui.words(name + "/" + stages[i].id, type, {x, y + static_cast<double>(i + 1) * line}, c.ink,
               ui.paint.cut(type, row.values[i], room));
  }
  const std::size_t blocks = (rows.size() + columns - 1) / columns;
  for (std::size_t below = 0; below < blocks; ++below) {
    const double y = area.y + block * static_cast<double>(below) + 20;
    if (below > 0) ui.paint.line({area.x, y - 20}, {area.right(), y - 20}, c.hair, 1);
    for (std::size_t i = 0; i < stages.size(); ++i) {
      const double line_y = y + static_cast<double>(i + 1) * line;
      side_badge(ui.paint, {area.x + 10, line_y - 6}, 10, stages[i].rung.side);
      ui.paint.text(Type::label_bold, {area.x + 28, line_y}, c.ink,
                    ui.paint.cut(Type::label_bold, names[i], head - 36));
    }
  }
}

}  // namespace

void show_compare(Ui& ui) {
  if (ui.in.layout.panes[0].empty() || ui.in.compare == nullptr) return;
  const Session& s = ui.session();
  if (s.sheet != Sheet::none) return show_picture(ui, 0);
  std::vector<StageFacts> facts;
  for (std::size_t i = 0; i < s.stages.size(); ++i)
    facts.push_back({s.stages[i].now(), ui.in.compare->coaching[i]->facts});
  const CompareWords words = compare_words(facts, s.plan.walls);
  show_pairs(ui);
  show_words(ui, words);
  const std::vector<StageNow> now = stages_now(ui);
  if (s.look.comparison->overlaid) {
    show_picture(ui, 0);
    show_overlaid(ui, now);
  } else {
    for (std::size_t i = 0; i < now.size(); ++i) show_pane(ui, i, now[i]);
    if (now.size() == 2) show_seam(ui, words.same_wall);
  }
  show_table(ui, compare_table(facts, s.plan.walls), now);
}

}  // namespace halfturn
