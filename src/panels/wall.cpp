#include <algorithm>
#include <cmath>

#include "scrub_parts.hpp"
#include "session/words.hpp"

namespace halfturn {
namespace {

/// Lines of words as they fit a width; a single word that is wider stays whole and is cut.
std::vector<std::string> broken(const Ui& ui, Type type, const std::string& text, double width) {
  std::vector<std::string> lines;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    if (!lines.empty() && ui.paint.text_width(type, lines.back() + " " + word) <= width) {
      lines.back() += " " + word;
    } else if (!word.empty()) {
      lines.push_back(word);
    }
    at = end + 1;
  }
  for (std::string& line : lines) line = ui.paint.cut(type, line, width);
  return lines;
}

}  // namespace

// Nothing here is smaller than a twelfth of the window: it is read from across the gym.
void show_wall(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Rect& area = l.wall_words;
  if (area.empty()) return;
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Rung& rung = s.rung_now();
  const AnswerWords words = answer_words(*s.ladder, s.rung, s.settings.turn_unit);

  // The wall in the largest letters; what is off it, the turn, how it lands: as far down as there is room.
  struct Piece {
    const char* name;
    Type type;
    std::string text;
    bool dim;
    double above;  // space over it
  };
  const std::string kind = words.landing.substr(0, words.landing.find(", "));
  const std::vector<Piece> pieces{{"wall/lead", Type::title, words.lead, true, 0},
                                  {"wall/facing", Type::answer, words.wall, false, 0},
                                  {"wall/turn", Type::title, words.turn, false, 14},
                                  {"wall/landing", Type::title, kind, true, 10},
                                  {"wall/cue", Type::title, rung.cue, false, 10}};
  double y = area.y;
  for (const Piece& piece : pieces) {
    if (piece.text.empty()) continue;
    const double badge = std::string_view(piece.name) == "wall/turn" && rung.turn_deg != 0 ? 58 : 0;
    const double leading = 1.06 * type_size(piece.type);
    const std::vector<std::string> lines = broken(ui, piece.type, piece.text, area.w - badge);
    y += piece.above;
    // The cue keeps off the scrub; everything else is short enough to stand beside it.
    const double end = std::string_view(piece.name) == "wall/cue" ? l.scrub.y : l.height - 8;
    if (y + leading * static_cast<double>(lines.size()) > end) break;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      y += leading;
      const double baseline = y - 0.16 * type_size(piece.type);
      if (badge > 0 && i == 0)
        side_badge(ui.paint, {area.x + 24, baseline - 15}, 24, rung.turn_deg > 0 ? Side::left : Side::right);
      ui.words(i == 0 ? std::string(piece.name) : piece.name + std::string(" ") + std::to_string(i + 1),
               piece.type, {area.x + badge, baseline}, piece.dim ? c.dim : c.ink, lines[i]);
    }
  }
  constexpr double arrow = 34;
  if (rung.turn_deg != 0 && y + 2 * arrow + 30 < l.height)
    turn_arrow(ui.paint, {area.x + arrow + 6, y + arrow + 22}, arrow, rung.turn_deg);
}

void show_wall_scrub(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Session& s = ui.session();
  const Flight& flight = ui.in.flight;
  const double duration = flight.duration(), t = std::clamp(s.playback.t, 0.0, duration);
  const Arc arc(flight, l);
  touch_scrub(ui, arc, "", duration);
  show_arc(ui, arc, t / duration);
  for (const FlightEvent& event : flight.events()) {
    if (event.kind == EventKind::takeoff || event.kind == EventKind::landing)
      show_event(ui, event.kind, {arc.x_of(event.time), l.ground_y});
  }
  const Point p = arc.at(t / duration);
  ui.paint.disc(p, 25, ui.c().air);
  mini_dial(ui.paint, p, 20, turned_so_far_deg(s.rung_now(), flight.at(t), duration), false);
}

}  // namespace halfturn
