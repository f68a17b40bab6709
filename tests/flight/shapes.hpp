#pragma once

#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>

#include "body/pose.hpp"
#include "rotation/heading.hpp"

namespace halfturn::test {

/// The program's shapes, read without the format layer, which this test does not link.
inline std::shared_ptr<const ShapeBook> shapes() {
  std::ifstream file(SHAPES_JSON);
  const nlohmann::json json = nlohmann::json::parse(file);
  auto book = std::make_shared<ShapeBook>();
  for (const auto& [name, shape] : json.at("shapes").items()) {
    Pose& pose = (*book)[name];
    for (const auto& [limb, angles] : shape.at("joints_deg").items()) {
      const Vec3 turn(to_rad(angles.value("x", 0.0)), to_rad(angles.value("y", 0.0)),
                      to_rad(angles.value("z", 0.0)));
      for (std::size_t s = 0; s < segment_count; ++s) {
        const auto segment = static_cast<Segment>(s);
        if (segment_name(segment) == limb) pose[segment] = turn;
        if (segment_name(segment) != limb + "_left") continue;
        pose[segment] = turn;
        pose[other_side(segment)] = Vec3(-turn.x, -turn.y, turn.z);
      }
    }
  }
  return book;
}

}  // namespace halfturn::test
