// Any mounting, either hand, any up axis: found out or asked for.
#include <doctest/doctest.h>

#include <cmath>

#include "measure/measure_record.hpp"
#include "record_maker.hpp"

using namespace halfturn;
using namespace record_maker;

namespace {

/// A story with a bow and a turn to the left before a full to the left.
Story calibrated(double twist = 360) {
  return record_maker::calibrated(drawn(back_twist(std::abs(twist), twist < 0 ? -1 : 1), 0.9));
}

void check_full(Recording recording, const MeasureRequest& request, double twist = 360) {
  const auto measured = measure_record(recording, request);
  REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
  const FlightMeasures& m = measured->measures.flight;
  CHECK(std::abs(m.air_time_s - 0.9) < 0.010);
  REQUIRE(m.twist_deg);
  CHECK(std::abs(*m.twist_deg - twist) < 3);
  CHECK(std::abs(*m.somersault_deg - 335) < 4);
  CHECK(std::abs(std::abs(*m.flip_toward_deg) - 180) < 3);
}

}  // namespace

TEST_CASE("a sensor mounted anyhow gives the right turn after a still stance, a turn and a bow") {
  std::mt19937_64 random(7);
  for (int k = 0; k < 12; ++k) {
    CAPTURE(k);
    Sensor sensor;
    sensor.q_SB = exp_rotation(1.5 * normal_vector(random));
    // The record's world: z up, and turned about it.
    sensor.q_RW = rotation_z(normal(random)) * rotation_x(0.5 * pi);
    check_full(record(calibrated(k % 2 == 0 ? 360 : -360), sensor), marks(), k % 2 == 0 ? 360 : -360);
  }
}

TEST_CASE("orientations that map world to sensor are found out by the accelerometer") {
  Sensor sensor;
  sensor.q_SB = exp_rotation(Vec3(0.9, -1.2, 0.4));
  sensor.q_RW = rotation_x(0.5 * pi);
  Recording recording = record(calibrated(), sensor);
  for (Quat& q : recording.orientation) q = glm::conjugate(q);
  check_full(recording, marks());
}

TEST_CASE("where gravity cannot tell which way orientations map, free fall does") {
  // The sensor lies like the body in a world with y up: at rest both ways read alike.
  Story story{drawn(back_twist(360), 0.9)};
  Recording recording = record(story, Sensor{});
  for (Quat& q : recording.orientation) q = glm::conjugate(q);
  check_full(recording, MeasureRequest{});
}

TEST_CASE("after a roundoff the start is the heading at takeoff and no turn on the floor is counted") {
  // A bow so deep that the trunk goes under the hips stands for it.
  Story story{drawn(back_twist(360), 0.9)};
  story.takeoff = 4;
  Recording recording = record(story, Sensor{});
  for (std::size_t i = 0; i < recording.size(); ++i) {
    const double t = recording.time[i];
    if (t < 2.2 || t > 3.2) continue;
    const Quat over = rotation_z(-to_rad(150) * std::sin(pi * (t - 2.2)));
    recording.orientation[i] = over * recording.orientation[i];
    recording.force[i] = Reading(glm::conjugate(over) * Vec3(recording.force[i]));
  }
  MeasureRequest request;
  request.frame.forward = SignedAxis{0, 1};
  request.frame.up = SignedAxis{1, 1};
  request.frame.still = Span{0.2, 1.8};
  request.frame.left_handed = false;
  const auto measured = measure_record(recording, request);
  REQUIRE_MESSAGE(measured.ok(), measured.problem().message());
  CHECK(!measured->measures.floor_turn_deg);
  CHECK(measured->measures.cautions.size() == 1);
  CHECK(std::abs(*measured->measures.start_heading_deg) < 1);
}

TEST_CASE("left-handed axes are found out by the marked turn") {
  Sensor sensor;
  sensor.q_SB = exp_rotation(Vec3(0.3, 0.8, -0.5));
  Recording recording = record(calibrated(), sensor);
  // What the same device with its x axes drawn the other way writes.
  for (Quat& q : recording.orientation) q = Quat(q.w, q.x, -q.y, -q.z);
  for (Reading& force : recording.force) force.x = -force.x;
  check_full(recording, marks());
}

TEST_CASE("an accelerometer that reads down at rest is found out by the marked turn") {
  Sensor sensor;
  sensor.q_RW = rotation_x(0.5 * pi);
  Recording recording = record(calibrated(), sensor);
  for (Reading& force : recording.force) force = -force;
  check_full(recording, marks());
}

TEST_CASE("a record that leaves its up axis open is asked for it") {
  Sensor sensor;
  sensor.q_RW = rotation_x(0.5 * pi);
  const Recording made = record(calibrated(), sensor);
  Recording recording = made;
  const auto measured = measure_record(recording, MeasureRequest{});
  REQUIRE(!measured.ok());
  CHECK(measured.problem().place == "--up");
  // The answer that the question asks for is enough, with the chest.
  recording = made;
  MeasureRequest request;
  request.frame.world_up = SignedAxis{2, 1};
  request.frame.forward = SignedAxis{0, 1};
  check_full(recording, request);
}

TEST_CASE("a wrong answer that the record contradicts is refused") {
  Sensor sensor;
  sensor.q_RW = rotation_x(0.5 * pi);
  sensor.q_SB = rotation_x(0.5 * pi);
  const Recording made = record(calibrated(), sensor);
  const auto refused = [&](const char* place, const FrameAnswers& frame) {
    Recording recording = made;
    MeasureRequest request;
    request.frame = frame;
    const auto measured = measure_record(recording, request);
    REQUIRE(!measured.ok());
    CHECK(measured.problem().place == place);
  };
  FrameAnswers frame;
  frame.world_up = SignedAxis{1, 1};
  refused("--up", frame);
  frame.world_up = SignedAxis{2, 1};
  frame.forward = SignedAxis{0, 1};
  frame.up = SignedAxis{1, 1};
  refused("--axes", frame);
  frame = marks().frame;
  frame.turn->turn_deg = 200;
  refused("--turn", frame);
  frame = marks().frame;
  frame.bow = Span{4.3, 4.6};
  refused("--bow", frame);
}

TEST_CASE("a flip without any word about the chest is asked for it") {
  Sensor sensor;
  sensor.q_SB = exp_rotation(Vec3(0.3, 0.8, -0.5));
  Recording recording = record(calibrated(), sensor);
  const auto measured = measure_record(recording, MeasureRequest{});
  REQUIRE(!measured.ok());
  CHECK(measured.problem().place == "--bow");
}

TEST_CASE("orientations alone are asked for takeoff and landing, and measured with them") {
  Sensor sensor;
  sensor.has_force = false;
  const Story story = calibrated();
  const Recording made = record(story, sensor);
  MeasureRequest request;
  request.frame.world_up = request.frame.up = SignedAxis{1, 1};
  request.frame.forward = SignedAxis{0, 1};
  Recording recording = made;
  const auto measured = measure_record(recording, request);
  REQUIRE(!measured.ok());
  CHECK(measured.problem().place == "--takeoff, --landing");
  request.takeoff_s = story.takeoff;
  request.landing_s = story.landing();
  check_full(made, request);
}

TEST_CASE("a hole in the flight in which whole turns may be lost is refused") {
  const Story story = calibrated(720);
  Recording recording = record(story, Sensor{});
  const std::size_t from = sample_before(recording, story.takeoff + 0.35);
  const auto cut = [&](auto& column) {
    column.erase(column.begin() + static_cast<std::ptrdiff_t>(from),
                 column.begin() + static_cast<std::ptrdiff_t>(from) + 40);
  };
  cut(recording.time);
  cut(recording.orientation);
  cut(recording.force);
  MeasureRequest request;
  request.frame.world_up = request.frame.up = SignedAxis{1, 1};
  request.frame.forward = SignedAxis{0, 1};
  request.takeoff_s = story.takeoff;
  request.landing_s = story.landing();
  const auto measured = measure_record(recording, request);
  REQUIRE(!measured.ok());
  CHECK(measured.problem().text.find("cannot be known") != std::string::npos);
}
