#include <algorithm>

#include "driver.hpp"

using namespace halfturn;

TEST_CASE("through the athlete's eyes the gaze is chosen by a click") {
  PanelDriver ui;
  ui.frame();
  CHECK(ui.find("gaze/chin down") == nullptr);
  ui.click("camera/eyes");
  ui.click("gaze/chin down");
  CHECK(ui.session().look.gaze == Gaze::chin_down);
  ui.click("gaze/over the shoulder");
  CHECK(ui.session().look.gaze == Gaze::over_shoulder);
  CHECK(ui.session().look.camera == CameraKind::eyes);
}

TEST_CASE("where there is no room one button steps through the gazes") {
  PanelDriver ui(900, 600);
  ui.push(ChooseCamera{CameraKind::eyes});
  ui.click("gaze/step");
  CHECK(ui.session().look.gaze == Gaze::over_shoulder);
  ui.click("gaze/step");
  ui.click("gaze/step");
  CHECK(ui.session().look.gaze == Gaze::neutral);
}

TEST_CASE("the scrub says when the landing is in view, clear of the other words") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600)}) {
    PanelDriver ui(width, height);
    ui.push(ChooseRung{0});
    ui.frame();
    const WidgetRecord* words = ui.find("scrub/sight");
    REQUIRE(words != nullptr);
    // A back flip sees the floor before it lands (common practice).
    CHECK(words->label.find("in view") != std::string::npos);
    CHECK(words->label.find("not") == std::string::npos);
    for (const WidgetRecord& other : ui.records()) {
      if (&other == words || other.name.rfind("event/", 0) != 0) continue;
      CAPTURE(other.label);
      CHECK((other.rect.right() < words->rect.x || other.rect.x > words->rect.right()));
    }
  }
}

TEST_CASE("the plan to finish a rung: every line on the page, its moment by a click, cautions always there") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ChooseRung{2});
    ui.push(Seek{0});
    ui.push(ShowSheet{Sheet::finish});
    const Flight flight = drawn_flight(ui.session().rung_now(), embedded_shapes());
    const FinishPlan plan = coaching_of(*ui.session().ladder, 2, flight).finish;
    REQUIRE(plan.lines.size() > 6);
    // Page by page, no line is missing and none leaves the page.
    std::vector<bool> seen(plan.lines.size(), false);
    for (int page = 0; page < 12; ++page) {
      ui.frame();
      for (std::size_t k = 0; k < plan.lines.size(); ++k) {
        const WidgetRecord* line = ui.find("finish/" + std::to_string(k));
        if (line == nullptr) continue;
        CHECK(line->label == plan.lines[k].text);
        CHECK(line->rect.y >= 0);
        const WidgetRecord* caution = ui.find("caution/0");
        REQUIRE(caution != nullptr);
        CHECK(line->rect.bottom() <= caution->rect.y);
        seen[k] = true;
      }
      if (ui.find("list/down") == nullptr) break;
      ui.click("list/down");
    }
    CHECK(std::count(seen.begin(), seen.end(), false) == 0);
    ui.push(ScrollList{0});
    // The line of the opening: a click goes to its moment.
    const auto open = std::find_if(plan.lines.begin(), plan.lines.end(),
                                   [](const FinishLine& line) { return line.text.rfind("Open", 0) == 0; });
    REQUIRE(open != plan.lines.end());
    const std::string name = "finish/" + std::to_string(open - plan.lines.begin());
    ui.frame();
    for (int page = 0; page < 12 && ui.find(name) == nullptr; ++page) ui.click("list/down");
    ui.click(name);
    CHECK(ui.session().playback.t == doctest::Approx(*open->time_s));
    CHECK_FALSE(ui.session().playback.playing);
    REQUIRE(ui.find(name) != nullptr);
    CHECK(ui.find(name)->on);
    ui.click("sheet/done");
    CHECK(ui.session().sheet == Sheet::none);
  }
}

namespace {

/// Whether two rectangles share more than an edge.
bool overlap(const Rect& a, const Rect& b) {
  return a.x + 0.5 < b.right() && b.x + 0.5 < a.right() && a.y + 0.5 < b.bottom() && b.y + 0.5 < a.bottom();
}

/// Every word is in the window, whole, and none is over another thing.
void check_words(const PanelDriver& ui) {
  for (const WidgetRecord& a : ui.records()) {
    CAPTURE(a.name);
    CAPTURE(a.label);
    CHECK(a.rect.x >= 0);
    CHECK(a.rect.right() <= ui.layout_now().width + 0.5);
    CHECK(a.rect.bottom() <= ui.layout_now().height + 0.5);
    CHECK(a.label.find("\u2026") == std::string::npos);
    if (a.kind != WidgetRecord::Kind::words || a.name.rfind("event", 0) == 0) continue;
    for (const WidgetRecord& b : ui.records()) {
      if (&a == &b || b.name == "scrub" || b.name.rfind("event", 0) == 0) continue;
      CAPTURE(b.name);
      CHECK_FALSE(overlap(a.rect, b.rect));
    }
  }
}

}  // namespace

TEST_CASE(
    "two stages: one click for each pair, lock and table; every word in the window, none over another") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600), std::pair(1920, 1080)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ChooseRung{4});
    ui.push(Seek{0.3});
    ui.push(Compare{pair_of(Pairing::next)});
    ui.click("pair/axis");
    CHECK(ui.session().stages[1].now().title == "corkscrew");
    REQUIRE(ui.find("stage/first") != nullptr);
    CHECK(ui.find("stage/first")->label == "full");
    CHECK(ui.find("stage/second")->label == "corkscrew");
    CHECK(ui.find("compare/same")->label == "same wall");
    CHECK(ui.find("first/air")->label == "air 0.90 s");
    CHECK(ui.find("second/lean")->label == "lean 24\u00b0");
    CHECK(ui.find("table/0") == nullptr);
    ui.click("compare/table");
    REQUIRE(ui.find("table/1/first") != nullptr);
    CHECK(ui.find("table/1/first")->label == "0.90 s");
    check_words(ui);
    ui.click("pair/sides");
    CHECK(ui.session().stages[1].now().side == Side::right);
    if (ui.find("lock/step") != nullptr) {
      ui.click("lock/step");
    } else {
      ui.click("lock/flip angle");
    }
    CHECK(ui.session().look.comparison->lock == Lock::flip_angle);
    ui.click("compare/table");
    CHECK(ui.find("table/0") == nullptr);
    ui.click("compare/done");
    CHECK_FALSE(ui.session().look.comparison);
    CHECK(ui.find("answer/wall") != nullptr);
  }
}

TEST_CASE("three and four stages, apart and overlaid: every word in the window, none over another") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600), std::pair(1920, 1080)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ChooseRung{2});
    ui.push(Seek{0.3});
    ui.push(Compare{pair_of(Pairing::axes)});
    for (std::size_t count = 3; count <= most_stages; ++count) {
      CAPTURE(count);
      ui.click("compare/more");
      REQUIRE(ui.session().stages.size() == count);
      CHECK_FALSE(ui.layout_now().panes[count - 1].empty());
      check_words(ui);
      ui.click("compare/table");
      REQUIRE(ui.find("table/1/third") != nullptr);
      check_words(ui);
      ui.click("compare/overlay");
      CHECK(ui.session().look.comparison->overlaid);
      CHECK(ui.layout_now().panes[1].empty());
      CHECK(ui.find("stage/third") != nullptr);
      check_words(ui);
      ui.click("compare/table");
      check_words(ui);
      ui.click("compare/overlay");
    }
  }
}

TEST_CASE("what a stage shows is chosen on its page: any rung, base, takeoff, side, flight") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ChooseRung{4});
    ui.push(Compare{pair_of(Pairing::axes)});
    ui.click("stage/second");
    REQUIRE(ui.session().sheet == Sheet::stage);
    ui.click("shows/any rung");
    ui.click("rung/back half");
    check_words(ui);
    CHECK(ui.session().stages[1].now().title == "back half");
    ui.click("side/right");
    CHECK(ui.session().stages[1].now().side == Side::right);
    ui.click("stage page/takeoff");
    ui.click("stage page/base");
    check_words(ui);
    ui.click("base/gainer");
    CHECK(ui.session().stages[1].now().title == "gainer half");
    ui.click("flight/drawn");
    CHECK(ui.session().stages[1].source == FlightSource::drawn);
    CHECK(ui.session().history.undo.empty());
    ui.click("sheet/done");
    CHECK(ui.find("stage/second")->label == "gainer half");
    ui.click("stage/second");
    ui.click("stage page/take away");
    CHECK_FALSE(ui.session().look.comparison);
  }
}

TEST_CASE("on the wall every word is at least a twelfth of the window high") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600), std::pair(1920, 1080)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ChooseRung{2});
    ui.push(ShowWall{true});
    ui.frame();
    int words = 0;
    for (const WidgetRecord& record : ui.records()) {
      if (record.kind != WidgetRecord::Kind::words) continue;
      ++words;
      CAPTURE(record.label);
      // The rectangle of words is 1.25 em high, from an em above the line of writing.
      CHECK(record.rect.h / 1.25 * ui.layout_now().scale >= height / 12.0);
      CHECK(record.label.find("\u2026") == std::string::npos);
      CHECK(record.rect.right() <= 0.5 * ui.layout_now().width);
      CHECK(record.rect.bottom() <= ui.layout_now().height + 1);
    }
    CHECK(words >= 3);
    REQUIRE(ui.find("wall/facing") != nullptr);
    CHECK(ui.find("wall/turn") != nullptr);
    CHECK(ui.find("wall/landing") != nullptr);
    CHECK(ui.find("tool/plan") == nullptr);
    CHECK(ui.find("play") == nullptr);
  }
}

TEST_CASE("a step is split by a click, a cue is shown where the rung is") {
  PanelDriver ui;
  ui.push(ShowSheet{Sheet::plan});
  ui.push(ShowPage{PlanPage::step});
  ui.push(PickStep{2});
  ui.click("split/45\u00b0");
  CHECK(ui.session().plan.steps.size() == 5);
  CHECK(ui.session().plan.steps[1].twist_deg == 45);
  ui.click("sheet/undo");
  ui.click("split by/+5");
  CHECK(ui.session().split_deg == 25);
  ui.click("split by/every 25\u00b0");
  CHECK(ui.session().plan.steps.size() == 7);  // 25, 25, 25, 15
  ui.push(ShowSheet{Sheet::none});
  ui.push(ChooseRung{1});
  ui.push(WriteCue{1, "eyes on the front wall"});
  ui.frame();
  REQUIRE(ui.find("cue") != nullptr);
  CHECK(ui.find("cue")->label == "eyes on the front wall");
  ui.push(ShowSheet{Sheet::finish});
  ui.frame();
  REQUIRE(ui.find("finish/cue") != nullptr);
  CHECK(ui.find("finish/cue")->value == "eyes on the front wall");
}
