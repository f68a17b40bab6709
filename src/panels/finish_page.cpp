#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ui.hpp"

namespace halfturn {
namespace {

constexpr double pad = 12, time_column = 84, gap = 6, caption_h = 30, leading = 26;
/// Two times of one flight that are shown as one moment, s.
constexpr double same_moment_s = 1e-6;

/// The plan to finish a rung as a list that scrolls by whole lines.
class FinishPage {
 public:
  FinishPage(Ui& ui, const Rect& area, const std::vector<FinishLine>& lines)
      : ui_(ui), area_(area), lines_(lines) {}

  void show(double top, double bottom) {
    const double room = bottom - top;
    const std::size_t count = lines_.size();
    std::size_t last_first = count;
    for (std::size_t k = count; k-- > 0 && height(k, count) <= room;) last_first = k;
    last_first = std::min(last_first, count == 0 ? 0 : count - 1);
    const int asked = ui_.session().list_first;
    const std::size_t first = std::min(static_cast<std::size_t>(std::max(0, asked)), last_first);
    std::size_t end = first;
    while (end < count && height(first, end + 1) <= room) ++end;
    end = std::max(end, std::min(count, first + 1));
    if (last_first > 0) show_scroll(first, end, last_first, room, asked, top);
    double y = top;
    // What is out of sight is told beside the first caption.
    if (first > 0 || end < count)
      ui_.words("finish/shown", Type::label, {area_.right(), y + 22}, ui_.c().dim,
                fmt::format("lines {} to {} of {}", first + 1, end, count), TextAlign::right);
    for (std::size_t k = first; k < end; ++k) {
      if (k == first || lines_[k].part != lines_[k - 1].part) {
        ui_.words(fmt::format("finish/part {}", static_cast<int>(lines_[k].part)), Type::label_bold,
                  {area_.x, y + 22}, ui_.c().dim, finish_part_word(lines_[k].part));
        y += caption_h;
      }
      show_line(k, y);
      y += row(k) + gap;
    }
  }

 private:
  [[nodiscard]] double text_left(std::size_t k) const { return lines_[k].time_s ? time_column : pad; }
  [[nodiscard]] double text_width(std::size_t k) const { return area_.w - text_left(k) - pad; }
  [[nodiscard]] double row(std::size_t k) const {
    const int rows = ui_.paint.lines_of(Type::text, text_width(k), lines_[k].text);
    const double h = rows * leading + (lines_[k].time_s ? 18 : 6);
    return lines_[k].time_s ? std::max(48.0, h) : h;
  }
  /// Of the lines from `first` up to `end`.
  [[nodiscard]] double height(std::size_t first, std::size_t end) const {
    double sum = 0;
    for (std::size_t k = first; k < end; ++k) {
      if (k == first || lines_[k].part != lines_[k - 1].part) sum += caption_h;
      sum += row(k) + (k + 1 < end ? gap : 0);
    }
    return sum;
  }

  void show_scroll(std::size_t first, std::size_t end, std::size_t last_first, double room, int asked,
                   double top) {
    const double w = (area_.w - 32) / 3, y = area_.bottom() - 48;
    std::size_t wanted = first;
    if (ui_.pill("list/up", "up", {area_.x, y, w, 48})) {
      while (wanted > 0 && height(wanted - 1, first) <= room) --wanted;
      if (wanted == first && first > 0) --wanted;
    }
    if (ui_.pill("list/down", "down", {area_.x + w + 16, y, w, 48})) wanted = std::min(end, last_first);
    const ImGuiIO& io = ImGui::GetIO();
    const double s = ui_.paint.scale();
    if (io.MouseWheel != 0 &&
        Rect{area_.x, top, area_.w, room}.contains(io.MousePos.x / s, io.MousePos.y / s))
      wanted = io.MouseWheel > 0 ? first - std::min<std::size_t>(first, 1) : std::min(first + 1, last_first);
    if (static_cast<int>(wanted) != asked) ui_.push(ScrollList{static_cast<int>(wanted)});
  }

  /// The line whose moment is the latest one reached.
  [[nodiscard]] bool is_now(std::size_t k) const {
    const double t = ui_.session().playback.t + same_moment_s;
    const auto reached = [&](const FinishLine& line) {
      return line.part == FinishPart::in_the_air && line.time_s && *line.time_s <= t;
    };
    return reached(lines_[k]) &&
           std::none_of(lines_.begin() + static_cast<std::ptrdiff_t>(k) + 1, lines_.end(), reached);
  }

  void show_line(std::size_t k, double y) {
    const FinishLine& line = lines_[k];
    const Palette& c = ui_.c();
    const std::string name = fmt::format("finish/{}", k);
    const Rect rect{area_.x, y, area_.w, row(k)};
    if (!line.time_s) {
      ui_.out.records.push_back({WidgetRecord::Kind::words, name, line.text, "", false, rect});
      ui_.paint.paragraph(Type::text, {rect.x + pad, y + 22}, text_width(k), leading, c.ink, line.text);
      return;
    }
    const bool now = is_now(k);
    const std::string moment = fmt::format("{:.2f} s", *line.time_s);
    const Ui::Touched touched =
        ui_.touch({WidgetRecord::Kind::choice, name, line.text, moment, now, rect}, 8);
    if (touched.pressed) ui_.push(Seek{*line.time_s});
    ui_.paint.fill(rect, now ? c.selected : c.plate, 8);
    if (!now) ui_.paint.outline(rect, touched.hovered || touched.held ? c.ink : c.edge, 2, 8);
    const Color ink = now ? c.on_selected : c.ink;
    const int rows = ui_.paint.lines_of(Type::text, text_width(k), line.text);
    const double first = rect.mid_y() - (rows - 1) * leading / 2 + 7;
    ui_.paint.text(Type::text_bold, {rect.x + pad, first}, ink, moment);
    ui_.paint.paragraph(Type::text, {rect.x + time_column, first}, text_width(k), leading, ink, line.text);
  }

  Ui& ui_;
  Rect area_;
  const std::vector<FinishLine>& lines_;
};

}  // namespace

void show_finish_sheet(Ui& ui, const Rect& area) {
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Rung& rung = s.rung_now();
  const bool wide = ui.in.layout.form == Form::wide;
  double y = area.y + (wide ? 31 : 22);
  ui.words("sheet/caption", Type::text, {area.x, y}, c.dim, "before you start: how to finish");
  y += wide ? 48 : 38;
  ui.words("sheet/title", wide ? Type::title : Type::step, {area.x - (wide ? 2 : 1), y}, c.ink,
           ui.paint.cut(wide ? Type::title : Type::step, rung.title, area.w - (wide ? 0 : 80)));
  y += wide ? 16 : 10;
  // Beside the field where there is room, else over its right end.
  const double beside = wide ? 92 : 0;
  if (wide) {
    ui.words("finish/cue caption", Type::label, {area.x, y + 30}, c.dim, "your cue");
  } else {
    ui.words("finish/cue caption", Type::label, {area.right(), y - 10}, c.dim, "your cue", TextAlign::right);
  }
  std::string cue = rung.cue;
  if (ui.field("finish/cue", cue, {area.x + beside, y, area.w - beside, 48})) ui.push(WriteCue{s.rung, cue});
  y += 48 + (wide ? 8 : 4);
  // What makes the page no promise stands under it, whatever else there is no room for.
  std::vector<std::string> cautions = rung.warnings;
  if (ui.in.coaching != nullptr) cautions.push_back(ui.in.coaching->finish.source);
  cautions.emplace_back(ladder_caution);
  double bottom = area.bottom() - 48 - 14;
  constexpr double low_leading = 22;
  for (std::size_t k = cautions.size(); k-- > 0;) {
    const bool warns = k < rung.warnings.size();
    const Type type = warns ? Type::label_bold : Type::label;
    const int rows = ui.paint.lines_of(type, area.w, cautions[k]);
    bottom -= rows * low_leading;
    ui.out.records.push_back({WidgetRecord::Kind::words,
                              fmt::format("caution/{}", k),
                              cautions[k],
                              "",
                              false,
                              {area.x, bottom, area.w, rows * low_leading}});
    ui.paint.paragraph(type, {area.x, bottom + 16}, area.w, low_leading, warns ? c.ink : c.dim, cautions[k]);
  }
  ui.paint.line({area.x, bottom - 6}, {area.right(), bottom - 6}, c.hair, 1.5);
  if (ui.in.coaching != nullptr) {
    FinishPage(ui, area, ui.in.coaching->finish.lines).show(y, bottom - 14);
  }
  const double w = (area.w - 32) / 3;
  if (ui.pill("sheet/done", "done", {area.right() - w, area.bottom() - 48, w, 48}, true))
    ui.push(ShowSheet{Sheet::none});
}

}  // namespace halfturn
