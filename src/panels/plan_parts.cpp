#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

#include "plan_pages.hpp"
#include "session/words.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

/// Steps that a larger one is most often split into, degrees.
constexpr std::array<double, 3> split_sizes{90, 45, 30};

std::string degrees(double value) {
  return fmt::format("{:.6g}\u00b0", value);
}

}  // namespace

void PlanPages::show_side() {
  title("the way the chest turns", fmt::format("twists {}", word(plan_.side)));
  pills("side", {{"left", plan_.side == Side::left}, {"right", plan_.side == Side::right}},
        [&](std::size_t i) { choose([&](Plan& plan) { plan.side = i == 0 ? Side::left : Side::right; }); });
  side_badge(ui_.paint, {area_.x + 28, y_ + 40}, 28, plan_.side);
  ui_.paint.text(Type::text, {area_.x + 76, y_ + 47}, ui_.c().dim,
                 "The other side is the exact mirror image.");
}

void PlanPages::show_takeoffs() {
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

void PlanPages::show_words(const char* group, const char* what, const std::vector<std::string>& options,
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

void PlanPages::show_hold() {
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

void PlanPages::show_heading() {
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

void PlanPages::show_timing() {
  title("when a half twist is made", plan_.timing);
  pills("timing", {{"early", plan_.timing == "early"}, {"late", plan_.timing != "early"}},
        [&](std::size_t i) { choose([&](Plan& plan) { plan.timing = i == 0 ? "early" : "late"; }); });
}

void PlanPages::show_air_time() {
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

void PlanPages::show_walls() {
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

void PlanPages::show_title() {
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

// Numbers and parts that the skill has of its own and a coach may correct.
void PlanPages::show_details() {
  title("what the coach knows better", "corrections");
  const Rung& last = s_.ladder->rungs.back();
  struct Number {
    const char* label;
    std::optional<double> Plan::*value;
    double usual, least, most, small, large;
  };
  const std::vector<Number> numbers{
      {"first rung", &Plan::from_deg, base_.first_deg, 0, greatest_twist_deg, 5, 90},
      {"mark at", &Plan::mark_deg, last.mark_deg, -180, 180, 15, 90},
      {"turn on the floor before", &Plan::floor_turn_deg, std::abs(last.floor_turn_deg), 0, 360, 5, 45},
      {"turn on the feet after", &Plan::foot_turn_deg, std::abs(last.foot_turn_deg), 0, 360, 5, 45},
      {"incline of the axis", &Plan::incline_deg, last.values.incline_deg, 0, 89, 1, 5},
      {"lean", &Plan::lean_deg, last.values.lean_deg, 0, 80, 1, 5},
  };
  const double pitch = 88, end = area_.bottom() - 84;
  const bool kicks = !base_.kicks.empty();
  const int count = static_cast<int>(numbers.size()) + (kicks ? 1 : 0);
  const Rect list{area_.x, y_, area_.w, end - y_};
  const ListPart part = list_part(ui_, count, static_cast<int>((end - y_) / pitch), list,
                                  {area_.right() - 180, area_.y + 24, 180, 48});
  for (int i = part.first; i < part.first + part.count; ++i) {
    const double top = y_;
    if (i == static_cast<int>(numbers.size())) {
      caption("kicking leg");
      const std::string leg = plan_.kick_leg.value_or("");
      pills("kick leg", {{"as usual", leg.empty()}, {"left", leg == "left"}, {"right", leg == "right"}},
            [&](std::size_t k) {
              choose([&](Plan& plan) {
                plan.kick_leg = k == 0 ? std::nullopt : std::optional<std::string>(k == 1 ? "left" : "right");
              });
            });
    } else {
      const Number& n = numbers[static_cast<std::size_t>(i)];
      const std::optional<double>& own = plan_.*n.value;
      const double now = own.value_or(n.usual);
      caption(fmt::format("{}: {}{}", n.label, degrees(now), own ? "" : ", as usual").c_str());
      const double by[] = {-n.large, -n.small, n.small, n.large};
      std::vector<Ui::Choice> choices{{"usual", !own}};
      for (const double step : by)
        choices.push_back({fmt::format("{}{:.6g}", step < 0 ? "\u2212" : "+", std::abs(step))});
      pills(n.label, choices, [&](std::size_t k) {
        choose([&](Plan& plan) {
          plan.*n.value =
              k == 0 ? std::nullopt : std::optional(std::clamp(std::round(now) + by[k - 1], n.least, n.most));
        });
      });
    }
    y_ = top + pitch;
  }
}

// The one step that is picked: any whole number of degrees, and what else it changes.
void PlanPages::show_step() {
  if (plan_.steps.empty()) return title("no step yet", "step");
  const std::size_t picked = std::min(s_.picked_step, plan_.steps.size());
  const Step& step = plan_.steps[picked - 1];
  const Rung& before = s_.ladder->rungs[picked - 1];
  struct Part {
    const char* label;
    std::optional<std::string> Step::*value;
    std::string now;
    std::vector<std::string> options;
  };
  std::vector<std::string> takeoffs;
  for (const std::string& takeoff : s_page_vocabulary().takeoffs) {
    if (Vocabulary::accepts(base_, takeoff) || s_page_vocabulary().with_takeoff(base_, takeoff) != nullptr)
      takeoffs.push_back(takeoff);
  }
  const Part parts[] = {{"takeoff", &Step::takeoff, before.takeoff, takeoffs},
                        {"setup", &Step::setup, before.setup, s_page_vocabulary().setups},
                        {"surface", &Step::surface, before.surface, s_page_vocabulary().surfaces},
                        {"shape", &Step::shape, before.shape, base_.shapes}};
  title(fmt::format("to {}", s_.ladder->rungs[picked].title), fmt::format("step {}", picked));
  caption(fmt::format("adds {}", degrees(step.twist_deg)).c_str());
  constexpr std::array<double, 6> nudges{-15, -5, -1, 1, 5, 15};
  std::vector<Ui::Choice> by;
  for (const double nudge : nudges)
    by.push_back({fmt::format("{}{:.6g}", nudge < 0 ? "\u2212" : "+", std::abs(nudge))});
  pills("by", by, [&](std::size_t i) {
    ui_.push(ChangeStep{picked, std::clamp(step.twist_deg + nudges[i], 0.0, 360.0)});
  });
  std::vector<double> sizes;
  std::copy_if(split_sizes.begin(), split_sizes.end(), std::back_inserter(sizes),
               [&](double size) { return size < step.twist_deg; });
  caption("split it into steps of");
  std::vector<Ui::Choice> parts_of;
  for (const double size : sizes) parts_of.push_back({degrees(size)});
  pills("split", parts_of, [&](std::size_t i) { ui_.push(SplitStep{picked, sizes[i]}); });
  const double any = s_.split_deg;
  pills("split by", {{"\u22125"}, {"\u22121"}, {"every " + degrees(any)}, {"+1"}, {"+5"}},
        [&](std::size_t i) {
          const double nudge[] = {-5, -1, 0, 1, 5};
          i == 2 ? ui_.push(SplitStep{picked, any}) : ui_.push(ChooseSplit{any + nudge[i]});
        });
  caption("and also changes");
  std::vector<Ui::Choice> choices;
  for (const Part& part : parts) {
    const auto& value = step.*part.value;
    choices.push_back(
        {value ? std::string(part.label) + ": " + *value : std::string(part.label), value.has_value()});
  }
  // Every press goes on to the next possibility, and after the last back to none.
  double x = area_.x;
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const double w = ui_.pill_width(choices[i].label, Type::label_bold);
    if (x > area_.x && x + w > area_.right()) {
      x = area_.x;
      y_ += 56;
    }
    if (ui_.pill(std::string("part/") + parts[i].label, choices[i].label, {x, y_, w, 48}, choices[i].on, true,
                 Type::label_bold)) {
      const Part& part = parts[i];
      std::vector<std::string> options = part.options;
      std::erase(options, part.now);
      const auto& value = step.*part.value;
      auto next = options.begin();
      if (value) {
        next = std::find(options.begin(), options.end(), *value);
        if (next != options.end()) ++next;
      }
      choose([&](Plan& plan) {
        plan.steps[picked - 1].*part.value = next == options.end() ? std::nullopt : std::optional(*next);
      });
    }
    x += w + 8;
  }
  y_ += 64;
  for (const std::string& warning : s_.ladder->rungs[picked].warnings) {
    const int rows = ui_.paint.lines_of(Type::label_bold, area_.w - 32, warning);
    ui_.out.records.push_back(
        {WidgetRecord::Kind::words, "step/warning", warning, "", false, {area_.x, y_, area_.w, rows * 22.0}});
    ui_.paint.ring({area_.x + 11, y_ + 10}, 10, ui_.c().ink, 2.5);
    ui_.paint.line({area_.x + 5, y_ + 10}, {area_.x + 17, y_ + 10}, ui_.c().ink, 3);
    ui_.paint.paragraph(Type::label_bold, {area_.x + 32, y_ + 16}, area_.w - 32, 22, ui_.c().ink, warning);
    y_ += rows * 22 + 8;
  }
}

}  // namespace halfturn
