#include <fmt/format.h>

#include <array>

#include "ui.hpp"

namespace halfturn {
namespace {

struct Group {
  const char* caption;
  std::vector<HandOverForm> forms;
};

const std::array<Group, 4>& groups() {
  using enum HandOverForm;
  static const std::array<Group, 4> all{{{"to print", {sheet, class_sheet, wall_card}},
                                         {"a picture", {moment, exposures}},
                                         {"a film", {film, climb_film, walk_film}},
                                         {"a file", {page, model, orientations}}}};
  return all;
}

class HandOverPage {
 public:
  HandOverPage(Ui& ui, const Rect& area)
      : ui_(ui), area_(area), low_(ui.in.layout.form != Form::wide), over_(ui.session().hand_over) {}

  void show() {
    show_title();
    show_forms();
    show_path();
    show_state();
    show_bottom();
  }

 private:
  void show_title() {
    ui_.words("sheet/caption", Type::text, {area_.x, area_.y + (low_ ? 22 : 31)}, ui_.c().dim,
              ui_.paint.cut(Type::text, ui_.session().plan.title, area_.w));
    y_ = area_.y + (low_ ? 52 : 80);
    ui_.words("sheet/title", low_ ? Type::step : Type::title, {area_.x - 2, y_}, ui_.c().ink, "hand it over");
    y_ += low_ ? 14 : 28;
  }

  void show_forms() {
    const Type type = low_ ? Type::label_bold : Type::text_bold;
    for (const Group& group : groups()) {
      ui_.words(std::string("hand over/") + group.caption, Type::label, {area_.x, y_ + 14}, ui_.c().dim,
                group.caption);
      std::vector<Ui::Choice> choices;
      for (const HandOverForm form : group.forms)
        choices.push_back({std::string(hand_over_word(form)), form == over_.form});
      y_ = ui_.pills(
               "hand over", choices, {area_.x, y_ + 20, area_.w, 0},
               [&](std::size_t i) { ui_.push(ChooseHandOver{group.forms[i]}); }, type) +
           (low_ ? 0 : 6);
    }
  }

  void show_path() {
    const std::string what(hand_over_words(over_.form));
    const int rows = ui_.paint.lines_of(Type::label_bold, area_.w, what);
    ui_.out.records.push_back(
        {WidgetRecord::Kind::words, "hand over/what", what, "", false, {area_.x, y_, area_.w, rows * 20.0}});
    ui_.paint.paragraph(Type::label_bold, {area_.x, y_ + 16}, area_.w, 20, ui_.c().ink, what);
    y_ += rows * 20 + 6;
    std::string path = over_.path;
    bool entered = false;
    if (ui_.field("hand over/path", path, {area_.x, y_, area_.w, 48}, &entered)) ui_.push(TypeHandOver{path});
    if (entered) ui_.push(StartHandOver{});
    y_ += 60;
  }

  /// How far it is, how it ended, or what whoever hands it over should know.
  void show_state() {
    const Session& s = ui_.session();
    const Palette& c = ui_.c();
    if (over_.running) {
      const Rect bar{area_.x, y_ + 8, area_.w, 14};
      ui_.paint.fill(bar, c.plate, 7);
      ui_.paint.outline(bar, c.edge, 1.5, 7);
      if (over_.percent > 0) ui_.paint.fill({bar.x, bar.y, bar.w * over_.percent / 100, bar.h}, c.ink, 7);
      ui_.words("hand over/progress", Type::label_bold, {area_.x, y_ + 44}, c.ink,
                over_.percent < 0 ? "begun" : fmt::format("{} % made", over_.percent));
      return;
    }
    if (!s.notice.empty()) {
      const int rows = ui_.paint.lines_of(Type::label_bold, area_.w, s.notice);
      ui_.out.records.push_back({WidgetRecord::Kind::words,
                                 s.notice_is_problem ? "notice/problem" : "notice/done",
                                 s.notice,
                                 "",
                                 false,
                                 {area_.x, y_, area_.w, rows * 20.0}});
      ui_.paint.paragraph(Type::label_bold, {area_.x, y_ + 16}, area_.w, 20, c.ink, s.notice);
      return;
    }
    if (y_ + 60 > area_.bottom() - 56) return;
    ui_.paint.paragraph(
        Type::label, {area_.x, y_ + 16}, area_.w, 20, c.dim,
        "Flights are those of an average adult where one gets there, else drawn: estimates. No "
        "name, height or mass of an athlete is in it unless you typed one into the plan.");
  }

  void show_bottom() {
    const double w = (area_.w - 16) / 2, y = area_.bottom() - 48;
    if (ui_.pill("sheet/done", "done", {area_.x, y, w, 48})) ui_.push(ShowSheet{Sheet::none});
    const Rect right{area_.right() - w, y, w, 48};
    if (!over_.running) {
      if (ui_.pill("hand over/make", "make it", right, true)) ui_.push(StartHandOver{});
    } else if (hand_over_takes_long(over_.form)) {
      if (ui_.pill("hand over/cancel", "cancel", right)) ui_.push(CancelHandOver{});
    }
  }

  Ui& ui_;
  Rect area_;
  bool low_;
  const HandOver& over_;
  double y_ = 0;
};

}  // namespace

void show_hand_over_sheet(Ui& ui, const Rect& area) {
  HandOverPage(ui, area).show();
}

}  // namespace halfturn
