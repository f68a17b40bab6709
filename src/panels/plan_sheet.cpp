#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "plan_pages.hpp"
#include "session/words.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr std::array<double, 8> step_sizes{180, 90, 45, 30, 15, 10, 5, 1};

std::string degrees(double value) {
  return fmt::format("{:.6g}\u00b0", value);
}

}  // namespace

void PlanPages::show() {
  y_ = area_.y + (ui_.in.layout.form == Form::wide ? 116 : 96);
  switch (s_.page) {
    case PlanPage::all:
      return show_all();
    case PlanPage::base:
      return show_bases();
    case PlanPage::target:
      return show_target();
    case PlanPage::steps:
      return show_steps();
    case PlanPage::step:
      return show_step();
    case PlanPage::side:
      return show_side();
    case PlanPage::takeoff:
      return show_takeoffs();
    case PlanPage::setup:
      return show_words("setup", "how it is entered", s_page_vocabulary().setups, base_.setup, &Plan::setup);
    case PlanPage::surface:
      return show_words("surface", "what it is done on", s_page_vocabulary().surfaces, base_.surface,
                        &Plan::surface);
    case PlanPage::shape:
      return show_words("shape", "shape in the air", base_.shapes, "", &Plan::shape);
    case PlanPage::hold:
      return show_hold();
    case PlanPage::heading:
      return show_heading();
    case PlanPage::timing:
      return show_timing();
    case PlanPage::air_time:
      return show_air_time();
    case PlanPage::walls:
      return show_walls();
    case PlanPage::title:
      return show_title();
    case PlanPage::details:
      return show_details();
  }
}

const Vocabulary& PlanPages::s_page_vocabulary() const {
  return ui_.in.library.vocabulary;
}

std::string PlanPages::target_words() const {
  const Rung& last = s_.ladder->rungs.back();
  return fmt::format("{}, {}", last.title, degrees(std::abs(last.twist_deg)));
}

std::string PlanPages::step_words() const {
  std::string text;
  const bool same = std::all_of(plan_.steps.begin(), plan_.steps.end(),
                                [&](const Step& step) { return step.twist_deg == plan_.steps[0].twist_deg; });
  if (plan_.steps.empty()) return "none";
  if (same) return fmt::format("{} times {}", plan_.steps.size(), degrees(plan_.steps[0].twist_deg));
  for (const Step& step : plan_.steps)
    text += (text.empty() ? "" : ", ") + fmt::format("{:.6g}", step.twist_deg);
  return text;
}

void PlanPages::title(std::string_view caption, std::string_view words) {
  ui_.words("sheet/caption", Type::text, {area_.x, area_.y + 31}, ui_.c().dim, caption);
  ui_.words("sheet/title", Type::title, {area_.x - 2, area_.y + 80}, ui_.c().ink,
            ui_.paint.cut(Type::title, words, area_.w));
}

void PlanPages::caption(const char* text) {
  ui_.words(std::string("plan/") + text, Type::label, {area_.x, y_ + 14}, ui_.c().dim, text);
  y_ += 26;
}

void PlanPages::pills(const char* group, const std::vector<Ui::Choice>& choices,
                      const std::function<void(std::size_t)>& chosen) {
  y_ = ui_.pills(group, choices, {area_.x, y_, area_.w, 0}, chosen) + 8;
}

void PlanPages::choose(const std::function<void(Plan&)>& change) {
  Plan plan = plan_;
  change(plan);
  ui_.push(ChoosePlan{plan});
}

void PlanPages::show_all() {
  title(plan_.athlete.empty() ? plan_.title : plan_.title + ", " + plan_.athlete, "the plan");
  const Rung& first = s_.ladder->rungs.front();
  const bool holds_start = s_.ladder->holds_start;
  const bool corrected = plan_.from_deg || plan_.mark_deg || plan_.floor_turn_deg || plan_.foot_turn_deg ||
                         plan_.incline_deg || plan_.lean_deg || plan_.kick_leg;
  struct Line {
    const char* label;
    std::string value;
    PlanPage page;
  };
  const std::vector<Line> lines{
      {"base", plan_.base, PlanPage::base},
      {"target", target_words(), PlanPage::target},
      {"steps", step_words(), PlanPage::steps},
      {"side", fmt::format("twists {}", word(plan_.side)), PlanPage::side},
      {"takeoff", first.takeoff, PlanPage::takeoff},
      {"setup", first.setup, PlanPage::setup},
      {"surface", first.surface, PlanPage::surface},
      {"shape", first.shape, PlanPage::shape},
      {"held", holds_start ? "the start" : "the landing", PlanPage::hold},
      {holds_start ? "start facing" : "landing facing", facing_words(plan_.held_heading_deg, plan_.walls),
       PlanPage::heading},
      {"half twist", plan_.timing == "early" ? "early" : "late", PlanPage::timing},
      {"air time", plan_.air_time_s ? fmt::format("{:.2f} s measured", *plan_.air_time_s) : "from the table",
       PlanPage::air_time},
      {"walls", plan_.walls == Walls{} ? "front, left, back, right" : "renamed", PlanPage::walls},
      {"title, athlete", plan_.title, PlanPage::title},
      {"corrections", corrected ? "by the coach" : "none", PlanPage::details},
  };
  const double w = (area_.w - 12) / 2;
  // As tall as the room allows, never under a finger's width.
  const double rows = static_cast<double>((lines.size() + 1) / 2);
  const double pitch = std::clamp((area_.bottom() - 72 - y_) / rows, 52.0, 78.0);
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Rect rect{area_.x + (i % 2 == 1 ? w + 12 : 0), y_ + static_cast<double>(i / 2) * pitch, w,
                    std::min(66.0, pitch - 4)};
    if (rect.bottom() > area_.bottom() - 52) break;
    if (ui_.plate(std::string("plan/") + lines[i].label, lines[i].label, lines[i].value, rect)) {
      ui_.push(ShowPage{lines[i].page});
    }
  }
}

void PlanPages::show_bases() {
  title("what the athlete owns", "base");
  std::vector<Ui::Choice> choices;
  for (const Skill& skill : s_page_vocabulary().skills)
    choices.push_back({skill.name, skill.name == plan_.base});
  pills("base", choices, [&](std::size_t i) { ui_.push(ChooseBase{choices[i].label}); });
  ui_.paint.paragraph(Type::label, {area_.x, y_ + 8}, area_.w, 24, ui_.c().dim,
                      s_.ladder->rungs[0].description);
}

void PlanPages::show_target() {
  const double first = first_deg(plan_, base_), now = target_deg(plan_, base_);
  title("where the climb ends", target_words());
  std::vector<double> values;
  for (double value = first; value <= std::min(greatest_twist_deg, std::max(1080.0, now)); value += 180) {
    values.push_back(value);
  }
  std::vector<Ui::Choice> choices;
  for (const double value : values) {
    const SkillName* name = name_at(base_, value, plan_.timing == "early");
    choices.push_back(
        {name != nullptr ? fmt::format("{:.6g} {}", value, name->name) : fmt::format("{:.6g}", value),
         value == now});
  }
  pills("target", choices, [&](std::size_t i) { ui_.push(ChooseTarget{values[i]}); });
  caption("a little less or more");
  constexpr std::array<double, 8> nudges{-90, -15, -5, -1, 1, 5, 15, 90};
  std::vector<Ui::Choice> by;
  for (const double nudge : nudges)
    by.push_back({fmt::format("{}{:.6g}", nudge < 0 ? "\u2212" : "+", std::abs(nudge))});
  pills("nudge", by, [&](std::size_t i) {
    ui_.push(ChooseTarget{std::clamp(now + nudges[i], first, greatest_twist_deg)});
  });
}

void PlanPages::show_steps() {
  title("how much each rung adds", "steps");
  caption("every step");
  std::vector<Ui::Choice> sizes;
  const bool same = std::all_of(plan_.steps.begin(), plan_.steps.end(),
                                [&](const Step& step) { return step.twist_deg == usual_step_deg(plan_); });
  for (const double size : step_sizes)
    sizes.push_back({degrees(size), same && size == usual_step_deg(plan_)});
  pills("every", sizes, [&](std::size_t i) { ui_.push(ChooseStep{step_sizes[i]}); });
  if (plan_.steps.empty()) {
    if (ui_.pill("steps/add", "add a step", {area_.x, y_, 150, 48})) ui_.push(AddStep{90});
    return;
  }
  caption("the steps, from the base up");
  std::vector<Ui::Choice> chips;
  const std::size_t most = 12;
  const std::size_t picked = std::min(s_.picked_step, plan_.steps.size());
  const std::size_t from = picked > most ? picked - most : 0;
  for (std::size_t k = from; k < std::min(plan_.steps.size(), from + most); ++k) {
    chips.push_back({degrees(plan_.steps[k].twist_deg), k + 1 == picked});
  }
  double x = area_.x;
  for (std::size_t i = 0; i < chips.size(); ++i) {
    const double w = ui_.pill_width(chips[i].label);
    if (x > area_.x && x + w > area_.right()) {
      x = area_.x;
      y_ += 56;
    }
    if (ui_.pill(fmt::format("picked/{}", from + i + 1), chips[i].label, {x, y_, w, 48}, chips[i].on, true)) {
      ui_.push(PickStep{from + i + 1});
    }
    x += w + 8;
  }
  y_ += 64;
  caption("the chosen one");
  std::vector<Ui::Choice> one;
  for (const double size : step_sizes)
    one.push_back({degrees(size), size == plan_.steps[picked - 1].twist_deg});
  pills("one", one, [&](std::size_t i) { ui_.push(ChangeStep{picked, step_sizes[i]}); });
  pills("steps", {{"halve"}, {"take out"}, {"add on top"}, {"more"}}, [&](std::size_t i) {
    const Edit edits[] = {SplitStep{picked}, RemoveStep{picked}, AddStep{usual_step_deg(plan_)},
                          ShowPage{PlanPage::step}};
    ui_.push(edits[i]);
  });
}

void show_plan_sheet(Ui& ui, const Rect& area) {
  PlanPages(ui, area).show();
  const Session& s = ui.session();
  if (!s.notice.empty()) {
    ui.words(s.notice_is_problem ? "notice/problem" : "notice/done", Type::label_bold,
             {area.x, area.bottom() - 64}, ui.c().ink, ui.paint.cut(Type::label_bold, s.notice, area.w));
  }
  const double w = (area.w - 24) / 3;
  const double y = area.bottom() - 48;
  if (ui.pill("sheet/undo", "undo", {area.x, y, w, 48})) ui.push(Undo{});
  if (ui.pill("sheet/redo", "redo", {area.x + w + 12, y, w, 48})) ui.push(Redo{});
  const bool page = s.page != PlanPage::all;
  if (ui.pill(page ? "sheet/back" : "sheet/done", page ? "back" : "done", {area.right() - w, y, w, 48},
              true)) {
    page ? ui.push(ShowPage{page_above(s.page)}) : ui.push(ShowSheet{Sheet::none});
  }
}

}  // namespace halfturn
