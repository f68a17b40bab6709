#include "flight/simulated.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "body/human.hpp"
#include "csv.hpp"

using namespace halfturn;

namespace {

BodyTree rigid_body(const Vec3& moments) {
  TreeSegment segment;
  segment.name = "body";
  segment.mass = 1;
  for (int i = 0; i < 3; ++i) segment.inertia_about_com[i][i] = moments[i];
  return *BodyTree::make({segment}, 0);
}

std::shared_ptr<const MovingBody> moving(const BodyTree& tree, const JointTracks& tracks, double duration) {
  return std::make_shared<const MovingBody>(tree, tracks, duration);
}

}  // namespace

TEST_CASE("a rigid body turns as Euler's closed form says") {
  // Oracle: torque_free_rigid_body.csv, 25 digits by two unrelated routes.
  const auto rows = read_table("torque_free_rigid_body.csv");
  for (const auto& set : read_table("torque_free_sets.csv")) {
    CAPTURE(set.at("set"));
    // C and E break the triangle inequality, so no body has such moments; they serve in tests/rotation.
    if (set.at("set") == "C" || set.at("set") == "E") continue;
    const Vec3 moments(number(set, "Ix"), number(set, "Iy"), number(set, "Iz"));
    const Quat q0(number(set, "q0w"), number(set, "q0x"), number(set, "q0y"), number(set, "q0z"));
    const Vec3 omega0(number(set, "w0x"), number(set, "w0y"), number(set, "w0z"));
    double duration = 0;
    for (const auto& row : rows) {
      if (row.at("set") == set.at("set")) duration = std::max(duration, number(row, "t_s"));
    }
    const auto body = moving(rigid_body(moments), {}, duration);
    const Spin takeoff{q0, q0 * (moments * omega0)};
    for (const double accuracy : {1e-3, 1e-6, 1e-9, 1e-11}) {
      CAPTURE(accuracy);
      const Result<SimulatedRotation> rotation = SimulatedRotation::make(body, takeoff, accuracy);
      REQUIRE_MESSAGE(rotation.ok(), (rotation.ok() ? "" : rotation.problem().message()));
      double worst = 0;
      for (const auto& row : rows) {
        if (row.at("set") != set.at("set")) continue;
        const double time = number(row, "t_s");
        const Quat expected(number(row, "qw"), number(row, "qx"), number(row, "qy"), number(row, "qz"));
        const Vec3 omega(number(row, "wx_rad_s"), number(row, "wy_rad_s"), number(row, "wz_rad_s"));
        const Quat q = rotation->orientation(time);
        worst = std::max(worst, angle_between(q, expected));
        CHECK(glm::length(rotation->rate(time, q) - omega) <= 20 * std::max(accuracy, 2e-12));
      }
      // Set B lasts 100 s beside the separatrix, where rounding itself grows.
      CHECK(worst <= std::max(accuracy, set.at("set") == "B" ? 1e-10 : 1e-11));
    }
  }
}
