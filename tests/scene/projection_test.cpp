#include <doctest/doctest.h>

#include <cmath>

#include "scene/projection.hpp"

using namespace halfturn;

TEST_CASE("a point straight ahead is in the middle of what controls leave free") {
  View view;
  view.width_px = 1000;
  view.height_px = 800;
  view.inset_right_px = 200;
  view.inset_bottom_px = 100;
  Camera camera;
  // Far enough away that the height binds; nearer, the width that shows the whole dial would.
  camera.eye = {0, 1, -12};
  camera.target = {0, 1, 0};
  camera.fov_deg = 30;
  const Projector projector(projection_for(camera, view));
  const auto p = projector.to_px({0, 1, 3});
  REQUIRE(p.has_value());
  CHECK(p->x == doctest::Approx(400));
  CHECK(p->y == doctest::Approx(350));
  CHECK(p->z == doctest::Approx(15));
  // The field of view spans the free height: 12 m tan(15 deg) up is its upper edge.
  const auto top = projector.to_px({0, 1 + 12 * std::tan(to_rad(15)), 0});
  REQUIRE(top.has_value());
  CHECK(top->y == doctest::Approx(0).scale(1));
  // Seen from -z towards +z with y up, right is -x.
  CHECK(projector.to_px({-1, 1, 0})->x > 400);
  CHECK_FALSE(projector.to_px({0, 1, -13}).has_value());
}

TEST_CASE("a narrow picture shows the whole dial") {
  View view;
  view.width_px = 300;
  view.height_px = 900;
  Camera camera;
  const Projector projector(projection_for(camera, view));
  for (int a = 0; a < 360; a += 10) {
    const auto p = projector.to_px({1.62 * std::cos(to_rad(a)), 0, 1.62 * std::sin(to_rad(a))});
    REQUIRE(p.has_value());
    CHECK(p->x > 0);
    CHECK(p->x < 300);
  }
}
