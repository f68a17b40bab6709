#include "sample.hpp"

using namespace halfturn;

TEST_CASE("a plan reopens exactly as it was left") {
  Session s = after(sample_session(),
                    {ChooseRung{3}, Seek{0.31}, ChooseRate{0.125}, ChooseFps{120},
                     ChooseCamera{CameraKind::above}, ShowCurves{true}, ChooseLoop{false, true}, Play{true}});
  const CameraOffset offset{0.25, -0.5, 0.75, -1.25, 1.5};
  Toggles toggles;
  toggles.ghosts = false;
  toggles.momentum = true;
  s = after(s, {ChooseGaze{Gaze::chin_down}, ChooseCamera{CameraKind::above}, MoveCamera{offset},
                ChooseToggles{toggles}});
  // Through the text of the file, as on disk.
  const Result<PlanFile> file = read_plan(write_plan(plan_file(s)), "plan.json");
  REQUIRE(file);
  const Result<Session> again = open_session(*file, "plan.json", library(), s.settings);
  REQUIRE(again);
  CHECK(again->plan == s.plan);
  CHECK(again->rung == 3);
  CHECK(again->playback == s.playback);
  CHECK(again->look == s.look);
  CHECK(again->look.gaze == Gaze::chin_down);
  CHECK(view_json(*again) == view_json(s));
}

TEST_CASE("a cursor left in a flight of another length keeps its share of it") {
  // As the window leaves it: the simulated flight is longer than the drawn one, and comes after opening.
  Session s = after(sample_session(), {ChooseRung{3}});
  const double drawn = s.duration, simulated = 1.4 * drawn;
  s = after(s, {FlightLength{simulated}, Seek{0.9 * simulated}});
  const Result<Session> opened = open_session(plan_file(s), "plan.json", library(), s.settings);
  REQUIRE(opened);
  CHECK(opened->playback.t == doctest::Approx(0.9 * drawn));
  const Session again = after(*opened, {FlightLength{simulated}});
  CHECK(again.playback.t == doctest::Approx(0.9 * simulated));
}

TEST_CASE("a view with nonsense in it does not keep a plan from opening") {
  PlanFile file = plan_file(sample_session());
  file.view =
      Json::parse(R"({"rung": 99, "time_s": "soon", "rate": -3, "camera": "below", "gaze": 7, "playing": 4,
                              "camera_offset": {"zoom": 1e300}, "shown": [], "unknown": {}})");
  const Result<Session> s = open_session(file, "", library(), {});
  REQUIRE(s);
  CHECK(s->rung == 4);
  CHECK(s->playback.rate == slowest_rate);
  CHECK(s->look.camera == CameraKind::side);
  CHECK(s->look.offset.zoom == 6);
}
