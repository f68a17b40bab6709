#include "format/shape_file.hpp"

#include <doctest/doctest.h>

#include <array>
#include <string>

#include "rotation/quaternion.hpp"

using namespace halfturn;

namespace {

/// Range of a joint, degrees, for a left limb or the trunk.
struct Range {
  Segment segment;
  Vec3 low, high;  // x, y, z
};

// Ranges of motion. Normal adult: American Academy of Orthopaedic Surgeons, Joint Motion (1965): hip flexion
// 120, extension 30, abduction 45; knee 135; ankle 50 down, 20 up; shoulder 180 forward and sideways; elbow
// 150. Wider where trained gymnasts are (common practice): hip flexion 125, abduction 60, knee 145, toes with
// the fore-foot 65. Trunk is split between abdomen and thorax: flexion 80, extension 30 in all (AAOS), 40
// trained.
constexpr std::array<Range, 9> ranges{{
    {Segment::abdomen, {-20, -25, -40}, {20, 25, 20}},
    {Segment::thorax, {-20, -25, -40}, {20, 25, 20}},
    {Segment::head, {-40, -80, -45}, {40, 80, 45}},
    {Segment::upper_arm_left, {-30, -90, -60}, {180, 90, 180}},
    {Segment::forearm_left, {0, -90, 0}, {0, 90, 150}},
    {Segment::hand_left, {-30, -90, -80}, {30, 90, 80}},
    {Segment::thigh_left, {-20, -45, -30}, {60, 45, 125}},
    {Segment::shank_left, {0, -20, -145}, {0, 20, 5}},
    {Segment::foot_left, {-20, -20, -65}, {20, 20, 20}},
}};

}  // namespace

TEST_CASE("every shape of the program stays within the range of its joints") {
  const ShapeBook shapes = embedded_shapes();
  for (const auto& [name, pose] : shapes) {
    for (const Range& range : ranges) {
      for (const Pose& side : {pose, mirrored(pose)}) {
        for (int axis = 0; axis < 3; ++axis) {
          CAPTURE(name);
          CAPTURE(std::string(segment_name(range.segment)));
          CAPTURE(axis);
          const double angle_deg = to_deg(side[range.segment][axis]);
          CHECK(angle_deg >= range.low[axis] - 1e-9);
          CHECK(angle_deg <= range.high[axis] + 1e-9);
        }
      }
    }
    CHECK(pose[Segment::pelvis] == Vec3());
  }
}

TEST_CASE("the program has the shapes that flights are made of") {
  const ShapeBook shapes = embedded_shapes();
  for (const char* name :
       {"standing", "ready",     "arms up",  "set",         "set wide",     "layout",       "arch",
        "tuck",     "pike",      "straddle", "leg swing",   "wrap",         "one arm down", "open",
        "landing",  "butterfly", "chamber",  "inside kick", "outside kick", "hop"}) {
    CAPTURE(name);
    CHECK(shapes.contains(name));
  }
  for (const char* name : {"standing", "arms up", "set", "set wide", "layout", "arch", "tuck", "pike",
                           "straddle", "wrap", "open", "landing", "butterfly"}) {
    CAPTURE(name);
    CHECK(mirrored(shapes.at(name)) == shapes.at(name));
  }
}

// FIG trampoline position limits: tuck has hip and knee angle 135 or less, pike hip 135 or less and knee over
// 135, straight hip over 135 (angles between trunk and thigh, thigh and shin).
TEST_CASE("tuck, pike and straight count as such by the trampoline rules") {
  const ShapeBook shapes = embedded_shapes();
  const auto hip_deg = [&](const char* name) {
    const Pose& pose = shapes.at(name);
    return 180 - to_deg(pose[Segment::thigh_left].z - pose[Segment::abdomen].z - pose[Segment::thorax].z);
  };
  const auto knee_deg = [&](const char* name) {
    return 180 + to_deg(shapes.at(name)[Segment::shank_left].z);
  };
  CHECK(hip_deg("tuck") <= 135);
  CHECK(knee_deg("tuck") <= 135);
  CHECK(hip_deg("pike") <= 135);
  CHECK(knee_deg("pike") > 135);
  for (const char* name : {"layout", "set", "set wide", "wrap", "open"}) {
    CAPTURE(name);
    CHECK(hip_deg(name) > 135);
    CHECK(knee_deg(name) > 135);
  }
}

TEST_CASE("a limb without a side stands for both, written for the left one") {
  const Result<ShapeBook> shapes = read_shapes(
      R"({"format":"halfturn-shapes","version":1,"shapes":{"a":{"joints_deg":{"thigh":{"x":10,"y":20,"z":30},"head":{"y":5}}}}})",
      "a.json");
  REQUIRE(shapes.ok());
  const Pose& pose = shapes->at("a");
  CHECK(pose[Segment::thigh_left] == Vec3(to_rad(10), to_rad(20), to_rad(30)));
  CHECK(pose[Segment::thigh_right] == Vec3(-to_rad(10), -to_rad(20), to_rad(30)));
  CHECK(pose[Segment::head] == Vec3(0, to_rad(5), 0));
}

TEST_CASE("a shape file's mistakes are named with file and key") {
  struct Mistake {
    const char* shapes;
    const char* place;
  };
  for (const Mistake& mistake : {
           Mistake{R"({"a":{"joints_deg":{"thigh":{"q":1}}}})", "shapes.a.joints_deg.thigh"},
           Mistake{R"({"a":{"joints_deg":{"tail":{"z":1}}}})", "shapes.a.joints_deg.tail"},
           Mistake{R"({"a":{"joints_deg":{"pelvis":{"z":1}}}})", "shapes.a.joints_deg.pelvis"},
           Mistake{R"({"a":{"joints_deg":{"thigh":{"z":"up"}}}})", "shapes.a.joints_deg.thigh.z"},
           Mistake{R"({"a":{"joints_deg":{"thigh":{"z":720}}}})", "shapes.a.joints_deg.thigh.z"},
           Mistake{R"({"a":{"joints_deg":{"thigh":{},"thigh_left":{}}}})", "shapes.a.joints_deg.thigh_left"},
           Mistake{R"({"a":{}})", "shapes.a.joints_deg"},
       }) {
    const std::string text =
        std::string(R"({"format":"halfturn-shapes","version":1,"shapes":)") + mistake.shapes + "}";
    const Result<ShapeBook> shapes = read_shapes(text, "mine.json");
    REQUIRE_FALSE(shapes.ok());
    CHECK(shapes.problem().file == "mine.json");
    CHECK(shapes.problem().place == mistake.place);
  }
  CHECK_FALSE(read_shapes("{", "mine.json").ok());
  CHECK(read_shapes(R"({"format":"halfturn-plan","version":1,"shapes":{}})", "mine.json").problem().place ==
        "format");
}
