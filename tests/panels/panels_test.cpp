#include <cmath>

#include "driver.hpp"

using namespace halfturn;

TEST_CASE("a plan is made by clicking: base, target, steps, side") {
  PanelDriver ui;
  ui.click("tool/plan");
  CHECK(ui.session().sheet == Sheet::plan);
  ui.click("plan/base");
  ui.click("base/front flip");
  CHECK(ui.session().plan.base == "front flip");
  ui.click("sheet/back");
  ui.click("plan/steps");
  ui.click("every/180\u00b0");
  CHECK(ui.session().plan.steps.size() == 2);
  ui.click("sheet/back");
  ui.click("plan/side");
  ui.click("side/right");
  CHECK(ui.session().plan.side == Side::right);
  CHECK(ui.session().ladder->rungs[1].landing.heading_deg == 180);
  ui.click("sheet/undo");
  CHECK(ui.session().plan.side == Side::left);
}

TEST_CASE("a mixed list of steps by clicking") {
  PanelDriver ui;
  ui.click("tool/plan");
  ui.click("plan/steps");
  ui.click("picked/2");
  ui.click("steps/halve");
  CHECK(ui.session().plan.steps.size() == 5);
  CHECK(ui.session().plan.steps[1].twist_deg == 45);
  ui.click("picked/1");
  ui.click("one/30\u00b0");
  CHECK(ui.session().plan.steps[0].twist_deg == 30);
  ui.click("steps/take out");
  CHECK(ui.session().plan.steps[0].twist_deg == 45);
}

TEST_CASE("one step by whole degrees and by another part; corrections of the coach") {
  PanelDriver ui;
  ui.click("tool/plan");
  ui.click("plan/steps");
  ui.click("picked/2");
  ui.click("steps/more");
  ui.click("by/+1");
  CHECK(ui.session().plan.steps[1].twist_deg == 91);
  ui.click("part/setup");
  CHECK(ui.session().plan.steps[1].setup.has_value());
  ui.click("sheet/undo");
  CHECK_FALSE(ui.session().plan.steps[1].setup.has_value());
  ui.click("sheet/back");
  CHECK(ui.session().page == PlanPage::steps);
  ui.click("sheet/back");
  ui.click("plan/corrections");
  ui.click("mark at/+90");
  CHECK(ui.session().plan.mark_deg == 90);  // 90 to the left of the start, where the mark of a flip is
  ui.click("mark at/usual");
  CHECK_FALSE(ui.session().plan.mark_deg.has_value());
}

TEST_CASE("rungs, steps, cameras, play and speed answer to a click") {
  PanelDriver ui;
  ui.click("rung/3");
  CHECK(ui.session().rung == 3);
  ui.click("step/2");
  CHECK(ui.session().plan.steps.size() == 5);
  ui.click("camera/above");
  CHECK(ui.session().look.camera == CameraKind::above);
  ui.click("play");
  CHECK(ui.session().playback.playing);
  ui.click("speed");
  CHECK(ui.session().playback.rate == 0.125);
  ui.click("climb/side");
  CHECK(ui.session().plan.side == Side::right);
}

TEST_CASE("a drag of the scrub follows the mouse over its whole length") {
  PanelDriver ui;
  const Rect rect = ui.find("scrub")->rect;
  ui.mouse(rect.x + 30, rect.mid_y(), false);
  ui.mouse(rect.x + 30, rect.mid_y(), true);
  ui.mouse(rect.mid_x(), rect.mid_y(), true);
  CHECK(ui.session().playback.t == doctest::Approx(ui.session().duration / 2).epsilon(0.01));
  ui.mouse(rect.right() + 400, rect.mid_y(), true);
  CHECK(ui.session().playback.t == ui.session().duration);
  ui.mouse(rect.x - 400, rect.mid_y(), true);
  CHECK(ui.session().playback.t == 0);
  ui.mouse(rect.x - 400, rect.mid_y(), false);
}

TEST_CASE("a drag of the heading is one step of undo") {
  PanelDriver ui;
  const Plan before = ui.session().plan;
  ui.click("tool/plan");
  ui.click("plan/start facing");
  const Rect dial = ui.find("facing/dial")->rect;
  ui.mouse(dial.mid_x(), dial.y + 10, false);
  ui.mouse(dial.mid_x(), dial.y + 10, true);
  for (int k = 1; k <= 9; ++k) {
    const double a = k * 10 * 3.14159265358979 / 180;
    ui.mouse(dial.mid_x() - std::sin(a) * 80, dial.mid_y() - std::cos(a) * 80, true);
  }
  ui.mouse(dial.x + 20, dial.mid_y(), false);
  ui.frame();
  CHECK(ui.session().plan.held_heading_deg == 90);  // to the left of start
  CHECK(ui.session().history.undo.size() == 1);
  ui.push(Undo{});
  CHECK(ui.session().plan == before);
}

TEST_CASE("dragging the stage turns the camera, the wheel comes nearer") {
  PanelDriver ui;
  ui.mouse(500, 400, false);
  ui.mouse(500, 400, true);
  ui.mouse(540, 400, true);
  ui.mouse(540, 400, false);
  CHECK(ui.session().look.offset.yaw != 0);
  ImGui::GetIO().MouseWheel = 1;
  ui.frame();
  CHECK(ui.session().look.offset.zoom > 1);
}

TEST_CASE("every control is reached by Tab and pressed by key") {
  PanelDriver ui;
  std::size_t stops = 0;
  for (const WidgetRecord& record : ui.records()) stops += record.takes_focus() ? 1u : 0u;
  CHECK(stops >= 18);
  std::set<std::string> seen;
  for (std::size_t i = 0; i < stops; ++i) {
    ui.push(Focus{next_focus(ui.records(), ui.session().focus, 1)});
    ui.frame();
    seen.insert(ui.session().focus);
  }
  CHECK(seen.size() == stops);
  ui.push(Focus{"camera/front"});
  ui.frame(true);
  CHECK(ui.session().look.camera == CameraKind::front);
}

TEST_CASE("names of widgets are unique and their targets large on every page") {
  for (const auto& [w, h] : {std::pair{1280, 800}, {1920, 1080}, {900, 600}}) {
    PanelDriver ui(w, h);
    for (int sheet = 0; sheet < sheet_count; ++sheet) {
      ui.push(ShowSheet{static_cast<Sheet>(sheet)});
      const int pages = static_cast<Sheet>(sheet) == Sheet::plan ? static_cast<int>(PlanPage::details) : 0;
      for (int page = 0; page <= pages; ++page) {
        ui.push(ShowPage{static_cast<PlanPage>(page)});
        ui.frame();
        std::set<std::string> names;
        for (const WidgetRecord& record : ui.records()) {
          CAPTURE(w);
          CAPTURE(sheet);
          CAPTURE(page);
          CAPTURE(record.name);
          if (!record.takes_focus()) continue;
          CHECK(names.insert(record.name).second);
          CHECK(record.rect.h >= 48);
          CHECK(record.rect.w >= 48);
        }
      }
    }
  }
}

TEST_CASE("a problem is told in words") {
  PanelDriver ui;
  Plan bad = ui.session().plan;
  bad.base = "no such skill";
  ui.push(ChoosePlan{bad});
  ui.frame();
  const WidgetRecord* notice = ui.find("notice/problem");
  REQUIRE(notice != nullptr);
  CHECK_FALSE(notice->label.empty());
}

TEST_CASE("the outline tells what is on the screen") {
  PanelDriver ui;
  const std::string outline = text_outline(ui.records());
  for (const char* line : {"words: lands facing", "words: front wall", "choice: side (chosen)",
                           "button: play", "choice: full = front wall"}) {
    CAPTURE(line);
    CHECK(outline.find(line) != std::string::npos);
  }
}

TEST_CASE("tiny windows and long climbs draw without harm") {
  for (const auto& [w, h] : {std::pair{1, 1}, {50, 400}, {320, 240}, {480, 360}, {700, 460}}) {
    PanelDriver ui(w, h);
    ui.push(ChooseStep{1});
    for (int sheet = 0; sheet < sheet_count; ++sheet) {
      ui.push(ShowSheet{static_cast<Sheet>(sheet)});
      ui.frame();
    }
    CHECK(ui.session().ladder->rungs.size() == 361);
  }
}
