#include <algorithm>

#include "session/terms.hpp"
#include "ui.hpp"

namespace halfturn {

void show_terms_page(Ui& ui, const Rect& area) {
  const bool low = ui.in.layout.form != Form::wide;
  const Palette& c = ui.c();
  ui.words("sheet/caption", Type::text, {area.x, area.y + (low ? 22 : 31)}, c.dim, "words of the trade");
  ui.words("sheet/title", low ? Type::step : Type::title, {area.x - 2, area.y + (low ? 52 : 80)}, c.ink,
           "what they mean");
  const double top = area.y + (low ? 66 : 112), end = area.bottom() - 64;
  const std::span<const Term> all = terms();
  double word = 0;
  for (const Term& term : all) word = std::max(word, ui.paint.text_width(Type::text_bold, term.word) + 20);
  const double leading = 20, text = area.w - word;
  // All lines are as high as the highest, so that the list keeps its pace while it is scrolled.
  int rows = 1;
  for (const Term& term : all)
    rows = std::max(rows, ui.paint.lines_of(Type::label, text, std::string(term.meaning)));
  const double pitch = rows * leading + 8;
  const double third = (area.w - 32) / 3;
  const ListPart part =
      list_part(ui, static_cast<int>(all.size()), static_cast<int>((end - top) / pitch),
                {area.x, top, area.w, end - top}, {area.x, area.bottom() - 48, 2 * third, 48});
  double y = top;
  for (int i = part.first; i < part.first + part.count; ++i) {
    const Term& term = all[static_cast<std::size_t>(i)];
    const std::string name(term.word), meaning(term.meaning);
    ui.words("term/" + name, Type::text_bold, {area.x, y + 18}, c.ink, name);
    ui.out.records.push_back({WidgetRecord::Kind::words,
                              "means/" + name,
                              meaning,
                              "",
                              false,
                              {area.x + word, y, text, pitch - 8}});
    ui.paint.paragraph(Type::label, {area.x + word, y + 16}, text, leading, c.ink, meaning);
    y += pitch;
  }
  if (ui.pill("sheet/done", "done", {area.right() - third, area.bottom() - 48, third, 48}, true))
    ui.push(ShowSheet{Sheet::none});
}

}  // namespace halfturn
