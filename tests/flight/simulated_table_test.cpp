#include "flight/shape_table.hpp"

#include <doctest/doctest.h>

#include <glm/geometric.hpp>

#include "body/human.hpp"
#include "flight/simulated.hpp"

using namespace halfturn;

TEST_CASE("a table flight errs by less than the accuracy it was made for") {
  // Oracle: SimulatedRotation at 1e-11, itself held against closed forms above.
  const BodyTree tree = human_tree(human_body(Athlete{}));
  struct Scenario {
    const char* name;
    double duration;
    Spin takeoff;
    std::vector<std::pair<std::string, std::vector<JointTrack::Key>>> moves;  // "segment axis"
  };
  const auto spin = [](double tilt_deg, double momentum) {
    return Spin{rotation_x(to_rad(tilt_deg)), Vec3(0, 0, momentum)};
  };
  const std::vector<Scenario> scenarios{
      {"layout, rigid", 1.0, spin(4, 60), {}},
      {"layout, arm lowered", 1.0, spin(0, 60), {{"upper_arm_right x", {{0, -2.8}, {0.1, -2.8}, {0.35, 0}}}}},
      {"twist and open",
       1.0,
       spin(6, 75),
       {{"upper_arm_right x", {{0, -2.5}, {0.05, -2.5}, {0.3, -0.1}, {0.7, -0.1}, {0.9, -1.5}}},
        {"upper_arm_left x", {{0.7, 0.1}, {0.9, 1.5}}}}},
      {"tuck and open",
       1.3,
       spin(1, 55),
       {{"thigh_left z", {{0.05, 0}, {0.3, 2.2}, {0.9, 2.2}, {1.15, 0.2}}},
        {"thigh_right z", {{0.05, 0}, {0.3, 2.2}, {0.9, 2.2}, {1.15, 0.2}}},
        {"shank_left z", {{0.05, 0}, {0.3, -2.2}, {0.9, -2.2}, {1.15, -0.1}}},
        {"shank_right z", {{0.05, 0}, {0.3, -2.2}, {0.9, -2.2}, {1.15, -0.1}}},
        {"upper_arm_left z", {{0.05, 2.8}, {0.35, 0.6}, {0.9, 0.6}, {1.2, 2.5}}},
        {"upper_arm_right z", {{0.05, 2.8}, {0.35, 0.6}, {0.9, 0.6}, {1.2, 2.5}}},
        {"forearm_left z", {{0.05, 0}, {0.35, 1.2}, {0.9, 1.2}, {1.2, 0}}},
        {"forearm_right z", {{0.05, 0}, {0.35, 1.2}, {0.9, 1.2}, {1.2, 0}}},
        {"head z", {{0.05, 0}, {0.3, -0.5}, {0.9, -0.5}, {1.1, 0}}},
        {"abdomen z", {{0.05, 0}, {0.3, -0.5}, {0.9, -0.5}, {1.1, 0}}}}}};
  for (const Scenario& scenario : scenarios) {
    CAPTURE(scenario.name);
    JointTracks tracks(tree.coordinate_count());
    for (const auto& [joint, keys] : scenario.moves) {
      const std::size_t segment = *tree.find(joint.substr(0, joint.size() - 2));
      const std::size_t axis = tree.segments()[segment].axes.find(joint.back());
      tracks[tree.first_coordinate(segment) + axis] = JointTrack::from_keys(keys);
    }
    const auto body = std::make_shared<const MovingBody>(tree, tracks, scenario.duration);
    for (const double accuracy : {1e-4, 1e-6, 1e-8}) {
      const ShapeTable table(*body, scenario.takeoff, accuracy);
      double worst = 0;
      for (const double factor : {0.8, 0.9, 1.0, 1.1}) {
        Spin takeoff = scenario.takeoff;
        takeoff.angular_momentum_W *= factor;
        const SimulatedRotation exact = *SimulatedRotation::make(body, takeoff, 1e-11);
        std::vector<Quat> knots(table.times().size());
        table.fly(takeoff, knots);
        for (std::size_t k = 0; k < knots.size(); ++k)
          worst = std::max(worst, angle_between(knots[k], exact.orientation(table.times()[k])));
      }
      CHECK(worst < accuracy);
    }
  }
}

TEST_CASE("flights side by side are flights one at a time, to the bit") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  JointTracks tracks(tree.coordinate_count());
  tracks[tree.first_coordinate(*tree.find("upper_arm_right")) + 1] =
      JointTrack::from_keys({{0.1, -2.8}, {0.35, 0}});
  const MovingBody body(tree, tracks, 1.0);
  const ShapeTable table(body, {Quat(1, 0, 0, 0), Vec3(0, 0, 60)}, 1e-6);
  for (const std::size_t count : {1U, 7U, 8U, 21U}) {
    std::vector<Spin> takeoffs(count);
    for (std::size_t i = 0; i < count; ++i)
      takeoffs[i] = {rotation_x(0.01 * double(i)), Vec3(0, double(i), 55 + double(i))};
    std::vector<Quat> ends(count);
    table.fly(takeoffs, ends);
    for (std::size_t i = 0; i < count; ++i) CHECK(ends[i] == table.fly(takeoffs[i]));
  }
}
