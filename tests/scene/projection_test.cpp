#include <doctest/doctest.h>

#include <cmath>

#include "scene/projection.hpp"

using namespace halfturn;

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
