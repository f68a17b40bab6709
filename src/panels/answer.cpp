#include <array>
#include <vector>

#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {

void show_answer(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Rect& area = l.answer;
  if (area.empty()) return;
  const Session& s = ui.session();
  const AnswerWords words = answer_words(*s.ladder, s.rung);
  const bool wide = l.form == Form::wide;
  if (!l.lead.empty()) ui.words("answer/lead", Type::text, {l.lead.x, l.lead.y + 31}, ui.c().dim, words.lead);
  // The wall in the largest type that fits.
  Type type = wide ? Type::answer : Type::title;
  for (const Type smaller : {Type::title, Type::step}) {
    if (ui.paint.text_width(type, words.wall) > area.w) type = smaller;
  }
  double y = area.y + (wide ? 46 : 36);
  ui.words("answer/wall", type, {area.x - (type == Type::answer ? 3 : 1), y}, ui.c().ink,
           ui.paint.cut(type, words.wall, area.w));
  y += wide ? 46 : 38;
  if (y > area.bottom()) return;
  const Rung& rung = s.rung_now();
  double x = area.x;
  if (rung.turn_deg != 0) {
    const Side side = rung.turn_deg > 0 ? Side::left : Side::right;
    const double r = wide ? 17 : 15;
    side_badge(ui.paint, {x + r, y - 8}, r, side);
    x += 2 * r + 15;
  }
  const Type bold = wide ? Type::turn_bold : Type::text_bold, plain = wide ? Type::turn : Type::text;
  x += ui.words("answer/turn", bold, {x, y}, ui.c().ink, words.turn);
  x += wide ? 48 : 24;
  if (x + 100 < area.right()) {
    ui.words("answer/landing", plain, {x, y}, ui.c().dim,
             ui.paint.cut(plain, words.landing, area.right() - x));
  }
}

void show_cameras(Ui& ui) {
  const Rect& area = ui.in.layout.cameras;
  if (area.empty()) return;
  static constexpr std::array<const char*, 4> names{"side", "front", "above", "eyes"};
  const auto now = static_cast<std::size_t>(ui.session().look.camera);
  if (ui.in.layout.form != Form::wide) {
    if (ui.pill("camera/step", std::string("from ") + names[now], area)) {
      ui.push(ChooseCamera{static_cast<CameraKind>((now + 1) % names.size())});
    }
    return;
  }
  double widths[4], sum = 24;
  for (std::size_t i = 0; i < 4; ++i) sum += widths[i] = ui.pill_width(names[i]);
  double x = area.right() - sum;
  for (std::size_t i = 0; i < 4; ++i) {
    if (ui.pill(std::string("camera/") + names[i], names[i], {x, area.y, widths[i], area.h}, i == now,
                true)) {
      ui.push(ChooseCamera{static_cast<CameraKind>(i)});
    }
    x += widths[i] + 8;
  }
}

void show_tools(Ui& ui) {
  const Rect& area = ui.in.layout.tools;
  if (area.empty()) return;
  struct Tool {
    const char* label;
    Edit edit;
    bool on;
  };
  const bool curves = ui.session().look.curves;
  std::vector<Tool> tools{{"plan", ShowSheet{Sheet::plan}, false},
                          {"walk it", ShowSheet{Sheet::walk}, false},
                          {"curves", ShowCurves{!curves}, curves},
                          {"more", ShowSheet{Sheet::more}, false}};
  const auto width = [&] {
    double sum = 8.0 * static_cast<double>(tools.size() - 1);
    for (const Tool& tool : tools) sum += ui.pill_width(tool.label);
    return sum;
  };
  // What does not fit is found under "more".
  while (tools.size() > 1 && width() > area.w) {
    const bool has_curves = tools.size() == 4;
    tools.erase(tools.begin() + (has_curves ? 2 : tools.size() == 3 ? 1 : 0));
  }
  double x = area.right() - width();
  for (const Tool& tool : tools) {
    const double w = ui.pill_width(tool.label);
    if (ui.pill(std::string("tool/") + tool.label, tool.label, {x, area.y, w, area.h}, tool.on))
      ui.push(tool.edit);
    x += w + 8;
  }
}

void show_notice(Ui& ui) {
  const Rect& area = ui.in.layout.notice;
  const Session& s = ui.session();
  if (area.empty() || s.notice.empty()) return;
  const double mark = s.notice_is_problem ? 30 : 0;
  const std::string text = ui.paint.cut(Type::label_bold, s.notice, area.w - 32 - mark);
  const double w = ui.paint.text_width(Type::label_bold, text) + 32 + mark;
  const Rect rect{area.x, area.y, w, area.h};
  ui.paint.fill(rect, ui.c().plate, 8);
  ui.paint.outline(rect, ui.c().ink, s.notice_is_problem ? 3 : 2, 8);
  if (s.notice_is_problem) {
    // A problem is a word and a shape: a bar across a ring.
    const Point at{area.x + 24, area.mid_y()};
    ui.paint.ring(at, 10, ui.c().ink, 2.5);
    ui.paint.line({at.x - 6, at.y}, {at.x + 6, at.y}, ui.c().ink, 3);
  }
  ui.words(s.notice_is_problem ? "notice/problem" : "notice/done", Type::label_bold,
           {area.x + 16 + mark, area.mid_y() + 6}, ui.c().ink, text);
}

}  // namespace halfturn
