#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "format/link_file.hpp"
#include "scrub_parts.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

/// The links of the chain one under the other, what does not fit between them, and what can be done with the
/// picked one.
class ChainPage {
 public:
  ChainPage(Ui& page_ui, const Rect& page_area)
      : ui_(page_ui),
        area_(page_area),
        s_(page_ui.session()),
        items_(s_.plan.chain),
        wide_(page_ui.in.layout.form == Form::wide) {}

  void show() {
    const bool choosing = s_.page != PlanPage::all;
    const std::string title =
        choosing ? s_.page == PlanPage::base ? "put in its place" : "put after it" : "chain";
    if (wide_) {
      ui_.words("sheet/caption", Type::text, {area_.x, area_.y + 31}, ui_.c().dim,
                choosing ? std::string("a setup, a transition or a skill") : state_words());
      ui_.words("sheet/title", Type::title, {area_.x - 2, area_.y + 80}, ui_.c().ink, title);
      y_ = area_.y + 104;
    } else {
      ui_.words("sheet/title", Type::step, {area_.x, area_.y + 26}, ui_.c().ink, title);
      y_ = area_.y + 40;
    }
    if (choosing) return show_choices();
    if (items_.empty()) return show_empty();
    show_links();
  }

 private:
  [[nodiscard]] std::string state_words() const {
    if (items_.empty()) return "setup, skill, transition, skill";
    if (!s_.chain) return "cannot run yet";
    const auto wrong = std::count_if(s_.chain->joints.begin(), s_.chain->joints.end(),
                                     [](const ChainJoint& joint) { return !joint.fits(); });
    if (wrong == 0) return fmt::format("every joint fits, {:.1f} s", s_.chain->duration());
    return wrong == 1 ? "one joint does not fit" : fmt::format("{} joints do not fit", wrong);
  }

  /// The rung now, behind a setup.
  void show_empty() {
    ui_.paint.paragraph(Type::text, {area_.x, y_ + 24}, area_.w, 28, ui_.c().ink,
                        "Skills one after the other, with what leads into them and what stands between. "
                        "Headings, feet and travel run through; what does not fit is said at its joint.");
    const double top = y_ + 150;
    ChainItem own{s_.plan.base, std::abs(s_.rung_now().twist_deg), "", {}};
    if (!s_.ladder->base->kicks.empty()) own.twist_deg = std::abs(s_.rung_now().turn_deg);
    if (ui_.pill("chain/begin", "begin with a setup", {area_.x, top, area_.w, 56}, true))
      ui_.push(ShowPage{PlanPage::setup});
    if (ui_.pill("chain/own", fmt::format("begin with the {}", s_.rung_now().title),
                 {area_.x, top + 68, area_.w, 56}))
      ui_.push(AddLink{own});
    done();
  }

  [[nodiscard]] std::vector<std::string> joint_lines(std::size_t i) const {
    std::vector<std::string> lines;
    if (!s_.chain || i >= s_.chain->joints.size()) return lines;
    for (const std::string& text : s_.chain->joints[i].mismatches) lines.push_back(text);
    for (const std::string& text : s_.chain->joints[i].mends) lines.push_back("to mend it: " + text);
    return lines;
  }
  [[nodiscard]] double joint_height(std::size_t i) const {
    double height = 8;
    for (const std::string& text : joint_lines(i))
      height += 22.0 * ui_.paint.lines_of(Type::label, area_.w - 40, text);
    return height;
  }

  void show_links() {
    const double tools = wide_ ? 232 : 120, end = area_.bottom() - tools;
    const double row = 52;
    // As many from the first as there is room for.
    const auto count = static_cast<int>(items_.size());
    const int first = std::clamp(s_.list_first, 0, std::max(0, count - 1));
    int room = 0;
    for (double used = 0; first + room < count; ++room) {
      used += row + joint_height(static_cast<std::size_t>(first + room));
      if (used > end - y_ + 8) break;
    }
    const ListPart part =
        list_part(ui_, count, std::max(1, room), {area_.x, y_, area_.w, end - y_},
                  {area_.right() - 180, area_.y + (wide_ ? 32 : 0), 180, wide_ ? 48.0 : 36.0});
    for (int k = part.first; k < part.first + part.count; ++k) show_link(static_cast<std::size_t>(k));
    if (!s_.chain_problem.empty()) {
      ui_.words("chain/problem", Type::label_bold, {area_.x, end - 4}, ui_.c().ink,
                ui_.paint.cut(Type::label_bold, s_.chain_problem, area_.w));
    }
    y_ = end + 8;
    show_tools();
    done();
  }

  void show_link(std::size_t i) {
    const Palette& c = ui_.c();
    const bool on = i == s_.picked_link;
    const ChainItem& item = items_[i];
    const std::string name = s_.chain             ? s_.chain->stops[i].title
                             : item.skill.empty() ? item.link
                                                  : item.skill;
    const Rect rect{area_.x, y_, area_.w, 48};
    const Ui::Touched touched = ui_.touch(
        {WidgetRecord::Kind::choice, fmt::format("link/{}", i + 1), name, words_of(i), on, rect}, 8);
    ui_.paint.fill(rect, on ? c.selected : c.plate, 8);
    if (!on) ui_.paint.outline(rect, touched.hovered ? c.ink : c.edge, 2, 8);
    const Color ink = on ? c.on_selected : c.ink;
    ui_.paint.ring({area_.x + 24, y_ + 24}, 14, ink, 2);
    ui_.paint.text(Type::label_bold, {area_.x + 24, y_ + 30}, ink, fmt::format("{}", i + 1),
                   TextAlign::middle);
    ui_.paint.text(Type::text_bold, {area_.x + 50, y_ + 22}, ink,
                   ui_.paint.cut(Type::text_bold, name, area_.w - 60));
    ui_.paint.text(Type::label, {area_.x + 50, y_ + 41}, ink,
                   ui_.paint.cut(Type::label, words_of(i), area_.w - 60));
    if (touched.pressed) ui_.push(PickLink{i});
    y_ += 52;
    int line = 0;
    double used = 0;
    for (const std::string& text : joint_lines(i)) {
      const int rows = ui_.paint.lines_of(Type::label, area_.w - 40, text);
      if (line == 0) {
        ui_.paint.ring({area_.x + 16, y_ + 9}, 9, c.ink, 2.5);
        ui_.paint.line({area_.x + 10, y_ + 9}, {area_.x + 22, y_ + 9}, c.ink, 3);
      }
      ui_.out.records.push_back({WidgetRecord::Kind::words,
                                 fmt::format("joint/{}/{}", i + 1, line++),
                                 text,
                                 "",
                                 false,
                                 {area_.x + 36, y_ + used, area_.w - 40, 22.0 * rows}});
      ui_.paint.paragraph(Type::label, {area_.x + 36, y_ + used + 15}, area_.w - 40, 22, c.ink, text);
      used += 22.0 * rows;
    }
    y_ += 8 + used;
  }

  [[nodiscard]] std::string words_of(std::size_t i) const {
    if (!s_.chain) return "";
    const ChainStop& stop = s_.chain->stops[i];
    const std::string ends = facing_words(stop.end_heading_deg, s_.plan.walls);
    const std::string feet = stop.end_feet == "both"  ? "both feet"
                             : stop.end_feet == "bed" ? "the bed"
                                                      : "the " + stop.end_feet + " foot";
    const bool kind = !stop.landing_kind.empty() && stop.landing_kind != "upright";
    return fmt::format("ends facing the {}, on {}{}", ends, feet, kind ? ", " + stop.landing_kind : "");
  }

  void show_tools() {
    const ChainItem& item = items_[s_.picked_link];
    const Type type = Type::label_bold;
    const double pitch = wide_ ? 56 : 52;
    const Rect top{area_.x, y_, area_.w, 48};
    double x = top.x;
    const auto pill = [&](const char* name, const std::string& label, bool on = false, bool choice = false) {
      const double w = std::min(ui_.pill_width(label, type), area_.w / 4 - 6);
      const bool pressed = ui_.pill(std::string("chain/") + name, label, {x, y_, w, 44}, on, choice, type);
      x += w + 6;
      return pressed;
    };
    if (pill("after", "add after")) ui_.push(ShowPage{PlanPage::setup});
    if (pill("change", "change")) ui_.push(ShowPage{PlanPage::base});
    if (pill("take out", "take out")) ui_.push(RemoveLink{});
    if (wide_) {
      if (pill("earlier", "earlier")) ui_.push(MoveLink{-1});
      if (pill("later", "later")) ui_.push(MoveLink{1});
      x = top.x;
      y_ += pitch;
    }
    const Side side = item.side.value_or(s_.plan.side);
    if (pill("side", fmt::format("{}", word(side)))) {
      ChainItem changed = item;
      changed.side = other(side);
      if (changed.side == s_.plan.side) changed.side.reset();
      ui_.push(ChangeLink{changed});
    }
    if (!wide_ || item.skill.empty()) return;
    static constexpr std::array<double, 4> nudges{-180, -90, 90, 180};
    const Skill* skill = ui_.in.library.vocabulary.find(item.skill);
    const double least = skill == nullptr ? 0 : skill->first_deg;
    const double now = item.twist_deg == 0 ? least : item.twist_deg;
    for (const double nudge : nudges) {
      if (!pill(fmt::format("turn {:+.0f}", nudge).c_str(),
                fmt::format("{}{:.0f}\u00b0", nudge < 0 ? "\u2212" : "+", std::abs(nudge))))
        continue;
      ChainItem changed = item;
      changed.twist_deg = std::clamp(now + nudge, least, greatest_twist_deg);
      ui_.push(ChangeLink{changed});
    }
  }

  void show_choices() {
    struct Entry {
      std::string label;
      ChainItem item;
    };
    std::vector<Entry> entries;
    const auto put = [&](bool setup) {
      for (const Link& link : built_in_links().links) {
        if (link.setup == setup) entries.push_back({link.name, {"", 0, link.name, {}}});
      }
    };
    const auto rows = [&](const char* caption) {
      std::vector<Ui::Choice> choices;
      for (const Entry& entry : entries) choices.push_back({entry.label});
      ui_.words(std::string("chain/") + caption, Type::label, {area_.x, y_ + 14}, ui_.c().dim, caption);
      y_ = compact_pills(choices, [&](std::size_t i) {
        s_.page == PlanPage::base ? ui_.push(ChangeLink{entries[i].item})
                                  : ui_.push(AddLink{entries[i].item});
      });
      entries.clear();
    };
    put(true);
    rows("setups");
    put(false);
    rows("transitions");
    for (const Skill& skill : ui_.in.library.vocabulary.skills)
      entries.push_back({skill.name, {skill.name, 0, "", {}}});
    rows("skills");
    if (ui_.pill("sheet/back", "back", {area_.right() - 150, area_.bottom() - 48, 150, 48}, true))
      ui_.push(ShowPage{PlanPage::all});
  }

  template <class F>
  double compact_pills(const std::vector<Ui::Choice>& choices, F&& chosen) {
    double x = area_.x, y = y_ + 20;
    const double tall = wide_ ? 40 : 34;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      const double w = ui_.pill_width(choices[i].label, Type::label_bold) - 4;
      if (x > area_.x && x + w > area_.right()) {
        x = area_.x;
        y += tall + 4;
      }
      if (ui_.pill("put/" + choices[i].label, choices[i].label, {x, y, w, tall}, false, true,
                   Type::label_bold))
        chosen(i);
      x += w + 6;
    }
    return y + tall + 6;
  }

  void done() {
    const double w = (area_.w - 24) / 3, y = area_.bottom() - 48;
    if (ui_.pill("sheet/undo", "undo", {area_.x, y, w, 48})) ui_.push(Undo{});
    if (ui_.pill("sheet/redo", "redo", {area_.x + w + 12, y, w, 48})) ui_.push(Redo{});
    if (ui_.pill("sheet/done", "done", {area_.right() - w, y, w, 48}, true)) ui_.push(ShowSheet{Sheet::none});
  }

  Ui& ui_;
  Rect area_;
  const Session& s_;
  const std::vector<ChainItem>& items_;
  const bool wide_;
  double y_ = 0;
};

}  // namespace

void show_chain_page(Ui& ui, const Rect& area) {
  ChainPage(ui, area).show();
}

// The cursor of the chain: a line with a part for each link, the names where there is room.
void show_chain_stage(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Session& s = ui.session();
  if (l.chain_stage.empty()) return;
  if (!s.chain) {
    ui.words("chain/none", Type::text, {l.chain_stage.mid_x(), l.chain_stage.mid_y()}, ui.c().dim,
             "the chain plays here", TextAlign::middle);
    return;
  }
  show_play(ui);
  const Palette& c = ui.c();
  const Rect& area = l.chain_scrub;
  const double span = std::max(1e-6, s.chain->duration()), y = area.y + 34;
  const Ui::Touched touched = ui.touch({WidgetRecord::Kind::slider,
                                        "chain/scrub",
                                        "time in the chain",
                                        fmt::format("{:.2f}", s.chain_t),
                                        false,
                                        {area.x - 12, area.y, area.w + 24, area.h}},
                                       8);
  if (touched.held) {
    ui.push(Seek{std::clamp(span * (touched.mouse.x - area.x) / area.w, 0.0, span)});
    ui.out.dragging = true;
  }
  const auto x_of = [&](double t) { return area.x + area.w * t / span; };
  for (std::size_t i = 0; i < s.chain->stops.size(); ++i) {
    const ChainStop& stop = s.chain->stops[i];
    const double from = x_of(stop.start_s), to = x_of(stop.start_s + stop.duration_s);
    // What flies stands higher than what is walked.
    const Rect part{from, stop.is_skill ? y - 14 : y - 6, to - from, stop.is_skill ? 28.0 : 12.0};
    ui.paint.fill(part, s.chain_t >= stop.start_s + stop.duration_s ? faded(c.ink, 0.18) : c.plate);
    ui.paint.outline(part, c.ink, 2);
    if (i > 0 && !s.chain->joints[i - 1].fits()) {
      ui.paint.ring({from, y - 22}, 8, c.ink, 2.5);
      ui.paint.line({from - 5, y - 22}, {from + 5, y - 22}, c.ink, 3);
    }
    const std::string number = fmt::format("{}", i + 1);
    ui.paint.text(Type::label_bold, {0.5 * (from + to), area.y + 72}, c.ink,
                  ui.paint.text_width(Type::label_bold, stop.title) < to - from - 6 ? stop.title : number,
                  TextAlign::middle);
  }
  const double x = x_of(std::min(s.chain_t, span));
  ui.paint.line({x, y - 26}, {x, y + 18}, c.ink, 4);
  ui.paint.disc({x, y}, 11, c.selected);
  ui.paint.ring({x, y}, 11, c.plate, 2.5);
}

}  // namespace halfturn
