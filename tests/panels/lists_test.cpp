#include <algorithm>
#include <set>
#include <string>

#include "driver.hpp"

using namespace halfturn;

TEST_CASE("a control tells under the mouse what its key does") {
  PanelDriver ui;
  const Rect play = ui.find("play")->rect;
  ui.mouse(play.mid_x(), play.mid_y(), false);
  CHECK(ui.hovered() == "play");
  CHECK(ui.find("tip/space") == nullptr);
  ui.tip_ = ui.hovered();
  ui.frame();
  REQUIRE(ui.find("tip/space") != nullptr);
  CHECK(ui.find("tip/space")->label == "play or pause");
  // One entry of the table may stand for a group of controls.
  ui.tip_ = "step/2";
  ui.frame();
  REQUIRE(ui.find("tip/H") != nullptr);
  // A rung says what it is made of.
  ui.tip_ = "rung/3";
  ui.frame();
  REQUIRE(ui.find("tip/words") != nullptr);
  CHECK(ui.find("tip/words")->label == ui.session().ladder->rungs[3].description);
}

TEST_CASE("words of the trade say under the mouse what they mean") {
  PanelDriver ui;
  ui.push(ChooseRung{2});  // half a twist
  ui.frame();
  ui.frame();
  const auto word = std::find_if(ui.records().begin(), ui.records().end(), [](const WidgetRecord& r) {
    return r.kind == WidgetRecord::Kind::words && r.label.find("blind") != std::string::npos;
  });
  REQUIRE(word != ui.records().end());
  const Rect rect = word->rect;
  const std::string name = word->name;
  ui.mouse(rect.mid_x(), rect.mid_y(), false);
  CHECK(ui.hovered() == name);
  ui.tip_ = ui.hovered();
  ui.frame();
  REQUIRE(ui.find("tip/words") != nullptr);
  CHECK(ui.find("tip/words")->label.starts_with("blind: "));
  // On the page of the words themselves nothing lies over them.
  ui.push(ShowSheet{Sheet::terms});
  ui.frame();
  ui.frame();
  REQUIRE(ui.find("means/aerial") != nullptr);
  const Rect means = ui.find("means/aerial")->rect;
  ui.mouse(means.x + 8, means.y + 8, false);
  CHECK(ui.hovered().empty());
}

TEST_CASE("a long list of files is gone through by buttons, and every file is reached") {
  PanelDriver ui;
  for (int i = 0; i < 60; ++i)
    ui.files_.push_back({"plan " + std::to_string(i), "/x/" + std::to_string(100 + i)});
  ui.push(ShowSheet{Sheet::open});
  ui.frame();
  std::set<std::string> seen;
  for (int page = 0; page < 40; ++page) {
    for (const WidgetRecord& record : ui.records()) {
      if (record.name.starts_with("file/")) seen.insert(record.name);
    }
    ui.click("list/down");
  }
  CHECK(seen.size() == 60);
  CHECK(ui.find("file//x/159") != nullptr);
  CHECK(ui.find("file//x/100") == nullptr);
  ui.push(ScrollList{1000});
  ui.frame();
  ui.frame();
  CHECK(ui.session().list_first < 60);
  for (int page = 0; page < 40; ++page) ui.click("list/up");
  CHECK(ui.find("file//x/100") != nullptr);
  // A short list has no such buttons.
  ui.files_.resize(2);
  ui.frame();
  ui.frame();
  CHECK(ui.find("list/down") == nullptr);
}

TEST_CASE("at 1280 x 800 the tools needed most stand beside the cameras, the others under more") {
  PanelDriver ui(1280, 800);
  for (const std::string name : {"tool/plan", "tool/walk it", "tool/finish", "tool/more", "camera/side",
                                 "camera/front", "camera/above", "camera/eyes"}) {
    CAPTURE(name);
    CHECK(ui.find(name) != nullptr);
  }
  ui.click("tool/more");
  for (const std::string name : {"look/plan", "look/walk it", "look/finish", "look/curves", "look/class",
                                 "look/on the wall", "pair/axis", "pair/sides", "pair/forms", "pair/next"}) {
    CAPTURE(name);
    CHECK(ui.find(name) != nullptr);
  }
}

TEST_CASE("the answer keeps to the left of the figure in the middle of the stage") {
  for (const auto& [w, h] : {std::pair{1280, 800}, {900, 600}, {1920, 1080}}) {
    PanelDriver ui(w, h);
    for (const double heading : {0.0, 30.0, 117.0}) {
      Plan plan = ui.session().plan;
      plan.held_heading_deg = heading;
      ui.push(ChoosePlan{plan});
      for (std::size_t rung = 0; rung < ui.session().ladder->rungs.size(); ++rung) {
        ui.push(ChooseRung{rung});
        ui.frame();
        const double middle = ui.find("rung/0") == nullptr ? w / 2.0 : (ui.find("step/1")->rect.x - 60) / 2;
        for (const char* name : {"answer/wall", "answer/turn", "answer/landing"}) {
          CAPTURE(name);
          CAPTURE(w);
          REQUIRE(ui.find(name) != nullptr);
          CHECK(ui.find(name)->rect.right() < middle + 20);
        }
      }
    }
  }
}
