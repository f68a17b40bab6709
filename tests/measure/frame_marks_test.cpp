// Marks in a video against drawn flights whose turn at those frames is known in closed form.
#include "measure/frame_marks.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "rotation/heading.hpp"

using namespace halfturn;

TEST_CASE("air time is the frames between the marks over the rate of the camera") {
  const auto measures = measure_frames({60, 120, 168, {}});
  REQUIRE(measures.ok());
  CHECK(measures->air_time_s == 0.8);
  // Two moments, each evenly within a frame of 1/60 s: sqrt(2 / 12) / 60.
  CHECK(std::abs(measures->air_time_doubt_s - 0.0068041) < 1e-6);
  CHECK(!measures->mean_rate_deg_s);
  CHECK(!measures->fit);
}

TEST_CASE("the drawn twist that made the marks is found again, also when read to the nearest 45 degrees") {
  for (const double side : {1.0, -1.0}) {
    for (const double step : {0.0, 45.0}) {
      CAPTURE(side);
      CAPTURE(step);
      FrameMarks marks{240, 1000, 1216, {}};  // 0.9 s
      for (int frame = 1000; frame <= 1216; frame += 18) {
        const double share = (frame - 1000) / 216.0;
        double turned = side * 540 * minimum_jerk((share - 0.15) / 0.73);
        if (step > 0) turned = step * std::round(turned / step);
        marks.turned.push_back({static_cast<double>(frame), turned});
      }
      const auto measures = measure_frames(marks);
      REQUIRE(measures.ok());
      REQUIRE(measures->fit);
      const double rough = step > 0 ? 1.0 : 0.0;
      CHECK(std::abs(measures->fit->air_turn_deg - side * 540) < 0.01 + 12 * rough);
      CHECK(std::abs(measures->fit->onset - 0.15) < 0.001 + 0.05 * rough);
      CHECK(std::abs(measures->fit->end - 0.88) < 0.001 + 0.05 * rough);
      CHECK(measures->fit->error_deg < 0.01 + 20 * rough);
      CHECK(std::abs(*measures->mean_rate_deg_s - side * 600) < 0.01);
      CHECK(std::abs(*measures->fastest_rate_deg_s) > 1000);
    }
  }
}

TEST_CASE("marks that cannot be are named by their option") {
  const auto place = [](const FrameMarks& marks) {
    const auto measures = measure_frames(marks);
    REQUIRE(!measures.ok());
    return measures.problem().place;
  };
  CHECK(place({0, 10, 50, {}}) == "--fps");
  CHECK(place({60, 50, 10, {}}) == "--frames");
  CHECK(place({30, 0, 300, {}}) == "--frames");  // ten seconds: slow motion at its playback rate
  CHECK(place({60, 10, 50, {{9, 0}, {20, 90}}}) == "--turned");
  CHECK(place({60, 10, 50, {{20, 0}, {20, 90}}}) == "--turned");
}
