#include <fmt/format.h>

#include <algorithm>

#include "session/terms.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

/// Whether a list of widget names, parted by spaces, holds a name; `*` at an end stands for any rest.
bool names_widget(std::string_view names, std::string_view name) {
  while (!names.empty()) {
    const std::size_t space = names.find(';');
    const std::string_view one = names.substr(0, space);
    if (one == name || (one.ends_with('*') && name.starts_with(one.substr(0, one.size() - 1)))) return true;
    names = space == std::string_view::npos ? std::string_view() : names.substr(space + 1);
  }
  return false;
}

}  // namespace

// Words are no control: the mouse rests on them for what they mean.
void find_hovered_words(Ui& ui) {
  if (!ui.out.hovered.empty() || ui.session().sheet == Sheet::terms) return;
  const ImGuiIO& io = ImGui::GetIO();
  const double s = ui.paint.scale();
  for (const WidgetRecord& record : ui.out.records) {
    if (record.takes_focus() || !record.rect.contains(io.MousePos.x / s, io.MousePos.y / s)) continue;
    if (term_in(record.label) != nullptr) ui.out.hovered = record.name;
  }
}

// What a control does and the key for it, or what a word of the trade means, beside what is under the mouse.
void show_tip(Ui& ui) {
  const auto found = std::find_if(ui.out.records.begin(), ui.out.records.end(),
                                  [&](const WidgetRecord& r) { return r.name == ui.in.tip; });
  if (ui.in.tip.empty() || found == ui.out.records.end()) return;
  WidgetRecord record = *found;
  if (const Term* term = term_in(record.label + ", " + record.value); term != nullptr && record.tip.empty())
    record.tip = fmt::format("{}: {}", term->word, term->meaning);
  std::vector<const KeyHelp*> keys;
  for (const KeyHelp& key : ui.in.keys) {
    if (names_widget(key.widget, record.name) && keys.size() < 2) keys.push_back(&key);
  }
  if (keys.empty() && record.tip.empty()) return;
  constexpr double pad = 14, line = 26, widest = 340;
  const Paint& measure = ui.paint;
  const auto keys_width = [&](const KeyHelp& key) {
    return measure.text_width(Type::label, key.what) + 16 + measure.text_width(Type::label_bold, key.keys) +
           20;
  };
  double w = 0;
  int lines = static_cast<int>(keys.size());
  if (!record.tip.empty()) {
    const double text = measure.text_width(Type::label, record.tip);
    w = std::min(text + 2, widest);
    lines += ui.paint.lines_of(Type::label, w, record.tip);
  }
  for (const KeyHelp* key : keys) w = std::max(w, keys_width(*key));
  const double h = line * lines + 2 * pad - 6;
  const Layout& l = ui.in.layout;
  Rect box{record.rect.mid_x() - w / 2 - pad, record.rect.bottom() + 10, w + 2 * pad, h};
  if (box.bottom() > l.height - 8) box.y = record.rect.y - 10 - h;
  box.x = std::clamp(box.x, 8.0, std::max(8.0, l.width - box.w - 8));
  box.y = std::max(8.0, box.y);
  ui.paint.fill(box, ui.c().plate, 8);
  ui.paint.outline(box, ui.c().ink, 2, 8);
  double y = box.y + pad + 13;
  if (!record.tip.empty()) {
    y += line * ui.paint.paragraph(Type::label, {box.x + pad, y}, w, line, ui.c().ink, record.tip);
    ui.out.records.push_back({WidgetRecord::Kind::words, "tip/words", record.tip, "", false, box});
  }
  for (const KeyHelp* key : keys) {
    const double what = ui.words("tip/" + key->keys, Type::label, {box.x + pad, y}, ui.c().ink, key->what);
    const double cap = ui.paint.text_width(Type::label_bold, key->keys) + 16;
    const Rect plate{box.x + pad + what + 16, y - 17, cap, 23};
    ui.paint.outline(plate, ui.c().edge, 1.5, 5);
    ui.paint.text(Type::label_bold, {plate.mid_x(), y}, ui.c().ink, key->keys, TextAlign::middle);
    y += line;
  }
}

ListPart list_part(Ui& ui, int lines, int room, const Rect& list, const Rect& buttons) {
  room = std::max(1, room);
  if (lines <= room) return {0, lines};
  const int most = lines - room, asked = ui.session().list_first, first = std::clamp(asked, 0, most);
  int wanted = first;
  const double w = (buttons.w - 8) / 2;
  if (ui.pill("list/up", "up", {buttons.x, buttons.y, w, buttons.h})) wanted = first - room + 1;
  if (ui.pill("list/down", "down", {buttons.x + w + 8, buttons.y, w, buttons.h})) wanted = first + room - 1;
  const ImGuiIO& io = ImGui::GetIO();
  const double s = ui.paint.scale();
  if (io.MouseWheel != 0 && list.contains(io.MousePos.x / s, io.MousePos.y / s))
    wanted = first - static_cast<int>(io.MouseWheel > 0 ? 3 : -3);
  wanted = std::clamp(wanted, 0, most);
  // From what is seen, so that a turn back answers at once after an end was met.
  if (wanted != asked) ui.push(ScrollList{wanted});
  return {first, room};
}

}  // namespace halfturn
