#include <algorithm>
#include <cmath>

#include "eyes.hpp"

namespace halfturn {
namespace {

constexpr double word_gap_px = 12;

}  // namespace

void show_gaze(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Look& look = ui.session().look;
  if (l.cameras.empty() || look.camera != CameraKind::eyes) return;
  const Type type = Type::label_bold;
  const double right = l.cameras.right(), y = l.cameras.bottom() + 8;
  const auto word_of = [](int i) { return std::string(gaze_word(static_cast<Gaze>(i))); };
  double sum = -8;
  for (int i = 0; i < gaze_count; ++i) sum += ui.pill_width(word_of(i), type) + 8;
  // Clear of the answer's words; one button that steps where there is no room for all.
  const double room = right - 0.52 * (l.climb.empty() ? l.width : l.climb.x);
  if (l.form != Form::wide || sum > room) {
    const std::string label = "gaze: " + std::string(gaze_word(look.gaze));
    const double w = std::min(room, ui.pill_width(label, type));
    if (ui.pill("gaze/step", label, {right - w, y, w, 48}, false, false, type))
      ui.push(ChooseGaze{next_gaze(look.gaze)});
    return;
  }
  double x = right - sum;
  for (int i = 0; i < gaze_count; ++i) {
    const double w = ui.pill_width(word_of(i), type);
    if (ui.pill("gaze/" + word_of(i), word_of(i), {x, y, w, 48}, static_cast<int>(look.gaze) == i, true,
                type))
      ui.push(ChooseGaze{static_cast<Gaze>(i)});
    x += w + 8;
  }
}

namespace {

/// Spans with the gaze that is chosen; null while they are not known.
const std::vector<SightSpan>* sight_shown(const Ui& ui) {
  if (ui.in.coaching == nullptr) return nullptr;
  return &ui.in.coaching->sight[static_cast<std::size_t>(ui.session().look.gaze)];
}

}  // namespace

void show_eye(Ui& ui, Point at) {
  ui.paint.disc(at, 8, ui.c().plate);
  ui.paint.ring(at, 8, ui.c().ink, 2);
  ui.paint.disc(at, 3, ui.c().ink);
}

void show_sight_spans(Ui& ui) {
  const std::vector<SightSpan>* spans = sight_shown(ui);
  if (spans == nullptr) return;
  const Layout& l = ui.in.layout;
  const double px_a_second = l.scrub.w / ui.in.flight.duration();
  for (const SightSpan& span : *spans) {
    const double from = l.scrub.x + px_a_second * span.from_s, to = l.scrub.x + px_a_second * span.to_s;
    ui.paint.fill({from, l.ground_y, std::max(2.0, to - from), 8}, ui.c().ink);
    show_eye(ui, {from, l.ground_y});
  }
}

namespace {

std::string sight_words(const Ui& ui) {
  const std::vector<SightSpan>* spans = sight_shown(ui);
  if (spans == nullptr) return "";
  const Gaze gaze = ui.session().look.gaze;
  const std::string how = gaze == Gaze::neutral ? "" : ", " + std::string(gaze_word(gaze));
  return (spans->empty() ? "landing not in view" : "landing in view") + how;
}

std::optional<double> free_place(double wanted, double width, const Rect& area,
                                 const std::vector<WordPlace>& placed) {
  const double lowest = area.x - 9, highest = area.right() + 9 - width;
  std::vector<double> starts{std::clamp(wanted, lowest, std::max(lowest, highest))};
  for (const WordPlace& other : placed) {
    starts.push_back(other.to + word_gap_px);
    starts.push_back(other.from - word_gap_px - width);
  }
  std::optional<double> best;
  for (const double start : starts) {
    const bool holds = start >= lowest && start <= highest &&
                       std::none_of(placed.begin(), placed.end(), [&](const WordPlace& other) {
                         return start < other.to + word_gap_px && start + width + word_gap_px > other.from;
                       });
    if (holds && (!best || std::abs(start - wanted) < std::abs(*best - wanted))) best = start;
  }
  return best;
}

}  // namespace

void place_sight_words(Ui& ui, double y, std::vector<WordPlace>& placed) {
  const std::string words = sight_words(ui);
  if (words.empty()) return;
  const Rect& area = ui.in.layout.scrub;
  const std::vector<SightSpan>& spans = *sight_shown(ui);
  const double middle_s =
      spans.empty() ? 0.5 * ui.in.flight.duration() : 0.5 * (spans.back().from_s + spans.back().to_s);
  for (const std::string& text : {words, std::string(spans.empty() ? "not in view" : "in view")}) {
    const double w = ui.paint.text_width(Type::label_bold, text);
    const double wanted = area.x + area.w * middle_s / ui.in.flight.duration() - w / 2;
    const std::optional<double> from = free_place(wanted, w, area, placed);
    if (!from) continue;
    placed.push_back({*from, *from + w});
    ui.words("scrub/sight", Type::label_bold, {*from, y}, ui.c().ink, text);
    return;
  }
}

}  // namespace halfturn
