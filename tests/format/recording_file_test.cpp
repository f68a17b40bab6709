#include "format/recording_file.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <glm/geometric.hpp>
#include <iterator>
#include <string>

#include "measure/measure_record.hpp"

using namespace halfturn;

namespace {

/// A header and twenty rows of the same cells, 10 ms apart in the unit of the time; quaternion w, x, y, z =
/// 0.5, -0.5, 0.5, 0.5 stands where the letters are.
std::string record(const std::string& header, const std::string& cells, double time_step, int decimals = 6) {
  std::string text = header + "\n";
  for (int i = 0; i < 20; ++i) {
    char time[64];
    std::snprintf(time, sizeof time, "%.*f", decimals, i * time_step);
    text += time + cells + "\n";
  }
  return text;
}

}  // namespace

TEST_CASE("time, quaternion and accelerometer are known by any sensible name, in any order") {
  struct Row {
    const char *header, *cells;
    double step;
  };
  for (const Row& row : {
           Row{"time_s,qw,qx,qy,qz,acc_x,acc_y,acc_z", ",0.5,-0.5,0.5,0.5,0,9.8,0", 0.01},
           Row{"Time (ms);q_x;q_y;q_z;q_w;ax;ay;az", ";-0,5;0,5;0,5;0,5;0;1,0;0", 10},
           Row{"timestamp_us,quat.w,quat.x,quat.y,quat.z,AccelX[g],AccelY[g],AccelZ[g]",
               ",0.5,-0.5,0.5,0.5,0,1,0", 1e4},
           Row{"t_ns,w,x,y,z,accelerationX,accelerationY,accelerationZ", ",0.5,-0.5,0.5,0.5,0,9.8,0", 1e7},
           Row{"seconds_elapsed\tqz\tqy\tqx\tqw\taccX(m/s\xC2\xB2)\taccY(m/s\xC2\xB2)\taccZ(m/s\xC2\xB2)",
               "\t0.5\t0.5\t-0.5\t0.5\t0\t9.8\t0", 0.01},
           Row{"timestamp,q0,q1,q2,q3,acc_x_mg,acc_y_mg,acc_z_mg", ",0.5,-0.5,0.5,0.5,0,1000,0", 0.01},
           Row{"# a "
               "comment\n\"time_s\",\"orientationW\",\"orientationX\",\"orientationY\",\"orientationZ\",note,"
               "ax,ay,az",
               ",\"0.5\",-0.5,0.5,+0.5,slow,0,9.8,0", 0.01},
       }) {
    CAPTURE(row.header);
    const auto recording = read_recording(record(row.header, row.cells, row.step), "r.csv");
    REQUIRE_MESSAGE(recording.ok(), recording.problem().message());
    CHECK(recording->size() == 20);
    CHECK(std::abs(recording->step - 0.01) < 1e-7);
    CHECK(std::abs(recording->time.back() - 0.19) < 1e-9);
    CHECK(angle_between(recording->orientation[3], Quat(0.5, -0.5, 0.5, 0.5)) < 1e-12);
    REQUIRE(recording->force.size() == 20);
    CHECK(std::abs(static_cast<double>(glm::length(recording->force[0])) - 9.8) < 0.01);
  }
}

TEST_CASE("names that begin like a number are names") {
  for (const char* header : {"info,time_s,qw,qx,qy,qz", "nanoseconds_elapsed,time_s,qw,qx,qy,qz",
                             "inf,time_s,qw,qx,qy,qz", "2nd clock,time_s,qw,qx,qy,qz"}) {
    CAPTURE(header);
    std::string text = std::string(header) + "\n";
    for (int i = 0; i < 20; ++i) text += "x," + std::to_string(i) + "e-2,1,0,0,0\n";
    const auto recording = read_recording(text, "r.csv");
    REQUIRE_MESSAGE(recording.ok(), recording.problem().message());
    CHECK(std::abs(recording->time.back() - 0.19) < 1e-9);
  }
  CHECK(read_recording("0.01,0,0,0\n0.02,0,0,0\n", "r.csv").problem().text.find("without a header") !=
        std::string::npos);
}

TEST_CASE("times count from the first row, exactly where the clock runs since 1970") {
  // 2026-11-25T00:00:00Z is 1795564800 s after 1970 (POSIX: 86400 s a day); a step of 2.5 ms.
  std::string nanoseconds = "time_ns,qw,qx,qy,qz\n", seconds = "time_s,qw,qx,qy,qz\n";
  for (int i = 0; i < 400; ++i) {
    char row[80];
    std::snprintf(row, sizeof row, "1795564800%09d,1,0,0,0\n", 123456789 + i * 2500000 % 1000000000);
    if (123456789 + i * 2500000 < 1000000000) nanoseconds += row;
    std::snprintf(row, sizeof row, "1795564800.%06d,1,0,0,0\n", i * 2500);
    if (i * 2500 < 1000000) seconds += row;
  }
  const auto fine = read_recording(nanoseconds, "r.csv");
  REQUIRE_MESSAGE(fine.ok(), fine.problem().message());
  CHECK(fine->time[0] == 0);
  // A double near 1.8e18 steps by 256: counted as doubles, times would be out by up to 1.3e-7 s.
  for (std::size_t i = 0; i < fine->size(); ++i)
    CHECK(std::abs(fine->time[i] - static_cast<double>(i) * 0.0025) < 1e-12);
  CHECK(std::abs(fine->clock_start - 1795564800.123456789) < 1e-6);
  const auto coarse = read_recording(seconds, "r.csv");
  REQUIRE_MESSAGE(coarse.ok(), coarse.problem().message());
  // The nearest double to such a second is up to 1.2e-7 s away.
  for (std::size_t i = 0; i < coarse->size(); ++i)
    CHECK(std::abs(coarse->time[i] - static_cast<double>(i) * 0.0025) < 2.5e-7);
  bool told = false;
  for (const Convention& convention : coarse->conventions)
    told = told ||
           (convention.what == "second 0" && convention.how.find("1795564800.000000") != std::string::npos);
  CHECK(told);
}

TEST_CASE("degrees and radians a second are told apart by the header or asked for") {
  const std::string cells = ",90,0,0,0,9.8,0";
  const auto read = [&](const std::string& header, const ColumnAnswers& answers = {}) {
    return read_recording(record("t," + header + ",ax,ay,az", cells, 0.01), "r.csv", answers);
  };
  for (const char* header : {"gyro_x_deg_s,gyro_y_deg_s,gyro_z_deg_s", "wx (dps),wy (dps),wz (dps)",
                             "gyrX [\xC2\xB0/s],gyrY [\xC2\xB0/s],gyrZ [\xC2\xB0/s]"}) {
    CAPTURE(header);
    const auto recording = read(header);
    REQUIRE_MESSAGE(recording.ok(), recording.problem().message());
    CHECK(std::abs(static_cast<double>(recording->rate[0].x) - pi / 2) < 1e-6);
  }
  const auto radians = read("angularVelocityX(rad/s),angularVelocityY(rad/s),angularVelocityZ(rad/s)");
  REQUIRE_MESSAGE(radians.ok(), radians.problem().message());
  CHECK(radians->rate[0].x == 90);
  const auto open = read("gyro_x,gyro_y,gyro_z");
  REQUIRE(!open.ok());
  CHECK(open.problem().place == "--rate-unit");
  ColumnAnswers answers;
  answers.rate_unit_rad_s = 1;
  CHECK(read("gyro_x,gyro_y,gyro_z", answers).ok());
}

TEST_CASE("columns that are no orientation, rate or reading of gravity are left alone") {
  // Acceleration without gravity, gravity alone and the magnetometer.
  const auto recording = read_recording(record("time_s,qw,qx,qy,qz,linear_acceleration_x,linear_acceleration_"
                                               "y,linear_acceleration_z,gravity_x,gravity_y,"
                                               "gravity_z,mag_x,mag_y,mag_z",
                                               ",1,0,0,0,1,2,3,4,5,6,7,8,9", 0.01),
                                        "r.csv");
  REQUIRE_MESSAGE(recording.ok(), recording.problem().message());
  CHECK(recording->force.empty());
  CHECK(recording->rate.empty());
  CHECK(recording->place.empty());
}

TEST_CASE("rows of other sensors with empty cells are counted and left out") {
  std::string text = record("time_ms,qw,qx,qy,qz,heart", ",1,0,0,0,", 10);
  text += "195,,,,,72\n205,1,0,0,0,\n";
  const auto recording = read_recording(text, "r.csv");
  REQUIRE_MESSAGE(recording.ok(), recording.problem().message());
  CHECK(recording->size() == 21);
  CHECK(recording->empty_rows == 1);
}

TEST_CASE("a time whose unit neither header nor steps tell is asked for") {
  // Steps of 0.2: two tenths of a second are too slow, 0.2 ms too fast for a sensor.
  const auto recording = read_recording(record("t,qw,qx,qy,qz", ",1,0,0,0", 0.2), "r.csv");
  REQUIRE(!recording.ok());
  CHECK(recording.problem().place == "--time-unit");
}

TEST_CASE("what the fuzzer found worth keeping is read and measured without harm") {
  // The first byte of a file says which questions are answered, as in tests/fuzz.
  int files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(TEST_DATA "/records")) {
    CAPTURE(entry.path().string());
    std::ifstream file(entry.path(), std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    REQUIRE(!bytes.empty());
    ++files;
    for (const bool answered : {false, true}) {
      auto recording = read_recording(std::string_view(bytes).substr(1), "r.csv");
      if (!recording) {
        CHECK(!recording.problem().text.empty());
        continue;
      }
      Recording taken = *std::move(recording);
      MeasureRequest request;
      if (answered) {
        request.frame.world_up = request.frame.up = SignedAxis{1, 1};
        request.frame.forward = SignedAxis{0, 1};
        request.frame.rest_reads_down = false;
        request.flight = 1;
      }
      const auto measured = measure_record(taken, request);
      if (measured) {
        const FlightMeasures& m = measured->measures.flight;
        CHECK(std::isfinite(m.air_time_s));
        CHECK(std::isfinite(m.twist_deg.value_or(0)));
        CHECK(std::isfinite(m.somersault_deg.value_or(0)));
        CHECK(std::isfinite(measured->measures.doubt.twist_deg));
      } else {
        CHECK(!measured.problem().text.empty());
      }
    }
  }
  CHECK(files > 5);
}
