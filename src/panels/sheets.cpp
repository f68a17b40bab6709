#include <algorithm>
#include <array>

#include "ui.hpp"

namespace halfturn {
namespace {

/// Heading of a sheet, on one line where room is scarce; returns the y below it.
double show_heading(Ui& ui, const Rect& area, std::string_view caption, std::string_view title, bool low) {
  if (low) {
    ui.words("sheet/title", Type::step, {area.x, area.y + 26}, ui.c().ink, title);
    return area.y + 40;
  }
  ui.words("sheet/caption", Type::text, {area.x, area.y + 31}, ui.c().dim, caption);
  ui.words("sheet/title", Type::title, {area.x - 2, area.y + 80}, ui.c().ink, title);
  return area.y + 116;
}

double show_heading(Ui& ui, const Rect& area, std::string_view caption, std::string_view title) {
  return show_heading(ui, area, caption, title, ui.in.layout.form == Form::tiny);
}

/// A line under the content: a sentence to the coach.
void show_sheet_notice(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  if (s.notice.empty()) return;
  const double x = area.x + (s.notice_is_problem ? 32 : 0);
  if (s.notice_is_problem) {
    ui.paint.ring({area.x + 11, area.bottom() - 78}, 10, ui.c().ink, 2.5);
    ui.paint.line({area.x + 5, area.bottom() - 78}, {area.x + 17, area.bottom() - 78}, ui.c().ink, 3);
  }
  ui.words(s.notice_is_problem ? "notice/problem" : "notice/done", Type::label_bold, {x, area.bottom() - 72},
           ui.c().ink, ui.paint.cut(Type::label_bold, s.notice, area.right() - x));
}

bool bottom_pill(Ui& ui, const Rect& area, const char* label, bool first, bool strong, int count = 2) {
  const double w = (area.w - 16 * (count - 1)) / count;
  return ui.pill(std::string("sheet/") + label, label,
                 {first ? area.x : area.right() - w, area.bottom() - 48, w, 48}, strong);
}

}  // namespace

void show_more_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  double y = show_heading(ui, area, s.path.empty() ? std::string_view("a plan not saved yet") : s.path,
                          "more", ui.in.layout.form != Form::wide);
  // Two columns where there is room.
  const bool columns = area.w >= 700;
  const double top = y, column = columns ? (area.w - 40) / 2 : area.w;
  double left = area.x;
  const bool low = ui.in.layout.form != Form::wide;
  const Type type = low ? Type::label_bold : Type::text_bold;
  const auto row = [&](const char* caption, const char* group, const std::vector<Ui::Choice>& choices,
                       auto&& chosen) {
    ui.words(std::string("more/") + group, Type::label, {left, y + 14}, ui.c().dim, caption);
    y = ui.pills(group, choices, {left, y + (low ? 20 : 24), column, 0}, chosen, type) + (low ? 0 : 8);
  };
  row("this plan", "file", {{"open"}, {"save"}, {"save as"}, {"hand over"}, {"undo"}, {"redo"}},
      [&](std::size_t i) {
        const Edit edits[] = {ShowSheet{Sheet::open},      SaveFile{""}, ShowSheet{Sheet::save_as},
                              ShowSheet{Sheet::hand_over}, Undo{},       Redo{}};
        ui.push(edits[i]);
      });
  row("look", "look",
      {{"plan"},
       {"walk it"},
       {"finish"},
       {"chain"},
       {"spread"},
       {"class"},
       {"record"},
       {"curves", s.look.curves},
       {"on the wall"}},
      [&](std::size_t i) {
        const Edit edits[] = {ShowSheet{Sheet::plan},   ShowSheet{Sheet::walk},     ShowSheet{Sheet::finish},
                              ShowSheet{Sheet::chain},  ShowSheet{Sheet::spread},   ShowSheet{Sheet::board},
                              ShowSheet{Sheet::record}, ShowCurves{!s.look.curves}, ShowWall{true}};
        ui.push(edits[i]);
      });
  row("beside this rung", "pair", {{"axis"}, {"sides"}, {"forms"}, {"next"}},
      [&](std::size_t i) { ui.push(Compare{toggled_pair(s, static_cast<Pairing>(i))}); });
  Settings settings = s.settings;
  const auto theme = static_cast<std::size_t>(settings.theme);
  row("colours", "theme", {{"light", theme == 0}, {"dark", theme == 1}, {"sunlight", theme == 2}},
      [&](std::size_t i) {
        settings.theme = static_cast<Theme>(i);
        ui.push(ChooseSettings{settings});
      });
  const auto size = static_cast<std::size_t>(settings.text_size);
  row("text", "text", {{"normal", size == 0}, {"large", size == 1}, {"gym wall", size == 2}},
      [&](std::size_t i) {
        settings.text_size = static_cast<TextSize>(i);
        ui.push(ChooseSettings{settings});
      });
  if (columns) {
    y = top;
    left = area.x + column + 40;
  }
  const auto unit = static_cast<std::size_t>(settings.turn_unit);
  row("turns in", "turns", {{"turns", unit == 0}, {"degrees", unit == 1}, {"clock", unit == 2}},
      [&](std::size_t i) {
        settings.turn_unit = static_cast<TurnUnit>(i);
        ui.push(ChooseSettings{settings});
      });
  row("playing", "play",
      {{"this rung", !s.playback.whole_climb && s.playback.loop},
       {"whole climb", s.playback.whole_climb},
       {"once", !s.playback.loop && !s.playback.whole_climb},
       {"still changes", settings.reduced_motion}},
      [&](std::size_t i) {
        if (i == 3) {
          settings.reduced_motion = !settings.reduced_motion;
          ui.push(ChooseSettings{settings});
        } else {
          ui.push(ChooseLoop{i != 2, i == 1});
        }
      });
  const int fps = s.playback.fps;
  row("frames a second", "frames",
      {{"24", fps == 24}, {"30", fps == 30}, {"60", fps == 60}, {"120", fps == 120}, {"240", fps == 240}},
      [&](std::size_t i) {
        ui.push(ChooseFps{std::array{24, 30, 60, 120, 240}[i]});
      });
  Toggles toggles = s.look.toggles;
  struct Named {
    const char* label;
    bool Toggles::*toggle;
  };
  static constexpr std::array<Named, 9> named{{{"ghosts", &Toggles::ghosts},
                                               {"traces", &Toggles::traces},
                                               {"labels", &Toggles::labels},
                                               {"both sides", &Toggles::both_sides},
                                               {"landings", &Toggles::landings},
                                               {"flip axis", &Toggles::flip_axis},
                                               {"momentum", &Toggles::momentum},
                                               {"long axis", &Toggles::long_axis},
                                               {"tilt", &Toggles::tilt_wedge}}};
  std::vector<Ui::Choice> shown;
  for (const Named& entry : named) shown.push_back({entry.label, toggles.*entry.toggle});
  row("shown on the stage", "shown", shown, [&](std::size_t i) {
    toggles.*named[i].toggle = !(toggles.*named[i].toggle);
    ui.push(ChooseToggles{toggles});
  });
  show_sheet_notice(ui, area);
  if (bottom_pill(ui, area, "keys", true, false, 3)) ui.push(ShowSheet{Sheet::help});
  const double third = (area.w - 32) / 3;
  if (ui.pill("sheet/terms", "words", {area.x + third + 16, area.bottom() - 48, third, 48}))
    ui.push(ShowSheet{Sheet::terms});
  if (bottom_pill(ui, area, "done", false, true, 3)) ui.push(ShowSheet{Sheet::none});
}

void show_open_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  double y =
      show_heading(ui, area, s.folder.empty() ? std::string_view("recent plans") : s.folder, "open a plan");
  std::string path = s.typed_path;
  bool entered = false;
  if (ui.field("open/path", path, {area.x, y, area.w - 104, 48}, &entered)) ui.push(TypePath{path});
  if (ui.pill("open/go", "open", {area.right() - 96, y, 96, 48}) || entered) ui.push(OpenFile{path});
  y += 64;
  struct Line {
    std::string name, label;
    Edit edit;
  };
  std::vector<Line> lines;
  for (std::size_t i = 0; i < std::min<std::size_t>(3, s.recent.size()); ++i)
    lines.push_back({"recent/" + s.recent[i], "recent: " + s.recent[i], OpenFile{s.recent[i]}});
  for (const FileEntry& file : ui.in.files) {
    if (file.folder) {
      lines.push_back({"folder/" + file.path, file.name + "/", ShowFolder{file.path}});
    } else {
      lines.push_back({"file/" + file.path, file.name, OpenFile{file.path}});
    }
  }
  const double end = area.bottom() - 108, third = (area.w - 32) / 3;
  const ListPart part =
      list_part(ui, static_cast<int>(lines.size()), static_cast<int>((end - y) / 54),
                {area.x, y, area.w, end - y}, {area.x + third + 16, area.bottom() - 48, third, 48});
  for (int i = part.first; i < part.first + part.count && y + 48 <= end; ++i) {
    Line& line = lines[static_cast<std::size_t>(i)];
    const Rect rect{area.x, y, area.w, 48};
    const Ui::Touched touched =
        ui.touch({WidgetRecord::Kind::button, line.name, line.label, "", false, rect}, 8);
    if (touched.hovered) ui.paint.fill(rect, ui.c().plate, 8);
    ui.paint.outline(rect, touched.hovered ? ui.c().ink : ui.c().hair, 1, 8);
    ui.paint.text(Type::label_bold, {rect.x + 16, rect.y + 30}, ui.c().ink,
                  ui.paint.cut(Type::label_bold, line.label, rect.w - 32));
    if (touched.pressed) ui.push(std::move(line.edit));
    y += 54;
  }
  show_sheet_notice(ui, area);
  if (bottom_pill(ui, area, "demo plan", true, false, 3)) ui.push(OpenFile{""});
  if (bottom_pill(ui, area, "back", false, true, 3)) ui.push(ShowSheet{Sheet::none});
}

void show_save_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  double y = show_heading(ui, area, s.plan.title, "save the plan");
  ui.words("save/caption", Type::label, {area.x, y + 14}, ui.c().dim, "as a file named");
  y += 24;
  std::string path = s.typed_path;
  bool entered = false;
  if (ui.field("save/path", path, {area.x, y, area.w, 48}, &entered)) ui.push(TypePath{path});
  show_sheet_notice(ui, area);
  if (bottom_pill(ui, area, "back", true, false)) {
    ui.push(ShowSheet{s.leaving == Leaving::nothing ? Sheet::none : Sheet::unsaved});
  }
  if ((bottom_pill(ui, area, "save", false, true) || entered) && !path.empty()) ui.push(SaveFile{path});
}

void show_unsaved_sheet(Ui& ui, const Rect& area) {
  const double y = show_heading(ui, area, ui.session().plan.title, "unsaved changes");
  ui.paint.paragraph(Type::text, {area.x, y + 20}, area.w, 28, ui.c().ink,
                     "The plan has changes that are not in a file yet. Save them, or leave without them?");
  show_sheet_notice(ui, area);
  if (ui.pill("sheet/save", "save", {area.x, y + 100, area.w, 56}, true)) ui.push(SaveFile{""});
  if (ui.pill("sheet/leave", "leave without them", {area.x, y + 168, area.w, 56})) ui.push(Discard{});
  if (ui.pill("sheet/stay", "stay here", {area.x, y + 236, area.w, 56})) ui.push(ShowSheet{Sheet::none});
}

void show_help_sheet(Ui& ui, const Rect& area) {
  const double top = show_heading(ui, area, "everything by keyboard", "keys");
  const bool columns = area.w >= 700;
  const double column = columns ? area.w / 2 : area.w, pitch = 28;
  const int rows = std::max(1, static_cast<int>((area.bottom() - 60 - top) / pitch));
  const int count = static_cast<int>(ui.in.keys.size());
  const double third = (area.w - 32) / 3;
  const ListPart part = list_part(ui, count, columns ? 2 * rows : rows, {area.x, top, area.w, pitch * rows},
                                  {area.x, area.bottom() - 48, 2 * third, 48});
  for (int i = 0; i < part.count; ++i) {
    const KeyHelp& key = ui.in.keys[static_cast<std::size_t>(part.first + i)];
    const double x = area.x + (i / rows) * column, y = top + (i % rows) * pitch;
    ui.words("key/" + key.keys, Type::label_bold, {x, y + 14}, ui.c().ink, key.keys);
    ui.words("does/" + key.keys, Type::label, {x + 150, y + 14}, ui.c().dim,
             ui.paint.cut(Type::label, key.what, column - 166));
  }
  if (bottom_pill(ui, area, "done", false, true, 3)) ui.push(ShowSheet{Sheet::none});
}

void show_sheet(Ui& ui) {
  const Layout& l = ui.in.layout;
  if (l.sheet.empty()) return;
  const double side = l.form == Form::tiny ? 12 : l.margin, top = l.form == Form::wide ? 24 : 8;
  const Rect area{side, top, l.sheet.w - 2 * side, l.height - top - (l.form == Form::wide ? 32 : 12)};
  switch (ui.session().sheet) {
    case Sheet::none:
      break;
    case Sheet::plan:
      show_plan_sheet(ui, area);
      break;
    case Sheet::walk:
      show_walk_sheet(ui, area);
      break;
    case Sheet::more:
      show_more_sheet(ui, area);
      break;
    case Sheet::open:
      show_open_sheet(ui, area);
      break;
    case Sheet::save_as:
      show_save_sheet(ui, area);
      break;
    case Sheet::help:
      show_help_sheet(ui, area);
      break;
    case Sheet::unsaved:
      show_unsaved_sheet(ui, area);
      break;
    case Sheet::board:
      show_board_sheet(ui, area);
      break;
    case Sheet::finish:
      show_finish_sheet(ui, area);
      break;
    case Sheet::chain:
      show_chain_page(ui, area);
      break;
    case Sheet::athletes:
      show_athletes_sheet(ui, area);
      break;
    case Sheet::athlete:
      show_athlete_sheet(ui, area);
      break;
    case Sheet::spread:
      show_spread_sheet(ui, area);
      break;
    case Sheet::hand_over:
      show_hand_over_sheet(ui, area);
      break;
    case Sheet::record:
      show_record_page(ui, area);
      break;
    case Sheet::terms:
      show_terms_page(ui, area);
      break;
    case Sheet::stage:
      show_stage_page(ui, area);
      break;
  }
}

}  // namespace halfturn
