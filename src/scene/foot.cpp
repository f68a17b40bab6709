#include "scene/foot.hpp"

#include <algorithm>
#include <cctype>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double least_size_px = 11;               // what can still be read
constexpr double between_em = 1.3, line_em = 1.4;  // between parts; from line to line
constexpr double mark_em = 1.25;                   // a diamond and the room after it

struct FootWord {
  std::string text;
  bool strong = false, mark = false;
  double x = 0;  // px from the left edge
};
struct FootLayout {
  double size = 0, margin = 0;
  std::vector<std::vector<FootWord>> lines;
  [[nodiscard]] double height() const { return (line_em * static_cast<double>(lines.size()) + 0.7) * size; }
};

/// All digits as wide as a zero: a moment that runs must not push the words after it about.
double steady_width_em(std::string text, Weight weight) {
  for (char& c : text)
    if (std::isdigit(static_cast<unsigned char>(c)) != 0) c = '0';
  return text_width_em(text, weight);
}

FootLayout layout_at(const std::vector<FootPart>& parts, double width_px, double size) {
  FootLayout layout;
  layout.size = size;
  layout.margin = std::min(16.0, 0.03 * width_px);
  layout.lines.emplace_back();
  double x = layout.margin;
  const double right = width_px - layout.margin;
  const auto width_of = [&](const std::string& text, const FootPart& part) {
    return size * steady_width_em(text, part.strong ? Weight::bold : Weight::medium);
  };
  const auto next_line = [&] {
    layout.lines.emplace_back();
    x = layout.margin;
  };
  for (const FootPart& part : parts) {
    if (part.text.empty()) continue;
    const double all = width_of(part.text, part) + (part.strong ? mark_em * size : 0);
    const bool starts_line = layout.lines.back().empty();
    if (!starts_line) x += between_em * size;
    // A part stays together where a line of its own holds it.
    if (!starts_line && x + all > right) next_line();
    bool mark = part.strong;
    std::string run;  // words of this part on this line
    double run_x = x + (mark ? mark_em * size : 0);
    const auto end_run = [&] {
      layout.lines.back().push_back({run, part.strong, mark, run_x});
      x = run_x + width_of(run, part);
      mark = false;
    };
    for (std::size_t at = 0; at < part.text.size();) {
      const std::size_t space = std::min(part.text.find(' ', at), part.text.size());
      const std::string word = part.text.substr(at, space - at);
      at = space + 1;
      const std::string longer = run.empty() ? word : run + " " + word;
      if (!run.empty() && run_x + width_of(longer, part) > right) {
        end_run();
        next_line();
        run_x = x;
        run = word;
      } else {
        run = longer;
      }
    }
    end_run();
  }
  return layout;
}

/// In one line where the letters stay readable, else in as many as it takes.
FootLayout layout_of(const std::vector<FootPart>& parts, double width_px, const View& view) {
  double size = std::max(least_size_px, 13 * view.scale);
  FootLayout layout = layout_at(parts, width_px, size);
  while (layout.lines.size() > 1 && size > least_size_px) {
    size = std::max(least_size_px, size - 0.5);
    layout = layout_at(parts, width_px, size);
  }
  return layout;
}

}  // namespace

double foot_height_px(const std::vector<FootPart>& parts, double width_px, const View& view) {
  return layout_of(parts, width_px, view).height();
}

void add_foot(Scene& scene, const std::vector<FootPart>& parts, double width_px, double from_px,
              const View& view) {
  const Palette& c = palette_of(view.theme);
  const FootLayout layout = layout_of(parts, width_px, view);
  const double top = view.height_px - layout.height(), right = view.width_px, bottom = view.height_px;
  scene.items.emplace_back(Polygon{Space::screen,
                                   {{0, top, 0}, {right, top, 0}, {right, bottom, 0}, {0, bottom, 0}},
                                   faded(c.air, 0.92),
                                   {}});
  double y = top + (0.35 + 0.5 * line_em) * layout.size;
  for (const std::vector<FootWord>& line : layout.lines) {
    for (const FootWord& word : line) {
      const double x = word.x - from_px;
      if (word.mark)
        scene.items.emplace_back(
            Marker{Marker::Shape::diamond, x - 0.7 * layout.size, y, 0.5 * layout.size, c.ink, {}});
      scene.items.emplace_back(Label{word.text,
                                     x,
                                     y,
                                     layout.size,
                                     word.strong ? Weight::bold : Weight::medium,
                                     Align::left,
                                     word.strong ? c.ink : c.dim,
                                     {0, 0, 0, 0}});
    }
    y += line_em * layout.size;
  }
}

void add_caption(Scene& scene, const std::string& text, const std::string& over, double up_px,
                 const View& view) {
  const double px = view.scale;
  const Palette& c = palette_of(view.theme);
  const auto line = [&](const std::string& words, double up, double size, Weight weight, Color color) {
    const double room = (view.width_px - 60 * px) / std::max(1.0, text_width_em(words, weight));
    scene.items.emplace_back(Label{words, 40 * px, view.height_px - up_px - up * px,
                                   std::min(size * px, room), weight, Align::left, color, c.air});
  };
  line(text, 20, 24, Weight::bold, c.ink);
  line(over, 48, 16, Weight::medium, c.dim);
}

}  // namespace halfturn
