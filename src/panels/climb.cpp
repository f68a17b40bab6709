#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

/// The rails lean: 10 px to the left for every rung further down.
double lean_at(const Layout& l, double y) {
  return -(y - l.climb.y) * 10.0 / l.pitch;
}

GateShown gate_of(const Session& s, std::size_t rung) {
  return rung < s.gates.size() ? s.gates[rung] : GateShown{};
}

void show_header(Ui& ui) {
  const Rect& area = ui.in.layout.climb_header;
  const Session& s = ui.session();
  const bool wide = ui.in.layout.form == Form::wide;
  const double y = area.y + 34;
  if (wide) ui.words("climb/title", Type::text, {area.x, y}, ui.c().dim, "the climb");
  // The side is a button: a tap shows the other twister.
  const std::string twists = fmt::format("twists {}", word(s.plan.side));
  const double w = ui.paint.text_width(Type::text_bold, twists);
  const Rect hit{area.right() - w - 52, y - 31, w + 60, 48};
  const Ui::Touched touched =
      ui.touch({WidgetRecord::Kind::button, "climb/side", twists, "", false, hit}, 24);
  if (touched.hovered) ui.paint.outline(hit, ui.c().edge, 2, 24);
  ui.paint.text(Type::text_bold, {area.right() - 40, y}, ui.c().ink, twists, TextAlign::right);
  side_badge(ui.paint, {area.right() - 14, y - 7}, 14, s.plan.side);
  if (touched.pressed) {
    Plan plan = s.plan;
    plan.side = other(plan.side);
    ui.push(ChoosePlan{plan});
  }
  if (!wide) return;
  ui.words("climb/crashes", Type::text_bold, {area.x, y + 37}, ui.c().ink,
           fmt::format("crashes {}", s.crashes));
  ui.words("climb/aim", Type::text, {area.right(), y + 37}, ui.c().dim, "aim 0", TextAlign::right);
}

void show_pips(Ui& ui, Point at, const GateShown& gate, bool now) {
  const Color rim = now ? ui.c().on_selected : ui.c().ink;
  for (int i = 0; i < gate.needed; ++i) {
    const Point p{at.x + 20.0 * i, at.y};
    if (i < gate.controlled) {
      ui.paint.disc(p, 7, ui.c().passed);
      ui.paint.ring(p, 7, now ? ui.c().on_selected : ui.c().line, 1.5);
      const Point tick[3] = {{p.x - 3.5, p.y}, {p.x - 1, p.y + 3}, {p.x + 3.5, p.y - 3}};
      ui.paint.line(tick[0], tick[1], ui.c().on_passed, 2);
      ui.paint.line(tick[1], tick[2], ui.c().on_passed, 2);
    } else {
      ui.paint.ring(p, 7, rim, 1.5);
    }
  }
}

/// A rung: plate, peg, dial, name, wall, pips and its state in a word.
void show_rung(Ui& ui, std::size_t k, double top) {
  const Layout& l = ui.in.layout;
  const Session& s = ui.session();
  const Rung& rung = s.ladder->rungs[k];
  const GateShown gate = gate_of(s, k);
  // A crash above leads back here: until then it is not owned.
  const bool owned = gate.passed && !gate.again;
  const bool wide = l.form == Form::wide;
  const bool now = k == s.rung, target = k + 1 == s.ladder->rungs.size() && k > 0;
  const double middle = top + l.plate_h / 2;
  const Rect plate{l.climb.x + (wide ? 87 : 82) + lean_at(l, middle), top, l.plate_w, l.plate_h};
  const Ui::Touched touched =
      ui.touch({WidgetRecord::Kind::choice, fmt::format("rung/{}", k), rung.title,
                facing_words(rung.landing.heading_deg, s.plan.walls), now, plate, rung.description},
               8);
  if (touched.pressed) ui.push(ChooseRung{k});
  const Palette& c = ui.c();
  ui.paint.fill(plate, now ? c.selected : c.plate, 8);
  if (owned) ui.paint.fill({plate.x, plate.y, 8, plate.h}, c.passed, 4);
  if (!now) {
    ui.paint.outline(plate, target || touched.hovered ? c.ink : c.edge, target ? 3 : 2, 8);
  }
  const double r = wide ? 26 : 20;
  mini_dial(ui.paint, {plate.x + (wide ? 58 : 50), middle + (wide ? 2 : 3)}, r, rung.turn_deg, now);
  const Color ink = now ? c.on_selected : c.ink, dim = now ? c.on_selected : c.dim;
  const double x = plate.x + (wide ? 100 : 82), room = plate.right() - x - 12;
  const std::string wall = facing_words(rung.landing.heading_deg, s.plan.walls);
  // What is short comes before everything else that could be said of a rung.
  const std::string air = short_of_air_words(rung, k < s.air.size() ? s.air[k] : std::nullopt);
  if (wide) {
    ui.paint.text(Type::text_bold, {x, top + 28}, ink, ui.paint.cut(Type::text_bold, rung.title, room));
    ui.paint.text(Type::label, {x, top + 50}, dim, ui.paint.cut(Type::label, wall, room));
    // A rung that there is not enough air for is not tried: nothing to count.
    if (air.empty()) show_pips(ui, {x + 7, top + 68}, gate, now);
    const std::string state = !air.empty() ? air
                              : gate.back  ? "back down"
                              : gate.again ? "again"
                              : now        ? "now"
                              : owned      ? "passed"
                              : target     ? "target"
                                           : "";
    ui.paint.text(Type::label_bold, {plate.right() - 16, top + 75}, now ? c.on_selected : c.dim, state,
                  TextAlign::right);
  } else {
    ui.paint.text(Type::label_bold, {x, top + 27}, ink, ui.paint.cut(Type::label_bold, rung.title, room));
    ui.paint.text(air.empty() ? Type::label : Type::label_bold, {x, top + 49}, air.empty() ? dim : ink,
                  ui.paint.cut(Type::label_bold, air.empty() ? wall : air, room));
  }
  const Point peg{plate.x, middle};
  ui.paint.disc(peg, 17, now ? c.front : owned ? c.passed : c.plate);
  ui.paint.ring(peg, 17, now ? c.line : c.ink, 2);
  ui.paint.text(Type::text_bold, {peg.x, peg.y + 7},
                now     ? c.on_front
                : owned ? c.on_passed
                        : c.ink,
                k == 0 ? "B" : fmt::format("{}", k), TextAlign::middle);
}

/// What a step adds, between two rungs; a tap splits it.
void show_step(Ui& ui, std::size_t k, double middle) {
  const Layout& l = ui.in.layout;
  const Session& s = ui.session();
  const Rung& rung = s.ladder->rungs[k];
  const bool wide = l.form == Form::wide;
  std::string label = rung.step_deg == 0 ? "" : fmt::format("+{:.6g}\u00b0", rung.step_deg);
  const Step& step = s.plan.steps[k - 1];
  for (const auto* part : {&step.takeoff, &step.setup, &step.shape, &step.surface}) {
    if (*part) label += (label.empty() ? "" : ", ") + **part;
  }
  const bool turns = rung.step_deg != 0;
  const double w =
      std::min(l.plate_w - 40, std::max(112.0, ui.paint.text_width(Type::label_bold, label) + 68));
  const double centre = l.climb.x + (wide ? 87 : 82) + lean_at(l, middle) + l.plate_w / 2 - 4;
  const Rect chip{centre - w / 2, middle - 20, w, 40};
  const Ui::Touched touched = ui.touch({WidgetRecord::Kind::button,
                                        fmt::format("step/{}", k),
                                        label,
                                        "",
                                        false,
                                        {chip.x, chip.y - 4, chip.w, 48}},
                                       24);
  if (touched.pressed) ui.push(SplitStep{k});
  ui.paint.fill(chip, ui.c().plate, 20);
  ui.paint.outline(chip, touched.hovered ? ui.c().ink : ui.c().edge, 2, 20);
  if (turns) turn_arrow(ui.paint, {chip.x + 30, chip.mid_y()}, 11, sign_of(s.plan.side));
  ui.paint.text(Type::label_bold, {turns ? chip.x + 48 : chip.mid_x(), chip.mid_y() + 6}, ui.c().ink,
                ui.paint.cut(Type::label_bold, label, chip.w - 60),
                turns ? TextAlign::left : TextAlign::middle);
}

}  // namespace

void show_climb(Ui& ui) {
  const Layout& l = ui.in.layout;
  if (l.climb.empty()) return;
  const Session& s = ui.session();
  const std::size_t count = s.ladder->rungs.size();
  const bool wide = l.form == Form::wide;
  // Rungs stand on the lower edge while all fit; otherwise the rung now stays in the middle.
  const double lowest = l.height - (wide ? 92 : 72);
  const double highest = l.climb.y + (wide ? 24 : 12);
  const double room = lowest - highest;
  // A little closer together when that shows the whole climb; a step chip still stands free between two
  // plates.
  const double closest = l.plate_h + 48;
  const double gaps = static_cast<double>(count) - 1;
  const double pitch = gaps > 0 && room / gaps >= closest ? std::min(l.pitch, room / gaps) : l.pitch;
  const double all = gaps * pitch;
  const double middle = l.climb.mid_y() - l.plate_h / 2;
  const auto scroll_at = [&](std::size_t rung) {
    if (all <= room + 0.5) return 0.0;
    const double now_top = lowest - static_cast<double>(rung) * pitch;
    const double wanted = std::clamp(middle - now_top + s.climb_scroll_px, 0.0, all - room);
    // A whole plate at the top.
    const double over = all - room;
    return over - pitch * std::min(std::round((over - wanted) / pitch), std::floor(over / pitch));
  };
  // While the rung changes, the pointer and the climb glide from the one to the other.
  double share = 1;
  if (!s.settings.reduced_motion && s.motion.rung < rung_change && s.motion.rung_from < count)
    share = minimum_jerk(s.motion.rung / rung_change);
  const auto between = [&](double a, double b) { return a + share * (b - a); };
  const std::size_t before = share < 1 ? s.motion.rung_from : s.rung;
  const double place = between(static_cast<double>(before), static_cast<double>(s.rung));
  const double scroll = between(scroll_at(before), scroll_at(s.rung));
  const auto top_of = [&](std::size_t k) { return lowest - static_cast<double>(k) * pitch + scroll; };

  ui.paint.push_clip(l.climb);
  // Rails behind the plates: green as far as the climb has come.
  const double first_x = l.climb.x + (wide ? 111 : 106);
  const auto rail = [&](double x, double from, double to, Color tint) {
    ui.paint.line({x + lean_at(l, from), from}, {x + lean_at(l, to), to}, tint, 8 / ui.c().line_factor);
  };
  std::size_t climbed = 0;
  while (climbed < count && gate_of(s, climbed).passed) ++climbed;
  const double top = std::max(l.climb.y + 6, top_of(count - 1) - 32);
  for (const double x : {first_x, first_x + l.plate_w - 44}) {
    rail(x, top, l.height, ui.c().hair);
    if (climbed > 0) {
      const double reached = climbed < count ? top_of(climbed) + l.plate_h / 2 : top;
      rail(x, std::max(reached, l.climb.y), l.height, ui.c().passed);
    }
  }
  const auto visible = [&](double y, double h) { return y + h > l.climb.y && y < l.climb.bottom(); };
  for (std::size_t i = count; i-- > 0;) {
    if (visible(top_of(i), l.plate_h)) show_rung(ui, i, top_of(i));
    const double chip = top_of(i) + l.plate_h + (pitch - l.plate_h) / 2;
    if (i > 0 && visible(chip - 20, 40)) show_step(ui, i, chip);
  }
  const double pointer = lowest - place * pitch + scroll + l.plate_h / 2;
  const double peg = l.climb.x + (wide ? 87 : 82) + lean_at(l, pointer);
  ui.paint.polygon({{peg - 34, pointer - 12}, {peg - 34, pointer + 12}, {peg - 18, pointer}}, ui.c().front,
                   ui.c().ink, 2);
  ui.paint.pop_clip();
  show_header(ui);
  const ImGuiIO& io = ImGui::GetIO();
  if (all > room && io.MouseWheel != 0 &&
      l.climb.contains(io.MousePos.x / l.scale, io.MousePos.y / l.scale)) {
    // From what is seen, so that the wheel answers at once after it has met an end.
    const double base = middle - (lowest - static_cast<double>(s.rung) * pitch);
    ui.push(ScrollClimb{std::clamp(scroll + io.MouseWheel * pitch, 0.0, all - room) - base});
  }
}

}  // namespace halfturn
