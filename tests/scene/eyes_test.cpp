#include <doctest/doctest.h>

#include <cmath>
#include <glm/geometric.hpp>

#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "scene/compose.hpp"

using namespace halfturn;

// Standing, the head is held straight: the gaze itself is the way from the start, by arithmetic.
TEST_CASE("the camera in the eyes looks ahead, over the shoulder into the twist, or down over the chin") {
  for (const Side side : {Side::left, Side::right}) {
    Plan plan;
    plan.base = "back flip";
    plan.steps = equal_steps(0, 180, 180);
    plan.side = side;
    const Result<Ladder> ladder = make_ladder(plan, built_in_vocabulary(), built_in_difficulty());
    REQUIRE(ladder);
    const Flight flight = drawn_flight(ladder->rungs[1], embedded_shapes());
    const FlightSample standing = sample_in_picture(ladder->rungs[1], flight, -1);
    View view;
    view.camera = CameraKind::eyes;
    const auto look = [&](Gaze gaze) {
      view.gaze = gaze;
      const Camera camera = camera_for(*ladder, 1, standing, view);
      CHECK_FALSE(camera.own_head);
      return glm::normalize(camera.target - camera.eye);
    };
    const Vec3 neutral = look(Gaze::neutral);
    CHECK(neutral.x == doctest::Approx(1));
    // 60 degrees to the side of the twist (left is -z) and 20 down.
    const Vec3 shoulder = look(Gaze::over_shoulder);
    CHECK(to_deg(std::asin(-shoulder.y)) == doctest::Approx(20));
    CHECK(to_deg(std::atan2(-shoulder.z, shoulder.x)) == doctest::Approx(side == Side::left ? 60 : -60));
    const Vec3 down = look(Gaze::chin_down);
    CHECK(to_deg(std::asin(-down.y)) == doctest::Approx(40));
    CHECK(down.z == doctest::Approx(0));
  }
}
