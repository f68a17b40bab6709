#include <fmt/format.h>

#include <algorithm>

#include "ui.hpp"

namespace halfturn {
namespace {

double show_title(Ui& ui, const Rect& area, std::string_view caption, std::string_view title) {
  const bool wide = ui.in.layout.form == Form::wide;
  ui.words("sheet/caption", Type::text, {area.x, area.y + (wide ? 31 : 22)}, ui.c().dim, caption);
  const double y = area.y + (wide ? 80 : 56);
  const Type type = wide ? Type::title : Type::step;
  ui.words("sheet/title", type, {area.x - 2, y}, ui.c().ink, ui.paint.cut(type, title, area.w));
  return y + (wide ? 32 : 20);
}

void show_page_notice(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  if (s.notice.empty()) return;
  ui.words(s.notice_is_problem ? "notice/problem" : "notice/done", Type::label_bold,
           {area.x, area.bottom() - 64}, ui.c().ink, ui.paint.cut(Type::label_bold, s.notice, area.w));
}

}  // namespace

void show_athletes_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  const Palette& c = ui.c();
  double y = show_title(ui, area, "kept on this machine alone", "athletes");
  const double end = area.bottom() - 92, listed = 196, third = (area.w - 32 - listed) / 2, pitch = 70;
  if (s.athletes.empty()) {
    ui.paint.paragraph(Type::text, {area.x, y + 24}, area.w, 28, c.ink,
                       "There is nobody in the logbook yet. A name or initials are enough to begin.");
  }
  const ListPart part =
      list_part(ui, static_cast<int>(s.athletes.size()), static_cast<int>((end - y) / pitch),
                {area.x, y, area.w, end - y}, {area.x, area.bottom() - 48, listed, 48});
  for (int i = part.first; i < part.first + part.count; ++i) {
    const AthleteLine& line = s.athletes[static_cast<std::size_t>(i)];
    const Rect rect{area.x, y, area.w, pitch - 8};
    const Ui::Touched touched = ui.touch(
        {WidgetRecord::Kind::button, fmt::format("athlete/{}", line.id), line.name, line.more, false, rect},
        8);
    ui.paint.fill(rect, c.plate, 8);
    ui.paint.outline(rect, touched.hovered ? c.ink : c.edge, 2, 8);
    ui.paint.text(Type::text_bold, {rect.x + 16, rect.y + 27}, c.ink,
                  ui.paint.cut(Type::text_bold, line.name, rect.w - 32));
    ui.paint.text(Type::label, {rect.x + 16, rect.y + 50}, c.dim,
                  ui.paint.cut(Type::label, line.more, rect.w - 32));
    if (touched.pressed) ui.push(EditAthlete{line.id});
    y += pitch;
  }
  show_page_notice(ui, area);
  const double bottom = area.bottom() - 48;
  if (ui.pill("athletes/add", "add", {area.x + listed + 16, bottom, third, 48})) ui.push(EditAthlete{0});
  if (ui.pill("sheet/back", "back", {area.right() - third, bottom, third, 48}, true))
    ui.push(ShowSheet{Sheet::board});
}

void show_athlete_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  const Palette& c = ui.c();
  AthleteForm form = s.form;
  const bool wide = ui.in.layout.form == Form::wide;
  double y = show_title(ui, area, form.id == 0 ? "new in the logbook" : "in the logbook",
                        form.name.empty() ? "athlete" : form.name);
  bool changed = false;
  const double half = (area.w - 24) / 2, pitch = wide ? 84 : 74;
  const auto field = [&](const char* label, std::string& text, double x, double width) {
    ui.words(std::string("form/caption ") + label, Type::label, {x, y + 14}, c.dim, label);
    changed = ui.field(std::string("form/") + label, text, {x, y + 22, width, 48}) || changed;
  };
  const double right = area.x + half + 24;
  field("name or initials", form.name, area.x, area.w);
  y += pitch;
  field("height, m", form.height_m, area.x, half);
  field("mass, kg", form.mass_kg, right, half);
  y += pitch;
  field("air time, s", form.air_time_s, area.x, half);
  field("give or take, s", form.air_time_spread_s, right, half);
  y += pitch;
  field("measured on", form.surface, area.x, half);
  ui.words("form/caption body", Type::label, {right, y + 14}, c.dim, "body by the table of");
  ui.pills("form/table",
           {{"women", form.table == SegmentTableKind::female}, {"men", form.table == SegmentTableKind::male}},
           {right, y + 22, half, 0}, [&](std::size_t i) {
             form.table = i == 0 ? SegmentTableKind::female : SegmentTableKind::male;
             changed = true;
           });
  y += pitch;
  ui.words("form/caption side", Type::label, {area.x, y + 14}, c.dim, "twists");
  ui.pills("form/side", {{"left", form.side == Side::left}, {"right", form.side == Side::right}},
           {area.x, y + 22, half, 0}, [&](std::size_t i) {
             form.side = i == 0 ? Side::left : Side::right;
             changed = true;
           });
  const std::string plan = form.takes_plan ? s.plan.title : form.plan.empty() ? "none yet" : form.plan;
  ui.words("form/caption plan", Type::label, {right, y + 14}, c.dim,
           ui.paint.cut(Type::label, "plan in work: " + plan, half));
  if (ui.pill("form/take the plan", "take the plan shown", {right, y + 22, half, 48}, form.takes_plan,
              true)) {
    form.takes_plan = !form.takes_plan;
    changed = true;
  }
  if (changed) ui.push(TypeAthlete{form});
  show_page_notice(ui, area);
  const double w = (area.w - 32) / 3, bottom = area.bottom() - 48;
  if (ui.pill("sheet/back", "back", {area.x, bottom, w, 48})) ui.push(ShowSheet{Sheet::athletes});
  if (ui.pill("form/save", "save", {area.right() - w, bottom, w, 48}, true)) ui.push(SaveAthlete{});
}

}  // namespace halfturn
