// The class board by clicks: two taps ask to log, targets are large, the words say who is next and why.
#include "driver.hpp"

using namespace halfturn;

namespace {

ClassBoard class_of(int count) {
  ClassBoard board;
  board.session = "2026-11-25";
  board.crashes = 2;
  for (int i = 0; i < count; ++i) {
    BoardPlace place;
    place.athlete = 100 + i;
    place.name = "Athlete " + std::to_string(i);
    place.plan = "full";
    place.rung = 1;
    place.rung_title = "back half";
    place.surface = "sprung floor";
    place.side = i % 2 == 0 ? Side::left : Side::right;
    place.gate = {2, 3, false};
    place.reason = "2 of 3 in a row; next one decides";
    board.places.push_back(place);
  }
  return board;
}

void show(PanelDriver& ui, int count) {
  ui.push(ShowBoard{class_of(count)});
  ui.push(ShowSheet{Sheet::board});
  ui.frame();
}

}  // namespace

TEST_CASE("the board is opened from the page with everything else") {
  PanelDriver ui;
  ui.click("tool/more");
  ui.click("look/class");
  CHECK(ui.session().sheet == Sheet::board);
  REQUIRE(ui.find("board/done") != nullptr);
}

TEST_CASE("two taps log an attempt for the athlete whose turn it is") {
  PanelDriver ui;
  show(ui, 12);
  REQUIRE(ui.find("board/name") != nullptr);
  CHECK(ui.find("board/name")->label == "Athlete 0");
  CHECK(ui.find("board/crashes")->label == "crashes 2, aim 0");
  CHECK(ui.find("board/reason")->label == "2 of 3 in a row; next one decides");
  ui.click("tap/in hand");
  CHECK(ui.request().kind == Request::Kind::none);
  ui.click("tap/15 short");
  CHECK(ui.request().kind == Request::Kind::log_attempt);
  CHECK(ui.request().outcome == AttemptOutcome::in_hand);
  CHECK(ui.request().error_deg == -15);
}

TEST_CASE("a wrong first tap is taken back, the last attempt is undone") {
  PanelDriver ui;
  show(ui, 3);
  ui.click("tap/on feet");
  ui.click("board/back");
  CHECK_FALSE(ui.session().board.tapped);
  ui.click("board/undo the last");
  CHECK(ui.request().kind == Request::Kind::undo_attempt);
}

TEST_CASE("skip, absent, and back by a tap on the name") {
  PanelDriver ui;
  show(ui, 4);
  ui.click("board/skip");
  CHECK(ui.session().board.next == 1);
  ui.click("board/absent");
  CHECK(ui.session().board.places[1].absent);
  CHECK(ui.session().board.next == 2);
  ui.click("place/1");
  CHECK_FALSE(ui.session().board.places[1].absent);
  CHECK(ui.session().board.next == 1);
}

TEST_CASE("every target of the board is at least 48 high, none lies over another, all in the window") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600), std::pair(1920, 1080)}) {
    PanelDriver ui(width, height);
    show(ui, 12);
    for (const bool tapped : {false, true}) {
      if (tapped) ui.click("tap/in hand");
      std::vector<WidgetRecord> targets;
      for (const WidgetRecord& record : ui.records()) {
        if (record.takes_focus()) targets.push_back(record);
      }
      CHECK(targets.size() >= 12 + 7 + 4);
      const double scale = ui.fonts().scale;
      for (std::size_t i = 0; i < targets.size(); ++i) {
        const Rect& a = targets[i].rect;
        CAPTURE(targets[i].name);
        CHECK(a.h >= 48);
        CHECK(a.w >= 48);
        CHECK(a.x >= 0);
        CHECK(a.right() * scale <= width);
        CHECK(a.bottom() * scale <= height);
        for (std::size_t j = 0; j < i; ++j) {
          const Rect& b = targets[j].rect;
          CAPTURE(targets[j].name);
          CHECK((a.right() <= b.x || b.right() <= a.x || a.bottom() <= b.y || b.bottom() <= a.y));
        }
      }
    }
  }
}

TEST_CASE("an empty logbook says what to do") {
  PanelDriver ui;
  show(ui, 0);
  CHECK(ui.find("tap/in hand") == nullptr);
  REQUIRE(ui.find("board/done") != nullptr);
}
