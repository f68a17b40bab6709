// The chain of de Leva's mean subjects against two tables made outside this program.
#include <doctest/doctest.h>

#include <cmath>
#include <glm/geometric.hpp>
#include <map>

#include "body/mass_properties.hpp"
#include "csv.hpp"
#include "flight/simulated.hpp"
#include "rotation/angle_split.hpp"

using namespace halfturn;

namespace {

struct Measures {
  double length, mass, com;  // m, kg, m from the first end
  Vec3 moments;              // sagittal, longitudinal, transverse: about x, y, z of a hanging limb
};

Measures measures(const std::string& name, const std::string& sex, double body_mass) {
  for (const auto& row : read_table("de_leva_1996_table4.csv")) {
    if (row.at("segment") != name) continue;
    Measures m;
    m.length = number(row, "length_" + sex + "_mm") / 1000;
    m.mass = number(row, "mass_" + sex + "_pct") / 100 * body_mass;
    m.com = number(row, "cm_" + sex + "_pct") / 100 * m.length;
    const auto moment = [&](const std::string& axis) {
      const double radius = number(row, "r_" + axis + "_" + sex + "_pct") / 100 * m.length;
      return m.mass * radius * radius;
    };
    m.moments = {moment("sag"), moment("lon"), moment("tra")};
    return m;
  }
  FAIL("no segment " << name);
  return {};
}

/// The chain with the placement that the header of whole_body_inertia_model.csv states.
BodyTree chain(const std::string& sex, bool feet_flat) {
  const double mass = sex == "M" ? 73.0 : 61.9;
  std::vector<TreeSegment> parts;
  const auto add = [&](const std::string& name, const std::string& row, std::optional<std::size_t> parent,
                       Vec3 joint, double com_y_from_joint, Vec3 com = Vec3(0)) {
    const Measures m = measures(row, sex, mass);
    TreeSegment part{name, parent, joint, parent ? "zxy" : "", m.mass, com, Mat3(0)};
    part.com.y += com_y_from_joint;
    for (int i = 0; i < 3; ++i) part.inertia_about_com[i][i] = m.moments[i];
    parts.push_back(part);
    return parts.size() - 1;
  };
  const auto of = [&](const std::string& row) { return measures(row, sex, mass); };
  const double shoulders = of("trunk_alt2").length;
  const double neck = of("trunk_alt1").length;
  add("trunk", "trunk_alt2", std::nullopt, Vec3(0), shoulders - of("trunk_alt2").com);
  add("head", "head_alt", 0, {0, neck, 0}, of("head_alt").length - of("head_alt").com);
  for (const double side : {-1.0, 1.0}) {
    const std::string end = side < 0 ? "_left" : "_right";
    const double shoulder = side * (sex == "M" ? 0.170 : 0.155);
    const std::size_t upper =
        add("upper_arm" + end, "upper_arm", 0, {0, shoulders, shoulder}, -of("upper_arm").com);
    const std::size_t fore =
        add("forearm" + end, "forearm", upper, {0, -of("upper_arm").length, 0}, -of("forearm").com);
    add("hand" + end, "hand", fore, {0, -of("forearm").length, 0}, -of("hand").com);
    const std::size_t thigh = add("thigh" + end, "thigh", 0, {0, 0, side * 0.085}, -of("thigh").com);
    const std::size_t shank =
        add("shank" + end, "shank_alt1", thigh, {0, -of("thigh").length, 0}, -of("shank_alt1").com);
    const Measures foot = of("foot");
    const Vec3 ankle(0, -of("shank_alt1").length, 0);
    if (feet_flat) {
      const std::size_t f =
          add("foot" + end, "foot", shank, ankle, -0.04, {foot.com - foot.length / 4, 0, 0});
      parts[f].inertia_about_com = Mat3(0);
      parts[f].inertia_about_com[0][0] = foot.moments.y;
      parts[f].inertia_about_com[1][1] = foot.moments.x;
      parts[f].inertia_about_com[2][2] = foot.moments.z;
    } else {
      add("foot" + end, "foot", shank, ankle, foot.length / 4 - foot.com);
    }
  }
  return *BodyTree::make(parts, 0);
}

void set(const BodyTree& tree, std::vector<double>& angles, const std::string& part, char axis,
         double degrees) {
  const std::size_t segment = *tree.find(part);
  angles[tree.first_coordinate(segment) + tree.segments()[segment].axes.find(axis)] = to_rad(degrees);
}

}  // namespace

TEST_CASE("the inertia of de Leva's chain is that of the table in eight postures") {
  struct Posture {
    double left_arm, right_arm;  // up sideways, degrees
    double arms_forward, hips, knees;
  };
  const std::map<std::string, Posture> postures{
      {"standing", {0, 0, 0, 0, 0}},
      {"straight, arms at sides", {0, 0, 0, 0, 0}},
      {"straight, arms overhead", {180, 180, 0, 0, 0}},
      {"straight, arms out", {90, 90, 0, 0, 0}},
      {"straight, left arm up", {180, 0, 0, 0, 0}},
      {"pike", {0, 0, 75, 130, 0}},
      {"open pike", {0, 0, 45, 90, 0}},
      {"tuck", {0, 0, 60, 130, 130}},
  };
  for (const auto& row : read_table("whole_body_inertia_model.csv")) {
    const std::string& name = row.at("posture");
    CAPTURE(name);
    const Posture* posture = nullptr;
    for (const auto& [start, candidate] : postures) {
      if (name.rfind(start, 0) == 0) posture = &candidate;
    }
    REQUIRE(posture != nullptr);
    const BodyTree tree = chain(row.at("sex"), name.find("feet flat") != std::string::npos);
    std::vector<double> angles(tree.coordinate_count(), 0.0);
    set(tree, angles, "upper_arm_left", 'x', posture->left_arm);
    set(tree, angles, "upper_arm_right", 'x', -posture->right_arm);
    for (const char* end : {"_left", "_right"}) {
      set(tree, angles, std::string("upper_arm") + end, 'z', posture->arms_forward);
      set(tree, angles, std::string("thigh") + end, 'z', posture->hips);
      set(tree, angles, std::string("shank") + end, 'z', -posture->knees);
    }
    const MassProperties whole = mass_properties(tree, angles);
    CHECK(std::abs(whole.mass - number(row, "mass_kg")) < 1e-9);
    CHECK(glm::length(whole.com - Vec3(number(row, "com_x"), number(row, "com_y"), number(row, "com_z"))) <
          1e-9);
    const Mat3& i = whole.inertia;
    CHECK(std::abs(i[0][0] - number(row, "Ixx")) < 1e-9);
    CHECK(std::abs(i[1][1] - number(row, "Iyy")) < 1e-9);
    CHECK(std::abs(i[2][2] - number(row, "Izz")) < 1e-9);
    // The table's sign of a product is not stated in its header: the size is compared.
    CHECK(std::abs(std::abs(i[0][1]) - std::abs(number(row, "Ixy"))) < 1e-9);
    CHECK(std::abs(std::abs(i[1][2]) - std::abs(number(row, "Iyz"))) < 1e-9);
    CHECK(std::abs(std::abs(i[2][0]) - std::abs(number(row, "Izx"))) < 1e-9);
  }
}

TEST_CASE("one arm swung without angular momentum tilts the body as the table says") {
  // Oracle: arm_swing_tilt.csv, quadrature of the planar momentum balance; 12 digits.
  for (const auto& row : read_table("arm_swing_tilt.csv")) {
    CAPTURE(row.at("note"));
    const BodyTree tree = chain(row.at("sex"), false);
    JointTracks tracks(tree.coordinate_count());
    const auto track = [&](const std::string& part) -> JointTrack& {
      return tracks[tree.first_coordinate(*tree.find(part)) + 1];
    };
    track("upper_arm_left").start = to_rad(number(row, "left_arm_elevation_deg"));
    const double from = -to_rad(number(row, "right_arm_from_deg"));
    const double to = -to_rad(number(row, "right_arm_to_deg"));
    track("upper_arm_right") = JointTrack::from_keys({{0.05, from}, {0.3, to}});
    const SimulatedRotation rotation = *SimulatedRotation::make(
        std::make_shared<const MovingBody>(tree, tracks, 0.4), {Quat(1, 0, 0, 0), Vec3(0)}, 1e-11);
    const AngleSplit split = split_angles(rotation.orientations().back(), 0);
    CHECK(std::abs(to_deg(split.tilt) - number(row, "tilt_deg")) < 1e-9);
    CHECK(std::abs(split.somersault) < 1e-12);
    CHECK(std::abs(split.twist) < 1e-12);
  }
}
