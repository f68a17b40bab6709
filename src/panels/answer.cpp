#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {

namespace {

/// A piece of the answer: where it stands and how it is written.
struct AnswerPiece {
  const char* name;
  Type type;
  Point at;
  std::string text;
  bool dim;
  double width;
};

double width_of(const Fonts& fonts, Type type, std::string_view text) {
  ImFont* font = fonts[type];
  return font->CalcTextSizeA(font->FontSize, 1e9f, 0, text.data(), text.data() + text.size()).x / fonts.scale;
}

/// The wall in the largest type that keeps off the figure in the middle of the stage, what it is off by, the
/// turn and the landing.
std::vector<AnswerPiece> answer_pieces(const Ladder& ladder, std::size_t rung, const Layout& l,
                                       const Fonts& fonts, TurnUnit unit) {
  const AnswerWords words = answer_words(ladder, rung, unit);
  const Rect& area = l.answer;
  const bool wide = l.form == Form::wide;
  const double stage = l.climb.empty() ? l.width : l.climb.x;
  const double limit = l.form == Form::tiny
                           ? area.w
                           : std::min(area.w, std::max(200.0, (wide ? 0.49 : 0.52) * stage - area.x));
  std::vector<AnswerPiece> pieces;
  const auto put = [&](const char* name, Type type, double x, double y, std::string text, bool dim) {
    const double width = width_of(fonts, type, text);
    pieces.push_back({name, type, {x, y}, std::move(text), dim, width});
    return width;
  };
  std::string wall = words.wall, off;
  const double heading = ladder.rungs[rung].landing.heading_deg;
  if (const std::size_t comma = wall.rfind(", ");
      std::fmod(heading, 90.0) != 0 && comma != std::string::npos) {
    off = wall.substr(comma + 2);
    wall.resize(comma);
  }
  Type type = wide ? Type::answer : Type::title;
  for (const Type smaller : {Type::title, Type::step}) {
    if (width_of(fonts, type, wall) > limit) type = smaller;
  }
  double y = area.y + (wide ? 46 : 36);
  put("answer/wall", type, area.x - (type == Type::answer ? 3 : 1), y, wall, false);
  if (!off.empty()) {
    y += wide ? 38 : 30;
    put("answer/off", wide ? Type::step : Type::text_bold, area.x, y, off, false);
  }
  y += wide ? 46 : 38;
  double x = area.x;
  if (ladder.rungs[rung].turn_deg != 0) x += (wide ? 34 : 30) + 15;
  x += put("answer/turn", wide ? Type::turn_bold : Type::text_bold, x, y, words.turn, false);
  const Type plain = wide ? Type::turn : Type::text;
  x += wide ? 48 : 24;
  // Beside the turn, shorter if need be; on a line of its own only when there is no other way.
  std::string landing = words.landing;
  const double room = area.x + limit - x;
  if (width_of(fonts, plain, landing) > room) landing = landing.substr(0, landing.find(", "));
  if (width_of(fonts, plain, landing) > room) {
    landing = words.landing;
    x = area.x;
    y += wide ? 36 : 30;
  }
  put("answer/landing", plain, x, y, std::move(landing), true);
  // What does not fit is left out from the end.
  std::erase_if(pieces, [&](const AnswerPiece& p) { return p.at.y > area.bottom() - 4; });
  return pieces;
}

}  // namespace

Rect answer_extent(const Session& session, const Layout& l, const Fonts& fonts) {
  if (l.answer.empty()) return {};
  const std::size_t count = session.ladder->rungs.size();
  double right = 0, bottom = 0;
  // Whichever rung is shown, so that the stage does not shift from rung to rung; a long climb by samples.
  for (std::size_t k = 0; k < count; k += std::max<std::size_t>(1, count / 24)) {
    for (const AnswerPiece& p : answer_pieces(*session.ladder, k, l, fonts, session.settings.turn_unit)) {
      right = std::max(right, std::min(p.at.x + p.width, l.answer.right()));
      bottom = std::max(bottom, p.at.y + 0.3 * type_size(p.type));
    }
  }
  return {0, 0, right + 12, bottom + 6};
}

void show_answer(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Rect& area = l.answer;
  if (area.empty()) return;
  const Session& s = ui.session();
  const bool wide = l.form == Form::wide;
  if (!l.lead.empty())
    ui.words("answer/lead", Type::text, {l.lead.x, l.lead.y + 31}, ui.c().dim,
             answer_words(*s.ladder, s.rung).lead);
  const Rung& rung = s.rung_now();
  for (const AnswerPiece& p : answer_pieces(*s.ladder, s.rung, l, ui.in.fonts, s.settings.turn_unit)) {
    if (std::string_view(p.name) == "answer/turn" && rung.turn_deg != 0) {
      const double r = wide ? 17 : 15;
      side_badge(ui.paint, {area.x + r, p.at.y - 8}, r, rung.turn_deg > 0 ? Side::left : Side::right);
    }
    ui.words(p.name, p.type, p.at, p.dim ? ui.c().dim : ui.c().ink,
             ui.paint.cut(p.type, p.text, area.right() - p.at.x));
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
  const Type type = ui.in.layout.small_pills ? Type::label_bold : Type::text_bold;
  double widths[4], sum = 24;
  for (std::size_t i = 0; i < 4; ++i) sum += widths[i] = ui.pill_width(names[i], type);
  double x = area.right() - sum;
  for (std::size_t i = 0; i < 4; ++i) {
    if (ui.pill(std::string("camera/") + names[i], names[i], {x, area.y, widths[i], area.h}, i == now, true,
                type)) {
      ui.push(ChooseCamera{static_cast<CameraKind>(i)});
    }
    x += widths[i] + 8;
  }
}

namespace {

/// The next rung beside this one; a kick from another stance where it has one.
Edit compare_edit(const Session& s) {
  return Compare{pair_of(s.rung_now().forms.size() > 1 ? Pairing::forms : Pairing::next)};
}

}  // namespace

void show_tools(Ui& ui) {
  const Rect& area = ui.in.layout.tools;
  if (area.empty()) return;
  struct Tool {
    const char* label;
    Edit edit;
    bool on;
    int need;  // what is needed least is left out first
  };
  const bool curves = ui.session().look.curves;
  const Type type = ui.in.layout.small_pills ? Type::label_bold : Type::text_bold;
  std::vector<Tool> tools{
      {"plan", ShowSheet{Sheet::plan}, false, 4},     {"walk it", ShowSheet{Sheet::walk}, false, 2},
      {"finish", ShowSheet{Sheet::finish}, false, 3}, {"compare", compare_edit(ui.session()), false, 1},
      {"curves", ShowCurves{!curves}, curves, 0},     {"more", ShowSheet{Sheet::more}, false, 5}};
  const auto width = [&] {
    double sum = 8.0 * static_cast<double>(tools.size() - 1);
    for (const Tool& tool : tools) sum += ui.pill_width(tool.label, type);
    return sum;
  };
  // What does not fit is found under "more".
  while (tools.size() > 1 && width() > area.w) {
    tools.erase(std::min_element(tools.begin(), tools.end(),
                                 [](const Tool& a, const Tool& b) { return a.need < b.need; }));
  }
  double x = area.right() - width();
  for (const Tool& tool : tools) {
    const double w = ui.pill_width(tool.label, type);
    if (ui.pill(std::string("tool/") + tool.label, tool.label, {x, area.y, w, area.h}, tool.on, false, type))
      ui.push(tool.edit);
    x += w + 8;
  }
}

void show_notice(Ui& ui) {
  const Rect& area = ui.in.layout.notice;
  const Session& s = ui.session();
  if (area.empty()) return;
  const std::string& cue = s.rung_now().cue;
  if (s.notice.empty() && !cue.empty() && ui.in.layout.panes[0].empty() && !s.look.curves) {
    const std::string text = ui.paint.cut(Type::label_bold, cue, area.w - 32);
    const Rect rect{area.x, area.y, ui.paint.text_width(Type::label_bold, text) + 32, area.h};
    ui.paint.fill(rect, ui.c().plate, 8);
    ui.paint.outline(rect, ui.c().hair, 1.5, 8);
    ui.words("cue", Type::label_bold, {area.x + 16, area.mid_y() + 6}, ui.c().ink, text);
    return;
  }
  if (s.notice.empty()) return;
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
