// Gyroscope and accelerometer against the flight that made them; the tables say what each fault costs.
#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>

#include "body/human.hpp"
#include "measure/measure_record.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using namespace record_maker;

namespace {

/// A layout back somersault in which one arm is lowered sideways, so that the body tilts and twists: flown by
/// the project's own simulator.
Flight simulated_flight(bool right_arm) {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  Pose up;
  up[Segment::upper_arm_left].x = to_rad(160);
  up[Segment::upper_arm_right].x = to_rad(-160);
  Pose lowered = up;
  lowered[right_arm ? Segment::upper_arm_right : Segment::upper_arm_left].x = 0;
  const ShapeTrack shape({{0.15, up}, {0.40, lowered}});
  const Vec3 com = mass_properties(tree, std::vector<double>(tree.coordinate_count(), 0.0)).com;
  SimulatedTakeoff takeoff;
  takeoff.com_W = {0, 1.0, 0};
  takeoff.com_velocity_W = {0, 4.2, 0};
  takeoff.spin = {rotation_z(to_rad(8)), Vec3(0, 0, 80)};
  return *make_simulated_flight(tree, {{0, com + Vec3(0, -0.9, 0)}}, shape, takeoff, {}, 1e-12);
}

/// With a landing that gives way.
Story soft_landing(Flight flight) {
  Story story = record_maker::calibrated(std::move(flight));
  story.absorb = 0.2;
  return story;
}

Sensor gyroscope() {
  Sensor sensor;
  sensor.has_orientation = false;
  sensor.has_rate = true;
  // Sideways on the back: its y points left, its z backward.
  sensor.q_SB = rotation_x(0.5 * pi) * rotation_y(-0.5 * pi);
  return sensor;
}

struct Errors {
  double air_ms = 0, somersault = 0, twist = 0, heading = 0;  // measured minus truth; deg
  double twist_doubt = 0;
  std::size_t cautions = 0;
};
Errors errors(const Story& story, const Sensor& sensor) {
  Recording recording = record(story, sensor);
  const auto measured = measure_record(recording, marks());
  REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
  // The rule itself is tested against closed forms in drawn_test.cpp.
  const FlightMeasures truth = measure_flight(story.flight);
  const FlightMeasures& m = measured->measures.flight;
  REQUIRE(m.twist_deg);
  return {
      1e3 * (m.air_time_s - truth.air_time_s), *m.somersault_deg - *truth.somersault_deg,
      *m.twist_deg - *truth.twist_deg,         wrap_deg(*m.landing_heading_deg - *truth.landing_heading_deg),
      measured->measures.doubt.twist_deg,      measured->measures.cautions.size()};
}
void print(const char* name, const Errors& e) {
  std::printf("  %-44s | %7.1f | %10.2f | %7.2f | %7.2f | %5.1f\n", name, e.air_ms, e.somersault, e.twist,
              e.heading, e.twist_doubt);
}
void print_head(const char* title) {
  std::printf("  %-44s |  air ms | somersault |   twist | heading | doubt\n", title);
}

}  // namespace

TEST_CASE("a sideways gyroscope gives the turn of simulated and drawn flights") {
  print_head("clean 200 Hz gyroscope and accelerometer");
  const std::pair<const char*, Flight> flights[] = {
      {"simulated, right arm lowered", simulated_flight(true)},
      {"simulated, left arm lowered", simulated_flight(false)},
      {"drawn full", drawn(back_twist(360), 0.9)},
      {"drawn double full to the right", drawn(back_twist(720, -1), 1.0)}};
  for (const auto& [name, flight] : flights) {
    CAPTURE(name);
    const Errors e = errors(soft_landing(flight), gyroscope());
    print(name, e);
    CHECK(std::abs(e.air_ms) < 10);
    CHECK(std::abs(e.twist) < 2);
    CHECK(std::abs(e.somersault) < 4);
    CHECK(std::abs(e.heading) < 3);
  }
}

TEST_CASE("what rate, noise, bias and lost rows cost stays within the doubt that is told") {
  print_head("simulated flight, right arm lowered");
  const Story story = soft_landing(simulated_flight(true));
  struct Fault {
    const char* name;
    Sensor sensor;
  };
  std::vector<Fault> faults;
  const auto add = [&](const char* name, auto change) {
    faults.push_back({name, gyroscope()});
    change(faults.back().sensor);
  };
  add("1000 Hz", [](Sensor& s) { s.hertz = 1000; });
  add("100 Hz", [](Sensor& s) { s.hertz = 100; });
  add("50 Hz", [](Sensor& s) { s.hertz = 50; });
  add("gyroscope noise 0.3 deg/s", [](Sensor& s) { s.rate_noise_deg_s = 0.3; });
  add("gyroscope noise 2 deg/s", [](Sensor& s) { s.rate_noise_deg_s = 2; });
  add("accelerometer noise 0.3 m/s2", [](Sensor& s) { s.force_noise = 0.3; });
  add("bias 3, -2, 1 deg/s", [](Sensor& s) { s.rate_bias_deg_s = Vec3(3, -2, 1); });
  add("5 % of rows lost", [](Sensor& s) { s.dropped = 0.05; });
  add("20 % of rows lost", [](Sensor& s) { s.dropped = 0.2; });
  add("rows up to 1 ms off their even times", [](Sensor& s) { s.jitter_s = 0.001; });
  add("all: 100 Hz, noise, bias, 5 % lost", [](Sensor& s) {
    s.hertz = 100;
    s.rate_noise_deg_s = 0.3;
    s.force_noise = 0.3;
    s.rate_bias_deg_s = Vec3(3, -2, 1);
    s.dropped = 0.05;
  });
  for (const Fault& fault : faults) {
    CAPTURE(fault.name);
    const Errors e = errors(story, fault.sensor);
    print(fault.name, e);
    CHECK(std::abs(e.air_ms) < (fault.sensor.hertz < 200 ? 25 : 12));
    CHECK(std::abs(e.twist) < 3 * e.twist_doubt);
  }
}

TEST_CASE("a steady bias is taken off, whatever it is") {
  const Story story = soft_landing(simulated_flight(true));
  Sensor sensor = gyroscope();
  const Errors clean = errors(story, sensor);
  sensor.rate_bias_deg_s = Vec3(3, -2, 4);
  const Errors biased = errors(story, sensor);
  CHECK(std::abs(biased.twist - clean.twist) < 0.1);
  CHECK(std::abs(biased.somersault - clean.somersault) < 0.1);
  Recording recording = record(story, sensor);
  REQUIRE(measure_record(recording, marks()).ok());
  CHECK(glm::length(recording.gyroscope->bias - to_rad(1.0) * Vec3(3, -2, 4)) < to_rad(0.05));
}

TEST_CASE("what noise in recorded orientations costs") {
  print_head("drawn full, quaternions at 200 Hz");
  for (const double noise : {0.0, 0.02, 0.1}) {
    Sensor sensor;
    sensor.q_SB = gyroscope().q_SB;
    sensor.orientation_noise_deg = noise;
    sensor.force_noise = noise > 0 ? 0.2 : 0;
    const Errors e = errors(soft_landing(drawn(back_twist(360), 0.9)), sensor);
    char name[64];
    std::snprintf(name, sizeof name, "noise %.2f deg", noise);
    print(name, e);
    CHECK(std::abs(e.air_ms) < 30);
    CHECK(std::abs(e.twist) < 2 + 3 * noise);
  }
}

TEST_CASE("a gyroscope clipped at 2000 degrees per second is told and bridged") {
  print_head("drawn 1080 in 0.9 s, clipped at 2000 deg/s");
  // Peak by the blend: 1.875 * 1080 / (0.73 * 0.9) = 3082 degrees per second.
  const Story story = soft_landing(drawn(back_twist(1080), 0.9));
  Sensor sensor = gyroscope();
  const Errors whole = errors(story, sensor);
  print("not clipped", whole);
  CHECK(std::abs(whole.twist) < 2);
  CHECK(whole.cautions == 0);
  sensor.clip_deg_s = 2000;
  Recording recording = record(story, sensor);
  const auto measured = measure_record(recording, marks());
  REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
  const Errors clipped = errors(story, sensor);
  print("clipped at 2000", clipped);
  REQUIRE(recording.gyroscope);
  CHECK(std::abs(to_deg(recording.gyroscope->limit) - 2000) < 1);
  REQUIRE(measured->measures.cautions.size() == 1);
  CHECK(measured->measures.cautions[0].find("limit of 2000 degrees a second") != std::string::npos);
  CHECK(std::abs(clipped.twist) < 3 * clipped.twist_doubt);
}

TEST_CASE("gravity and a gyroscope alone leave left and right open, so they are asked for") {
  const Story story = soft_landing(drawn(back_twist(360), 0.9));
  const Recording made = record(story, gyroscope());
  Recording recording = made;
  const auto asked = measure_record(recording, MeasureRequest{});
  REQUIRE(!asked.ok());
  CHECK(asked.problem().place == "--rest");
  for (const bool down : {false, true}) {
    recording = made;
    if (down) {
      for (Reading& force : recording.force) force = -force;
    }
    MeasureRequest request;
    request.frame.rest_reads_down = down;
    request.frame.flip_toward_deg = 180;
    const auto measured = measure_record(recording, request);
    REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
    CHECK(std::abs(*measured->measures.flight.twist_deg - 360) < 2);
  }
}

TEST_CASE("a gyroscope in a device that reads down and has left-handed axes is settled by the marks") {
  const Story story = soft_landing(drawn(back_twist(360), 0.9));
  for (int kind = 0; kind < 4; ++kind) {
    CAPTURE(kind);
    Recording recording = record(story, gyroscope());
    for (std::size_t i = 0; i < recording.size(); ++i) {
      if (kind & 1) recording.force[i] = -recording.force[i];
      if (kind & 2) {
        // Axes mirrored across x: the force's x turns round, of the rate the other two.
        recording.force[i].x = -recording.force[i].x;
        recording.rate[i] = Reading(recording.rate[i].x, -recording.rate[i].y, -recording.rate[i].z);
      }
    }
    const auto measured = measure_record(recording, marks());
    REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
    CHECK(std::abs(*measured->measures.flight.twist_deg - 360) < 2);
    CHECK(std::abs(*measured->measures.flight.somersault_deg - 335) < 3);
    CHECK(std::abs(*measured->measures.start_heading_deg) < 1);
  }
}

TEST_CASE("a record in which nobody stands still is refused") {
  Recording recording = record(soft_landing(drawn(back_twist(360), 0.9)), gyroscope());
  for (std::size_t i = 0; i < recording.size(); ++i) {
    recording.rate[i].x += static_cast<float>(std::sin(9.0 * recording.time[i]));
  }
  const auto measured = measure_record(recording, marks());
  REQUIRE(!measured.ok());
  CHECK(measured.problem().text.find("nobody stands still") != std::string::npos);
}
