#include "flight/shape_table.hpp"

#include <doctest/doctest.h>
#include <malloc.h>

#include <cmath>

#include "scenarios.hpp"

using namespace halfturn;

TEST_CASE("a table flight errs by less than the accuracy it was made for") {
  // Oracle: SimulatedRotation at 1e-11, itself held against closed forms above.
  const BodyTree tree = human_tree(human_body(Athlete{}));
  for (const scenario::Scenario& scenario : scenario::all()) {
    CAPTURE(scenario.name);
    const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
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

TEST_CASE("memory stays flat over a million flights") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  const scenario::Scenario scenario = scenario::all()[0];
  const JointTracks tracks = scenario::tracks_of(tree, scenario.moves);
  const auto body = std::make_shared<const MovingBody>(tree, tracks, scenario.duration);
  const ShapeTable table(*body, scenario.takeoff, 1e-4);
  const std::vector<Spin> takeoffs(1000, scenario.takeoff);
  std::vector<Quat> ends(takeoffs.size());
  const auto in_use = [] { return mallinfo2().uordblks; };  // bytes on the heap
  const std::size_t before = in_use();
  for (int i = 0; i < 1000; ++i) table.fly(takeoffs, ends);
  CHECK(in_use() == before);  // with the table given not a byte is asked for
  (void)*SimulatedRotation::make(body, scenario.takeoff, 1e-6);
  const std::size_t after_one = in_use();
  for (int i = 0; i < 1000; ++i) (void)*SimulatedRotation::make(body, scenario.takeoff, 1e-6);
  CHECK(in_use() == after_one);
}

TEST_CASE("eight moments at once weigh as one at a time") {
  const BodyTree tree = human_tree(human_body(Athlete{}));
  for (const scenario::Scenario& scenario : scenario::all()) {
    CAPTURE(scenario.name);
    const MovingBody body(tree, scenario::tracks_of(tree, scenario.moves), scenario.duration);
    for (std::size_t piece = 0; piece < body.piece_count(); ++piece) {
      double times[MovingBody::effects_at_once];
      ShapeEffect effects[MovingBody::effects_at_once];
      for (std::size_t k = 0; k < MovingBody::effects_at_once; ++k) {
        const double share = static_cast<double>(k) / (MovingBody::effects_at_once - 1);
        times[k] = body.piece_start(piece) + share * (body.piece_end(piece) - body.piece_start(piece));
      }
      body.effects(piece, times, effects);
      for (std::size_t k = 0; k < MovingBody::effects_at_once; ++k) {
        const ShapeEffect one = body.effect(piece, times[k]);
        for (const auto member :
             {&ShapeEffect::xx, &ShapeEffect::yy, &ShapeEffect::zz, &ShapeEffect::xy, &ShapeEffect::xz,
              &ShapeEffect::yz, &ShapeEffect::drift_x, &ShapeEffect::drift_y, &ShapeEffect::drift_z})
          CHECK(std::abs(effects[k].*member - one.*member) < 1e-13 * (1 + std::abs(one.*member)));
      }
    }
  }
}
