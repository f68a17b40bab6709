// The page of a record and its scrub, at every size that has room for them.
#include <cmath>

#include "driver.hpp"

using namespace halfturn;

namespace {

/// An attempt whose numbers are set here; its flight is the drawn one.
std::shared_ptr<RecordShown> shown(const Session& session) {
  auto ladder = std::make_shared<Ladder>(*session.ladder);
  const Flight flight = drawn_flight(session.rung_now(), embedded_shapes());
  RecordedAttempt attempt{session.plan, session.rung, flight, ladder, false, {}, std::nullopt, 30};
  AttemptMeasures& m = attempt.measured.measures;
  m.flight = measure_flight(flight);
  m.floor_turn_deg = 12;
  m.cautions.emplace_back("The record ends before the athlete stands up.");
  attempt.measured.flight = {2.0, 2.8, 0, 0};
  attempt.measured.flights = {attempt.measured.flight, {5.0, 5.8, 0, 0}};
  attempt.against = AgainstPlan{};
  attempt.against->turn_error_deg = -17.4;
  auto record = std::make_shared<RecordShown>();
  record->path = "/tmp/tuesday/attempt.csv";
  record->athlete = "Ana";
  record->from_s = 1.5;
  record->to_s = 3.3;
  record->felt_g.assign(100, 1.0F);
  record->attempt = std::make_shared<const RecordedAttempt>(std::move(attempt));
  return record;
}

void check_inside(const PanelDriver& ui) {
  const Layout& l = ui.layout_now();
  for (const WidgetRecord& record : ui.records()) {
    CAPTURE(record.name);
    CAPTURE(record.label);
    const bool page = record.name.starts_with("record/") || record.name.starts_with("log/") ||
                      record.name.starts_with("flight/") || record.name.starts_with("answer/");
    if (page) {
      CHECK(record.rect.right() <= l.sheet.right() + 0.5);
      CHECK(record.rect.bottom() <= l.height + 0.5);
    }
    if (record.name.starts_with("record scrub/")) CHECK(record.rect.x >= l.sheet.right() - 60);
    if (record.takes_focus() && page) CHECK(record.rect.h >= 48);
  }
}

}  // namespace

TEST_CASE("the page of a record says what it came to, beside its own stage and scrub") {
  for (const auto& [width, height] : {std::pair(1280, 800), std::pair(900, 600)}) {
    CAPTURE(width);
    PanelDriver ui(width, height);
    ui.push(ShowSheet{Sheet::record});
    ui.push(ShowRecord{shown(ui.session())});
    ui.frame();
    check_inside(ui);
    REQUIRE(ui.find("record/first contact") != nullptr);
    CHECK(ui.find("record/first contact")->label == "17 degrees short, within the 30 that count");
    CHECK(ui.find("record/on the floor")->label == "12\u00b0 left before takeoff");
    CHECK(ui.find("sheet/title")->label == "attempt.csv");
    CHECK_FALSE(ui.layout_now().panes[0].empty());
    CHECK(ui.layout_now().panes[0].bottom() <= ui.layout_now().record_scrub.y);
    ui.click("log/fall");
    CHECK(ui.request().kind == Request::Kind::log_record);
    CHECK(ui.request().outcome == AttemptOutcome::fall);
    ui.click("flight/flight 2");
    CHECK(ui.request().kind == Request::Kind::answer_record);
    CHECK(ui.request().path == "--flight");
    CHECK(ui.request().words == "2");
  }
}

TEST_CASE("takeoff and landing are moved by a press and by a drag on the scrub") {
  PanelDriver ui;
  ui.push(ShowSheet{Sheet::record});
  ui.push(ShowRecord{shown(ui.session())});
  ui.click("takeoff/earlier");
  REQUIRE(ui.request().marks);
  CHECK(ui.request().marks->from == doctest::Approx(1.99));
  CHECK(ui.request().marks->to == doctest::Approx(2.8));
  ui.frame();
  const Rect grip = ui.find("record scrub/landing")->rect;
  const double seconds_a_pixel = 1.8 / ui.layout_now().record_scrub.w;
  ui.mouse(grip.mid_x(), grip.mid_y(), false);
  ui.mouse(grip.mid_x(), grip.mid_y(), true);
  ui.mouse(grip.mid_x() - 40, grip.mid_y(), true);
  CHECK(ui.request().marks->to == doctest::Approx(2.8 - 40 * seconds_a_pixel).epsilon(1e-4));
  CHECK(ui.request().marks->from == doctest::Approx(2.0));
  // However far it is dragged, landing stays after takeoff.
  ui.mouse(grip.mid_x() - 4000, grip.mid_y(), true);
  CHECK(ui.request().marks->to > ui.request().marks->from);
  ui.mouse(grip.mid_x(), grip.mid_y(), false);
  // Between the two the cursor of the flight is set.
  ui.frame();
  const Rect between = ui.find("record scrub/time")->rect;
  ui.mouse(between.x + 0.25 * between.w, between.mid_y(), true);
  CHECK(ui.session().playback.t == doctest::Approx(0.25 * ui.session().duration).epsilon(0.01));
  ui.mouse(-100, -100, false);
}

TEST_CASE("a question of the record is shown whole and answered by a press, or typed") {
  PanelDriver ui(900, 600);
  ui.push(ShowSheet{Sheet::record});
  auto record = std::make_shared<RecordShown>();
  record->path = "a.csv";
  record->question =
      RecordQuestion{"devices differ in whether the accelerometer reads up", "--rest", {"up", "down"}};
  ui.push(ShowRecord{record});
  ui.frame();
  check_inside(ui);
  CHECK(ui.find("record/question")->label == record->question->text);
  ui.click("answer/down");
  CHECK(ui.request().path == "--rest");
  CHECK(ui.request().words == "down");
  auto typed = std::make_shared<RecordShown>(*record);
  typed->question = RecordQuestion{"which axes?", "--axes", {}};
  ui.push(ShowRecord{typed});
  ui.push(TypePath{"forward=x,up=y"});
  ui.click("record/answer go");
  CHECK(ui.request().path == "--axes");
  CHECK(ui.request().words == "forward=x,up=y");
  ui.click("record/close");
  CHECK(ui.request().kind == Request::Kind::open_record);
  CHECK(ui.request().path.empty());
}

TEST_CASE("a stage can show the record only while there is one of its rung") {
  PanelDriver ui;
  ui.push(Compare{pair_of(Pairing::next)});
  ui.push(PickStage{1});
  ui.frame();
  CHECK(ui.find("flight/recorded") == nullptr);
  ui.push(ShowRecord{shown(ui.session())});
  ui.push(PickStage{1});
  ui.frame();
  ui.click("flight/recorded");
  CHECK(ui.session().look.comparison->beside[0].source == FlightSource::recorded);
  CHECK(ui.session().stages[1].rung == ui.session().rung);
  ui.click("shows/the next rung");
  CHECK(ui.session().look.comparison->beside[0].source == FlightSource::simulated);
}
