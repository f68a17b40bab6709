// Takeoff and landing against the moments at which the maker of the record let the floor go.
#include <doctest/doctest.h>

#include <cmath>

#include "measure/find_flight.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using namespace record_maker;

TEST_CASE("takeoff and landing are found to 5 ms in a clean 200 Hz record, wherever the sensor sits") {
  for (const Vec3& place :
       {Vec3(-0.12, 0.25, 0), Vec3(0.1, 0.3, 0.05), Vec3(0, 0, 0), Vec3(-0.1, -0.05, 0.1)}) {
    for (const double twist : {0.0, 360.0, 720.0}) {
      CAPTURE(twist);
      CAPTURE(place.y);
      const Story story{drawn(back_twist(twist), 0.9)};
      Sensor sensor;
      sensor.place_B = place;
      const auto flights = flights_by_force(record(story, sensor));
      REQUIRE(flights.size() == 1);
      CHECK(std::abs(flights[0].takeoff - story.takeoff) < 0.005);
      CHECK(std::abs(flights[0].landing - story.landing()) < 0.005);
    }
  }
}

TEST_CASE("a stance and a turn on the spot are no flight") {
  Story story{drawn(back_twist(360), 0.9)};
  story.takeoff = 4;
  story.turn_at = 1.2;
  Recording recording = record(story, Sensor{});
  // Cut before the push.
  const std::size_t rows = sample_before(recording, 3.6);
  recording.time.resize(rows);
  recording.orientation.resize(rows);
  recording.force.resize(rows);
  CHECK(flights_by_force(recording).empty());
}

TEST_CASE("the parabola of a ball thrown by hand is found in heights") {
  // 0.5 s in the air: launched at 0.25 g s, standing still before and after; closed form.
  std::vector<double> time;
  std::vector<float> height;
  for (int i = 0; i <= 200; ++i) {
    const double t = i / 100.0, s = t - 0.8;
    time.push_back(t);
    const double rise = 0.5 * standard_gravity * s * (0.5 - s);
    height.push_back(static_cast<float>(s > 0 && s < 0.5 ? 1 + rise : 1));
  }
  const auto flights = flights_by_height(time, height);
  REQUIRE(flights.size() == 1);
  CHECK(std::abs(flights[0].takeoff - 0.8) < 0.01);
  CHECK(std::abs(flights[0].landing - 1.3) < 0.01);
}
