#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "ui.hpp"

namespace halfturn {
namespace {

constexpr const char* as_first = "as the first";

/// What one stage of a comparison shows: a pair of the usual ones, or any rung from any base.
class StagePage {
 public:
  StagePage(Ui& page_ui, const Rect& page_area)
      : ui_(page_ui),
        area_(page_area),
        s_(page_ui.session()),
        comparison_(*s_.look.comparison),
        index_(std::min(s_.picked_stage, comparison_.beside.size())) {
    if (index_ > 0) {
      choice_ = comparison_.beside[index_ - 1];
    } else {
      choice_.source = comparison_.source;
    }
  }

  void show() {
    const bool wide = ui_.in.layout.form == Form::wide;
    type_ = wide ? Type::text_bold : Type::label_bold;
    static constexpr std::array<const char*, most_stages> ordinals{"first", "second", "third", "fourth"};
    const std::string title = stage_name(index_, s_.stages);
    if (wide) {
      ui_.words("sheet/caption", Type::text, {area_.x, area_.y + 31}, ui_.c().dim,
                fmt::format("the {} stage shows", ordinals[index_]));
      ui_.words("sheet/title", Type::title, {area_.x - 2, area_.y + 80}, ui_.c().ink,
                ui_.paint.cut(Type::title, title, area_.w));
      y_ = area_.y + 108;
    } else {
      ui_.words("sheet/title", Type::step, {area_.x, area_.y + 26}, ui_.c().ink,
                ui_.paint.cut(Type::step, title, area_.w));
      y_ = area_.y + 44;
    }
    if (s_.page == PlanPage::base) {
      show_bases();
    } else {
      show_all();
    }
    if (!s_.notice.empty())
      ui_.words(s_.notice_is_problem ? "notice/problem" : "notice/done", Type::label_bold,
                {area_.x, area_.bottom() - 62}, ui_.c().ink,
                ui_.paint.cut(Type::label_bold, s_.notice, area_.w));
  }

 private:
  void change() { ui_.push(ChangeStage{index_, choice_}); }

  template <class F>
  void row(const char* caption, const char* group, const std::vector<Ui::Choice>& choices, F&& chosen) {
    ui_.words(std::string("stage page/") + group, Type::label, {area_.x, y_ + 14}, ui_.c().dim, caption);
    y_ = ui_.pills(group, choices, {area_.x, y_ + 22, area_.w, 0}, chosen, type_) + 2;
  }

  void show_all() {
    if (index_ == 0) {
      ui_.words("stage page/first", Type::text, {area_.x, y_ + 24}, ui_.c().dim,
                "the rung chosen on the climb");
      y_ += 48;
    } else {
      static constexpr std::array<Pairing, pairing_count> pairings{
          Pairing::axes, Pairing::sides, Pairing::forms, Pairing::next, Pairing::rung};
      static constexpr std::array<const char*, pairing_count> labels{
          "the other axis", "the other side", "another form", "the next rung", "any rung"};
      std::vector<Ui::Choice> choices;
      for (std::size_t i = 0; i < pairings.size(); ++i)
        choices.push_back({labels[i], choice_.pairing == pairings[i]});
      row("beside the first", "shows", choices, [&](std::size_t i) {
        if (pairings[i] == Pairing::forms && choice_.pairing == Pairing::forms) {
          choice_.form = choice_.form == 1 ? 2 : 1;
        } else {
          const bool recorded = choice_.source == FlightSource::recorded;
          choice_ = {.pairing = pairings[i], .source = recorded ? FlightSource::simulated : choice_.source};
        }
        change();
      });
      if (choice_.pairing == Pairing::rung && choice_.source != FlightSource::recorded) show_any_rung();
    }
    std::vector<FlightSource> known{FlightSource::simulated, FlightSource::drawn};
    if (index_ > 0 && s_.recorded_now() != nullptr) known.push_back(FlightSource::recorded);
    std::vector<Ui::Choice> sources;
    for (const FlightSource source : known)
      sources.push_back({std::string(flight_source_word(source)), choice_.source == source});
    row("flight", "flight", sources, [&](std::size_t i) {
      // A record is of the chosen rung and of no other.
      if (known[i] == FlightSource::recorded) choice_ = {.pairing = Pairing::rung};
      choice_.source = known[i];
      change();
    });
    const double w = (area_.w - 16) / 2, y = area_.bottom() - 48;
    if (index_ > 0 && ui_.pill("stage page/take away", "take it away", {area_.x, y, w, 48}))
      ui_.push(DropStage{index_});
    if (ui_.pill("sheet/done", "done", {area_.right() - w, y, w, 48}, true)) ui_.push(ShowSheet{Sheet::none});
  }

  void show_any_rung() {
    const Ladder& ladder = *s_.stages[index_].ladder;
    const std::size_t now = s_.stages[index_].rung, count = ladder.rungs.size();
    // A long climb goes rung by rung.
    if (count <= most_listed) {
      std::vector<Ui::Choice> rungs{{as_first, !choice_.rung}};
      for (std::size_t k = 0; k < count; ++k)
        rungs.push_back({ladder.rungs[k].title, choice_.rung && now == k});
      row("rung", "rung", rungs, [&](std::size_t i) { choose_rung(i); });
    } else {
      row(fmt::format("rung {} of {}", now, count - 1).c_str(), "rung",
          {{as_first, !choice_.rung}, {"down"}, {"up"}}, [&](std::size_t i) {
            if (i == 0) return choose_rung(0);
            choice_.rung = i == 2 ? std::min(now + 1, count - 1) : now == 0 ? 0 : now - 1;
            change();
          });
    }
    row("side", "side",
        {{as_first, !choice_.side},
         {"left", choice_.side == Side::left},
         {"right", choice_.side == Side::right}},
        [&](std::size_t i) {
          choice_.side = i == 0 ? std::nullopt : std::optional(i == 1 ? Side::left : Side::right);
          change();
        });
    const double w = (area_.w - 12) / 2, h = ui_.in.layout.form == Form::wide ? 60 : 48;
    if (ui_.plate("stage page/base", "base", choice_.base.empty() ? as_first : choice_.base.c_str(),
                  {area_.x, y_ + 6, w, h}))
      ui_.push(ShowPage{PlanPage::base});
    // Every press goes on to the next possibility, and after the last back to the first stage's own.
    const std::vector<std::string> takeoffs = other_takeoffs();
    if (ui_.plate("stage page/takeoff", "takeoff",
                  choice_.takeoff.empty() ? as_first : choice_.takeoff.c_str(),
                  {area_.x + w + 12, y_ + 6, w, h})) {
      auto next = takeoffs.begin();
      if (!choice_.takeoff.empty()) {
        next = std::find(takeoffs.begin(), takeoffs.end(), choice_.takeoff);
        if (next != takeoffs.end()) ++next;
      }
      choice_.takeoff = next == takeoffs.end() ? "" : *next;
      change();
    }
    y_ += h + 14;
  }

  void choose_rung(std::size_t i) {
    choice_.rung = i == 0 ? std::nullopt : std::optional(i - 1);
    change();
  }

  /// Takeoffs that the base of this stage can have.
  [[nodiscard]] std::vector<std::string> other_takeoffs() const {
    const Vocabulary& vocabulary = ui_.in.library.vocabulary;
    const Skill* base = choice_.base.empty() ? s_.ladder->base : vocabulary.find(choice_.base);
    std::vector<std::string> takeoffs;
    for (const std::string& takeoff : vocabulary.takeoffs) {
      if (Vocabulary::accepts(*base, takeoff) || vocabulary.with_takeoff(*base, takeoff) != nullptr)
        takeoffs.push_back(takeoff);
    }
    return takeoffs;
  }

  void show_bases() {
    std::vector<Ui::Choice> choices{{as_first, choice_.base.empty()}};
    for (const Skill& skill : ui_.in.library.vocabulary.skills)
      choices.push_back({skill.name, skill.name == choice_.base});
    row("from the base", "base", choices, [&](std::size_t i) {
      choice_.base = i == 0 ? "" : choices[i].label;
      choice_.takeoff.clear();
      change();
      ui_.push(ShowPage{PlanPage::all});
    });
    if (ui_.pill("sheet/back", "back", {area_.right() - 150, area_.bottom() - 48, 150, 48}, true))
      ui_.push(ShowPage{PlanPage::all});
  }

  static constexpr std::size_t most_listed = 9;

  Ui& ui_;
  Rect area_;
  const Session& s_;
  const Comparison& comparison_;
  std::size_t index_;
  StageChoice choice_;
  Type type_ = Type::text_bold;
  double y_ = 0;
};

}  // namespace

void show_stage_page(Ui& ui, const Rect& area) {
  if (ui.session().stages.empty()) return;
  StagePage(ui, area).show();
}

}  // namespace halfturn
