#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ui.hpp"

namespace halfturn {
namespace {

using Out = AttemptOutcome;

struct HeadingTap {
  const char* label;
  std::optional<double> error_deg;
};
constexpr std::array<HeadingTap, 8> heading_taps{{{"45 short", -45},
                                                  {"30 short", -30},
                                                  {"15 short", -15},
                                                  {"on plan", 0},
                                                  {"15 long", 15},
                                                  {"30 long", 30},
                                                  {"45 long", 45},
                                                  {"not seen", std::nullopt}}};
constexpr std::array<Out, 7> outcome_taps{Out::in_hand, Out::controlled,   Out::on_feet, Out::hand_down,
                                          Out::fall,    Out::planned_stop, Out::stop};

void show_cross(Ui& ui, Point at, double size) {
  for (const double sign : {1.0, -1.0}) {
    ui.paint.line({at.x - size, at.y - sign * size}, {at.x + size, at.y + sign * size}, ui.c().line, 6);
    ui.paint.line({at.x - size, at.y - sign * size}, {at.x + size, at.y + sign * size}, ui.c().crashed, 3);
  }
}

void show_pips(Ui& ui, Point at, const GateShown& gate, Color rim) {
  for (int i = 0; i < gate.needed; ++i) {
    const Point p{at.x + 22.0 * i, at.y};
    if (i < gate.controlled) ui.paint.disc(p, 8, ui.c().passed);
    ui.paint.ring(p, 8, rim, 2);
    if (i < gate.controlled) {
      ui.paint.line({p.x - 4, p.y}, {p.x - 1, p.y + 3.5}, ui.c().on_passed, 2);
      ui.paint.line({p.x - 1, p.y + 3.5}, {p.x + 4, p.y - 4}, ui.c().on_passed, 2);
    }
  }
}

/// The taps in two columns, each with its key; calls `tapped(index)`.
template <class F>
void show_taps(Ui& ui, const Rect& area, std::size_t count, const auto& label_of, F&& tapped) {
  const double rows = static_cast<double>((count + 1) / 2);
  const double height = std::clamp((area.h - 8 * (rows - 1)) / rows, 48.0, 72.0);
  const double width = (area.w - 12) / 2;
  for (std::size_t i = 0; i < count; ++i) {
    // Down the left column first: the numbers stay in one line of sight.
    const double column = static_cast<double>(i) < rows ? 0 : 1;
    const double row = static_cast<double>(i) - column * rows;
    const Rect rect{area.x + column * (width + 12), area.y + row * (height + 8), width, height};
    const std::string label = label_of(i);
    if (ui.pill("tap/" + label, fmt::format("{}  {}", i + 1, label), rect)) tapped(i);
  }
}

/// Who is next, with what, and the taps.
void show_turn(Ui& ui, const Rect& area, bool wide) {
  const Session& s = ui.session();
  const BoardPlace* place = s.board.now();
  if (place == nullptr) return;
  const Palette& c = ui.c();
  double y = area.y;
  ui.words("board/caption", Type::text, {area.x, y + 24}, c.dim,
           s.board.tapped ? "where did the chest point at first contact" : "next");
  y += wide ? 96 : 78;
  ui.words("board/name", wide ? Type::answer : Type::title, {area.x - 2, y}, c.ink,
           ui.paint.cut(wide ? Type::answer : Type::title, place->name, area.w));
  if (place->plan.empty()) {
    ui.paint.paragraph(Type::text, {area.x, y + 48}, area.w, 28, c.ink,
                       place->reason.empty() ? "There is no plan in work yet. Press \"athletes\", then the "
                                               "name, and take the plan that is shown."
                                             : place->reason);
    return;
  }
  y += wide ? 56 : 40;
  const Type rung_type = wide ? Type::title : Type::step;
  // The coach may choose another rung than the one suggested.
  const double step = 48, steps = 2 * step + 8;
  const Rect lower{area.right() - steps, y - (wide ? 36 : 32), step, step};
  if (ui.pill("board/lower", "\u2212", lower)) ui.push(ChooseBoardRung{-1});
  if (ui.pill("board/higher", "+", {lower.x + step + 8, lower.y, step, step})) ui.push(ChooseBoardRung{1});
  const std::string rung =
      place->rung == 0 ? place->rung_title : fmt::format("{}  {}", place->rung, place->rung_title);
  const double badge = wide ? 20 : 14;
  const double width = ui.words("board/rung", rung_type, {area.x, y}, c.ink,
                                ui.paint.cut(rung_type, rung, area.w - 4 * badge - steps));
  side_badge(ui.paint, {area.x + width + 12 + badge, y - (wide ? 15 : 9)}, badge, place->side);
  y += wide ? 36 : 28;
  ui.words("board/surface", Type::text, {area.x, y}, c.dim,
           fmt::format("{}, {} of {} attempts{}", place->surface, place->attempts, place->cap,
                       place->attempts >= place->cap ? ": enough for today" : ""));
  y += wide ? 36 : 30;
  show_pips(ui, {area.x + 10, y - 7}, place->gate, c.ink);
  const double beside = area.x + 22.0 * place->gate.needed + 14;
  ui.words("board/reason", Type::text_bold, {beside, y}, c.ink,
           ui.paint.cut(Type::text_bold,
                        place->recheck  ? "re-check: owned, once today"
                        : place->chosen ? "your choice. " + place->reason
                                        : place->reason,
                        area.right() - beside));
  y += 18;
  const Rect taps{area.x, y, area.w, area.bottom() - y};
  if (s.board.tapped) {
    show_taps(
        ui, taps, heading_taps.size(), [](std::size_t i) { return std::string(heading_taps[i].label); },
        [&](std::size_t i) { ui.push(TapHeading{heading_taps[i].error_deg}); });
  } else {
    show_taps(
        ui, taps, outcome_taps.size(), [](std::size_t i) { return std::string(word(outcome_taps[i])); },
        [&](std::size_t i) { ui.push(TapOutcome{outcome_taps[i]}); });
  }
}

/// Everybody in the order of turns; a tap makes it their turn, and brings an absent one back.
void show_class(Ui& ui, const Rect& area, int columns) {
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const auto count = s.board.places.size();
  const double rows =
      std::max<double>(6, static_cast<double>((count + static_cast<std::size_t>(columns) - 1) /
                                              static_cast<std::size_t>(columns)));
  const double height = std::clamp(area.h / rows - 8, 48.0, 84.0);
  const double width = (area.w - 12.0 * (columns - 1)) / columns;
  for (std::size_t i = 0; i < count; ++i) {
    const BoardPlace& place = s.board.places[i];
    const double column = static_cast<double>(i / static_cast<std::size_t>(rows));
    const double row = static_cast<double>(i % static_cast<std::size_t>(rows));
    const Rect rect{area.x + column * (width + 12), area.y + row * (height + 8), width, height};
    const bool now = i == s.board.next;
    const std::string state = place.absent ? "absent" : place.plan.empty() ? "no plan" : place.rung_title;
    const Ui::Touched touched =
        ui.touch({WidgetRecord::Kind::choice, fmt::format("place/{}", i), place.name, state, now, rect}, 8);
    ui.paint.fill(rect, now ? c.selected : c.plate, 8);
    if (!now) ui.paint.outline(rect, touched.hovered ? c.ink : place.absent ? c.hair : c.edge, 2, 8);
    const Color ink = now ? c.on_selected : place.absent ? c.dim : c.ink;
    const Color dim = now ? c.on_selected : c.dim;
    const bool two_lines = height >= 60;
    const bool pips = !place.absent && !place.plan.empty() && width >= 240;
    const double room = width - 32 - (pips ? 22.0 * place.gate.needed + 8 : 0);
    if (two_lines) {
      ui.paint.text(Type::text_bold, {rect.x + 16, rect.mid_y() - 2}, ink,
                    ui.paint.cut(Type::text_bold, place.name, room));
      ui.paint.text(Type::label, {rect.x + 16, rect.mid_y() + 22}, dim,
                    ui.paint.cut(Type::label, state, room));
    } else {
      const double name = ui.paint.text(Type::text_bold, {rect.x + 16, rect.mid_y() + 7}, ink,
                                        ui.paint.cut(Type::text_bold, place.name, room * 0.55));
      ui.paint.text(Type::label, {rect.x + 28 + name, rect.mid_y() + 6}, dim,
                    ui.paint.cut(Type::label, state, room - name - 12));
    }
    if (pips)
      show_pips(ui, {rect.right() - 22.0 * place.gate.needed, rect.mid_y()}, place.gate,
                now ? c.on_selected : c.ink);
    if (!touched.pressed) continue;
    ui.push(PickPlace{i});
    // The answer to this is a board of its own, which must know already whose turn it is.
    if (place.absent) ui.push(MarkAbsent{i, false});
  }
}

}  // namespace

void show_board_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const bool wide = area.w >= 1000;
  ui.words("board/title", Type::text, {area.x, area.y + 28}, c.dim,
           s.board.session.empty() ? std::string("class") : "class, " + s.board.session);
  const std::string crashes = fmt::format("crashes {} (the aim is 0)", s.board.crashes);
  const double width = ui.words("board/crashes", Type::text_bold, {area.right(), area.y + 28}, c.ink, crashes,
                                TextAlign::right);
  show_cross(ui, {area.right() - width - 18, area.y + 21}, 7);
  const Rect body{area.x, area.y + 44, area.w, area.h - 44 - 64 - 32};
  if (s.board.places.empty()) {
    ui.paint.paragraph(
        Type::text, {area.x, body.y + 40}, std::min(area.w, 720.0), 28, c.ink,
        "There is nobody in the logbook yet. Press \"athletes\" to add somebody; a name or initials do.");
  } else {
    const double left = area.w * (wide ? 0.46 : 0.52);
    const double gap = wide ? 56 : 20;
    show_turn(ui, {body.x, body.y, left, body.h}, wide);
    show_class(ui, {body.x + left + gap, body.y, area.w - left - gap, body.h}, wide && area.h >= 760 ? 1 : 2);
  }
  const double line = area.bottom() - 48 - 14;
  const bool problem = !s.notice.empty() && s.notice_is_problem;
  const std::string& said = s.notice.empty() ? s.board.last : s.notice;
  if (problem) {
    ui.paint.ring({area.x + 11, line - 6}, 10, c.ink, 2.5);
    ui.paint.line({area.x + 5, line - 6}, {area.x + 17, line - 6}, c.ink, 3);
  }
  const double x = area.x + (problem ? 32 : 0);
  if (!said.empty()) {
    ui.words(problem ? "notice/problem" : "board/last", Type::text_bold, {x, line}, c.ink,
             ui.paint.cut(Type::text_bold, said, area.right() - x));
  }
  const double pill = (area.w - 4 * 12) / 5;
  const auto bottom = [&](int i, const char* label, bool strong) {
    return ui.pill(std::string("board/") + label, label,
                   {area.x + i * (pill + 12), area.bottom() - 48, pill, 48}, strong);
  };
  if (s.board.tapped) {
    if (bottom(0, "back", false)) ui.push(Untap{});
  } else if (bottom(0, "undo the last", false)) {
    ui.push(UndoAttempt{});
  }
  if (bottom(1, "skip", false)) ui.push(SkipPlace{});
  if (bottom(2, "absent", false)) ui.push(MarkAbsent{s.board.next, true});
  if (bottom(3, "athletes", false)) ui.push(ShowSheet{Sheet::athletes});
  if (bottom(4, "done", true)) ui.push(ShowSheet{Sheet::none});
}

}  // namespace halfturn
