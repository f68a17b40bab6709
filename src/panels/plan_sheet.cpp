#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "session/words.hpp"
#include "skill/stance.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

constexpr std::array<double, 8> step_sizes{180, 90, 45, 30, 15, 10, 5, 1};

std::string degrees(double value) {
  return fmt::format("{:.6g}\u00b0", value);
}

/// One page of choices for a part of the plan.
class PlanPages {
 public:
  PlanPages(Ui& page_ui, const Rect& page_area)
      : ui_(page_ui), area_(page_area), s_(page_ui.session()), plan_(s_.plan), base_(*s_.ladder->base) {}

  void show() {
    y_ = area_.y + 116;
    switch (s_.page) {
      case PlanPage::all:
        return show_all();
      case PlanPage::base:
        return show_bases();
      case PlanPage::target:
        return show_target();
      case PlanPage::steps:
        return show_steps();
      case PlanPage::side:
        return show_side();
      case PlanPage::takeoff:
        return show_takeoffs();
      case PlanPage::setup:
        return show_words("setup", "how it is entered", s_page_vocabulary().setups, base_.setup,
                          &Plan::setup);
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
    }
  }

 private:
  [[nodiscard]] const Vocabulary& s_page_vocabulary() const { return ui_.in.library.vocabulary; }
  [[nodiscard]] std::string target_words() const {
    const Rung& last = s_.ladder->rungs.back();
    return fmt::format("{}, {}", last.title, degrees(std::abs(last.twist_deg)));
  }
  [[nodiscard]] std::string step_words() const {
    std::string text;
    const bool same = std::all_of(plan_.steps.begin(), plan_.steps.end(), [&](const Step& step) {
      return step.twist_deg == plan_.steps[0].twist_deg;
    });
    if (plan_.steps.empty()) return "none";
    if (same) return fmt::format("{} times {}", plan_.steps.size(), degrees(plan_.steps[0].twist_deg));
    for (const Step& step : plan_.steps)
      text += (text.empty() ? "" : ", ") + fmt::format("{:.6g}", step.twist_deg);
    return text;
  }
  void title(std::string_view caption, std::string_view words) {
    ui_.words("sheet/caption", Type::text, {area_.x, area_.y + 31}, ui_.c().dim, caption);
    ui_.words("sheet/title", Type::title, {area_.x - 2, area_.y + 80}, ui_.c().ink,
              ui_.paint.cut(Type::title, words, area_.w));
  }
  void caption(const char* text) {
    ui_.words(std::string("plan/") + text, Type::label, {area_.x, y_ + 14}, ui_.c().dim, text);
    y_ += 26;
  }
  void pills(const char* group, const std::vector<Ui::Choice>& choices,
             const std::function<void(std::size_t)>& chosen) {
    y_ = ui_.pills(group, choices, {area_.x, y_, area_.w, 0}, chosen) + 8;
  }
  void choose(const std::function<void(Plan&)>& change) {
    Plan plan = plan_;
    change(plan);
    ui_.push(ChoosePlan{plan});
  }

  void show_all() {
    title(plan_.athlete.empty() ? plan_.title : plan_.title + ", " + plan_.athlete, "the plan");
    const Rung& first = s_.ladder->rungs.front();
    const bool holds_start = s_.ladder->holds_start;
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
        {"air time",
         plan_.air_time_s ? fmt::format("{:.2f} s measured", *plan_.air_time_s) : "from the table",
         PlanPage::air_time},
        {"walls", plan_.walls == Walls{} ? "front, left, back, right" : "renamed", PlanPage::walls},
        {"title, athlete", plan_.title, PlanPage::title},
    };
    const double w = (area_.w - 12) / 2;
    // As tall as the room allows, never under a finger's width.
    const double rows = static_cast<double>((lines.size() + 1) / 2);
    const double pitch = std::clamp((area_.bottom() - 112 - y_) / rows, 56.0, 78.0);
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const Rect rect{area_.x + (i % 2 == 1 ? w + 12 : 0), y_ + static_cast<double>(i / 2) * pitch, w,
                      std::min(66.0, pitch - 6)};
      if (rect.bottom() > area_.bottom() - 56) break;
      if (ui_.plate(std::string("plan/") + lines[i].label, lines[i].label, lines[i].value, rect)) {
        ui_.push(ShowPage{lines[i].page});
      }
    }
  }

  void show_bases() {
    title("what the athlete owns", "base");
    std::vector<Ui::Choice> choices;
    for (const Skill& skill : s_page_vocabulary().skills)
      choices.push_back({skill.name, skill.name == plan_.base});
    pills("base", choices, [&](std::size_t i) { ui_.push(ChooseBase{choices[i].label}); });
    ui_.paint.paragraph(Type::label, {area_.x, y_ + 8}, area_.w, 24, ui_.c().dim,
                        s_.ladder->rungs[0].description);
  }

  void show_target() {
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

  void show_steps() {
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
    const std::size_t most = 24;
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
      if (ui_.pill(fmt::format("picked/{}", from + i + 1), chips[i].label, {x, y_, w, 48}, chips[i].on,
                   true)) {
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
    pills("steps", {{"halve it"}, {"take it out"}, {"add one on top"}}, [&](std::size_t i) {
      const Edit edits[] = {SplitStep{picked}, RemoveStep{picked}, AddStep{usual_step_deg(plan_)}};
      ui_.push(edits[i]);
    });
  }

  void show_side() {
    title("the way the chest turns", fmt::format("twists {}", word(plan_.side)));
    pills("side", {{"left", plan_.side == Side::left}, {"right", plan_.side == Side::right}},
          [&](std::size_t i) { choose([&](Plan& plan) { plan.side = i == 0 ? Side::left : Side::right; }); });
    side_badge(ui_.paint, {area_.x + 28, y_ + 40}, 28, plan_.side);
    ui_.paint.text(Type::text, {area_.x + 76, y_ + 47}, ui_.c().dim,
                   "The other side is the exact mirror image.");
  }

  void show_takeoffs() {
    title("how it leaves the floor", s_.ladder->rungs[0].takeoff);
    std::vector<Ui::Choice> choices;
    for (const std::string& takeoff : s_page_vocabulary().takeoffs) {
      if (!Vocabulary::accepts(base_, takeoff) && s_page_vocabulary().with_takeoff(base_, takeoff) == nullptr)
        continue;
      choices.push_back({takeoff, takeoff == plan_.takeoff.value_or(base_.takeoff)});
    }
    pills("takeoff", choices, [&](std::size_t i) {
      choose([&](Plan& plan) {
        plan.takeoff = choices[i].label == base_.takeoff ? std::nullopt : std::optional(choices[i].label);
      });
    });
  }

  void show_words(const char* group, const char* what, const std::vector<std::string>& options,
                  const std::string& own, std::optional<std::string> Plan::*part) {
    const std::string now = (plan_.*part).value_or(own);
    title(what, now.empty() ? std::string(group) : now);
    std::vector<Ui::Choice> choices;
    if (own.empty()) choices.push_back({"as usual", !(plan_.*part)});
    for (const std::string& option : options) choices.push_back({option, option == now});
    pills(group, choices, [&](std::size_t i) {
      const std::string& label = choices[i].label;
      choose([&](Plan& plan) {
        plan.*part = label == own || label == "as usual" ? std::nullopt : std::optional(label);
      });
    });
  }

  void show_hold() {
    title("the end that stays the same", s_.ladder->holds_start ? "the start" : "the landing");
    const std::array<const char*, 2> words{"start", "landing"};
    pills("hold", {{"the start", s_.ladder->holds_start}, {"the landing", !s_.ladder->holds_start}},
          [&](std::size_t i) {
            choose([&](Plan& plan) {
              plan.hold = base_.hold == words[i] ? std::nullopt : std::optional<std::string>(words[i]);
            });
          });
    ui_.paint.paragraph(Type::text, {area_.x, y_ + 20}, area_.w, 28, ui_.c().dim,
                        s_.ladder->holds_start
                            ? "Every rung starts the same way; the landing turns by the step."
                            : "Every rung lands the same way; the start turns by the step.");
  }

  void show_heading() {
    const double now = plan_.held_heading_deg;
    title(s_.ladder->holds_start ? "at the start the chest faces" : "on landing the chest faces",
          facing_words(now, plan_.walls));
    constexpr std::array<double, 8> ways{0, 45, 90, 135, 180, -135, -90, -45};
    std::vector<Ui::Choice> choices;
    for (const double way : ways) {
      const bool quarter = std::fmod(way, 90.0) == 0;
      choices.push_back({quarter ? facing_words(way, plan_.walls)
                                 : fmt::format("{:.6g} {}", std::abs(way), way > 0 ? "left" : "right"),
                         way == now});
    }
    pills("facing", choices,
          [&](std::size_t i) { choose([&](Plan& plan) { plan.held_heading_deg = ways[i]; }); });
    // A dial to turn by hand: the whole drag is one step of undo.
    const double r = std::clamp((area_.bottom() - 140 - y_) / 2, 60.0, 110.0);
    const Point centre{area_.x + area_.w / 2, y_ + r + 24};
    const Rect hit{centre.x - r, centre.y - r, 2 * r, 2 * r};
    const Ui::Touched touched =
        ui_.touch({WidgetRecord::Kind::slider, "facing/dial", "facing", degrees(now), false, hit}, r);
    if (touched.began) ui_.push(BeginDrag{});
    if (touched.held) {
      const double angle = to_deg(std::atan2(centre.x - touched.mouse.x, centre.y - touched.mouse.y));
      const double stepped = 5 * std::round(angle / 5);
      choose([&](Plan& plan) { plan.held_heading_deg = stepped == -180 ? 180 : stepped; });
    }
    if (touched.ended) ui_.push(EndDrag{});
    mini_dial(ui_.paint, centre, r, now, false);
  }

  void show_timing() {
    title("when a half twist is made", plan_.timing);
    pills("timing", {{"early", plan_.timing == "early"}, {"late", plan_.timing != "early"}},
          [&](std::size_t i) { choose([&](Plan& plan) { plan.timing = i == 0 ? "early" : "late"; }); });
  }

  void show_air_time() {
    const double needed = s_.ladder->rungs.back().air_time_needed_s;
    title("time in the air", plan_.air_time_s ? fmt::format("{:.2f} s", *plan_.air_time_s) : "not measured");
    std::vector<double> values;
    for (int i = 0; i < 13; ++i) values.push_back(0.45 + 0.05 * i);
    for (int i = 0; i < 8; ++i) values.push_back(1.1 + 0.1 * i);
    std::vector<Ui::Choice> choices{{"not measured", !plan_.air_time_s}};
    for (const double value : values) {
      choices.push_back(
          {fmt::format("{:.2f}", value), plan_.air_time_s && std::abs(*plan_.air_time_s - value) < 1e-9});
    }
    pills("air", choices, [&](std::size_t i) {
      choose([&](Plan& plan) {
        // Whole hundredths, as they are shown.
        plan.air_time_s = i == 0 ? std::nullopt : std::optional(std::round(values[i - 1] * 100) / 100);
      });
    });
    ui_.words("air/needed", Type::text, {area_.x, y_ + 20}, ui_.c().dim,
              fmt::format("The target needs about {:.2f} s (an estimate).", needed));
  }

  void show_walls() {
    title("what the athlete sees there", "walls");
    struct Wall {
      const char* label;
      std::string Walls::*name;
    };
    static constexpr std::array<Wall, 4> walls{
        {{"front", &Walls::front}, {"left", &Walls::left}, {"back", &Walls::back}, {"right", &Walls::right}}};
    for (const Wall& wall : walls) {
      ui_.paint.text(Type::text, {area_.x, y_ + 31}, ui_.c().dim, wall.label);
      std::string name = plan_.walls.*wall.name;
      if (ui_.field(std::string("wall/") + wall.label, name, {area_.x + 80, y_, area_.w - 80, 48}) &&
          !name.empty() && name.size() <= 60) {
        choose([&](Plan& plan) { plan.walls.*wall.name = name; });
      }
      y_ += 60;
    }
    y_ += 8;
    pills("walls", {{"the usual names"}}, [&](std::size_t) { choose([](Plan& plan) { plan.walls = {}; }); });
  }

  void show_title() {
    title("of the file and the sheets", "title");
    std::string text = plan_.title, name = plan_.athlete;
    if (ui_.field("title/title", text, {area_.x, y_, area_.w, 48}) && !text.empty()) {
      choose([&](Plan& plan) { plan.title = text; });
    }
    y_ += 72;
    caption("athlete");
    if (ui_.field("title/athlete", name, {area_.x, y_, area_.w, 48}))
      choose([&](Plan& plan) { plan.athlete = name; });
  }

  Ui& ui_;
  Rect area_;
  const Session& s_;
  const Plan& plan_;
  const Skill& base_;
  double y_ = 0;
};

}  // namespace

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
    page ? ui.push(ShowPage{PlanPage::all}) : ui.push(ShowSheet{Sheet::none});
  }
}

}  // namespace halfturn
