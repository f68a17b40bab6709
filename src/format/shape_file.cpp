#include "format/shape_file.hpp"

#include <array>
#include <optional>
#include <vector>

#include "built_in.hpp"
#include "format/json_reader.hpp"
#include "format_embedded.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn {
namespace {

/// Segments that a name stands for: one, or a pair with the left one first; empty if the name is unknown.
std::vector<Segment> segments_named(std::string_view name) {
  const std::string left = std::string(name) + "_left";
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    if (segment_name(segment) == name) return {segment};
    if (segment_name(segment) == left) return {segment, other_side(segment)};
  }
  return {};
}

Vec3 read_angles(const JsonReader& reader) {
  reader.expect_keys({"x", "y", "z"});
  Vec3 angles;
  constexpr std::array<const char*, 3> axes{"x", "y", "z"};
  for (int axis = 0; axis < 3; ++axis) {
    if (const std::optional<JsonReader> angle = reader.find(axes[static_cast<std::size_t>(axis)])) {
      angles[axis] = to_rad(angle->number(-360, 360));
    }
  }
  return angles;
}

Pose read_pose(const JsonReader& reader) {
  Pose pose;
  std::array<bool, segment_count> given{};
  for (const auto& [name, value] : reader.members()) {
    const std::vector<Segment> segments = segments_named(name);
    if (segments.empty()) {
      value.complain(
          "no such segment; segments are abdomen, thorax, head, upper_arm, forearm, hand, thigh, shank, "
          "foot, the limbs also with _left or _right");
      continue;
    }
    if (segments.front() == Segment::pelvis) {
      value.complain("the pelvis is the reference segment and has no joint angles");
      continue;
    }
    const Vec3 angles = read_angles(value);
    for (const Segment segment : segments) {
      bool& known = given[static_cast<std::size_t>(segment)];
      if (known) value.complain("this segment is given twice");
      known = true;
      pose[segment] = segment == segments.front() ? angles : Vec3(-angles.x, -angles.y, angles.z);
    }
  }
  return pose;
}

}  // namespace

Result<ShapeBook> read_shapes(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader root(&json.value(), "", &log);
  root.expect_keys({"format", "version", "shapes"});
  root.expect_format("halfturn-shapes", 1);
  ShapeBook shapes;
  for (const auto& [name, shape] : root.at("shapes").members()) {
    shape.expect_keys({"joints_deg"});
    if (name.empty()) shape.complain("a shape needs a name");
    shapes[name] = read_pose(shape.at("joints_deg"));
  }
  if (log.problem) return *log.problem;
  return shapes;
}

ShapeBook embedded_shapes() {
  return built_in(read_shapes(embedded::shapes_json, "assets/shapes.json"));
}

}  // namespace halfturn
