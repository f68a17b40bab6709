// Whole attempts: the record knows only what a sensor sees, the truth is the flight that made it.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>

#include "measure/measure_record.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using namespace record_maker;

namespace {

struct Row {
  const char* name;
  Story story;
  double somersault, twist;  // truth, deg
};

std::vector<Row> rows() {
  DrawnParameters front = back_twist(540);
  front.flip_toward_deg = 0;
  DrawnParameters kick;
  kick.flips = false;
  kick.air_turn_deg = 495;
  kick.lean_deg = kick.landing_lean_deg = 12;
  return {{"back flip", {drawn(back_twist(0), 0.65)}, 335, 0},
          {"full", {drawn(back_twist(360), 0.9)}, 335, 360},
          {"full to the right", {drawn(back_twist(360, -1), 0.9)}, 335, -360},
          {"double full", {drawn(back_twist(720), 1.0)}, 335, 720},
          {"Rudi", {drawn(front, 0.9)}, -335, 540},
          {"720 kick", {drawn(kick, 0.7)}, 0, 495}};
}

}  // namespace

TEST_CASE("a clean 200 Hz quaternion record gives the twist to 2 degrees and the air time to 10 ms") {
  std::puts("  clean 200 Hz quaternion record | air time error ms | somersault error deg | twist error deg");
  for (const Row& row : rows()) {
    CAPTURE(row.name);
    Recording recording = record(row.story, Sensor{});
    MeasureRequest request;
    request.frame.forward = SignedAxis{0, 1};
    request.frame.up = SignedAxis{1, 1};
    const auto measured = measure_record(recording, request);
    REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
    const FlightMeasures& m = measured->measures.flight;
    const double air = m.air_time_s - row.story.flight.duration();
    CHECK(std::abs(air) < 0.010);
    REQUIRE(m.twist_deg);
    CHECK(std::abs(*m.twist_deg - row.twist) < 2);
    const double somersault = row.somersault == 0 ? 0 : *m.somersault_deg - row.somersault;
    CHECK(std::abs(somersault) < 4);
    std::printf("  %-30s | %17.1f | %20.2f | %15.2f\n", row.name, 1e3 * air, somersault,
                *m.twist_deg - row.twist);
    // Faced the front before; afterwards it stands where first contact pointed.
    CHECK(std::abs(*measured->measures.start_heading_deg) < 0.5);
    REQUIRE(measured->measures.stood_heading_deg);
    CHECK(std::abs(wrap_deg(*measured->measures.stood_heading_deg - *m.landing_heading_deg)) < 8);
  }
}
