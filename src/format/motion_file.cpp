#include "format/motion_file.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "format/json_reader.hpp"
#include "json_vectors.hpp"
#include "rotation/angle_split.hpp"

namespace halfturn {
namespace {

/// Angles beyond this lose the digits that the accuracy needs.
constexpr double greatest_angle_deg = 1e6;

std::vector<JointTrack::Key> read_keys(const JsonReader& reader) {
  std::vector<JointTrack::Key> keys;
  const std::vector<JsonReader> elements = reader.elements();
  if (!reader.failed() && elements.empty()) reader.complain("is empty, at least one [time, angle] is needed");
  for (const JsonReader& element : elements) {
    const std::vector<JsonReader> pair = element.elements();
    if (reader.failed()) break;
    if (pair.size() != 2) {
      element.complain("a pair [time in s, angle in degrees] is needed");
      break;
    }
    const double time = pair[0].number();
    const double angle_deg = pair[1].number(-greatest_angle_deg, greatest_angle_deg);
    if (!reader.failed() && !keys.empty() && time <= keys.back().time) {
      element.complain(
          fmt::format("time {} is not after the {} s of the key before it", time, keys.back().time));
    }
    if (reader.failed()) break;
    keys.push_back({time, to_rad(angle_deg)});
  }
  return keys;
}

void read_joints(const JsonReader& reader, const BodyTree& body, JointTracks& tracks) {
  for (const auto& [name, joint] : reader.members()) {
    const std::optional<std::size_t> segment = body.find(name);
    if (!segment) {
      joint.complain(fmt::format("the body has no segment \"{}\"", name));
      return;
    }
    const std::string& axes = body.segments()[*segment].axes;
    for (const auto& [letter, track] : joint.members()) {
      if (letter.size() != 1 || axes.find(letter) == std::string::npos) {
        track.complain(axes.empty() ? fmt::format("the joint of \"{}\" has no axes", name)
                                    : fmt::format("the joint of \"{}\" has no axis \"{}\", only \"{}\"", name,
                                                  letter, axes));
        return;
      }
      const std::vector<JointTrack::Key> keys = read_keys(track);
      if (reader.failed()) return;
      for (std::size_t a = 0; a < axes.size(); ++a) {
        if (axes[a] == letter[0]) tracks[body.first_coordinate(*segment) + a] = JointTrack::from_keys(keys);
      }
    }
  }
}

Quat read_takeoff(const JsonReader& reader) {
  reader.expect_keys({"heading_deg", "somersault_deg", "tilt_deg", "twist_deg"});
  const auto angle = [&](std::string_view key) {
    return to_rad(reader.at(key).number(-greatest_angle_deg, greatest_angle_deg));
  };
  return compose_angles(angle("heading_deg"), angle("somersault_deg"), angle("tilt_deg"), angle("twist_deg"));
}

double read_positive(const JsonReader& reader) {
  const double value = reader.number();
  if (!reader.failed() && !(value > 0)) reader.complain(fmt::format("is {}, must be greater than 0", value));
  return value;
}

}  // namespace

Result<MotionFile> read_motion(std::string_view text, const std::string& file, const BodyTree& body) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader reader(&*json, "", &log);
  reader.expect_keys({"format", "version", "name", "duration_s", "output_hz", "takeoff",
                      "angular_momentum_world_kgm2_s", "angular_velocity_body_deg_s", "joints_deg"});
  reader.expect_format("halfturn-motion", 1);
  MotionFile motion;
  if (const auto name = reader.find("name")) motion.name = name->string();
  motion.duration_s = read_positive(reader.at("duration_s"));
  motion.output_hz = read_positive(reader.at("output_hz"));
  if (!reader.failed() && !(motion.duration_s * motion.output_hz <= most_output_rows)) {
    reader.at("output_hz")
        .complain(fmt::format("times duration_s is {:.3g} rows, at most {:.0g} are written",
                              motion.duration_s * motion.output_hz, most_output_rows));
  }
  motion.takeoff_q_WB = read_takeoff(reader.at("takeoff"));
  const auto momentum = reader.find("angular_momentum_world_kgm2_s");
  const auto rate = reader.find("angular_velocity_body_deg_s");
  if (momentum && rate) {
    rate->complain("cannot be given together with angular_momentum_world_kgm2_s: leave one out");
  } else if (momentum) {
    motion.angular_momentum_W = read_vector(*momentum);
  } else if (rate) {
    motion.omega_B = (pi / 180.0) * read_vector(*rate);
  } else {
    reader.at("angular_momentum_world_kgm2_s").complain("is missing (or angular_velocity_body_deg_s)");
  }
  motion.tracks.resize(body.coordinate_count());
  if (const auto joints = reader.find("joints_deg")) {
    if (!reader.failed()) read_joints(*joints, body, motion.tracks);
  }
  if (log.problem) return *log.problem;
  return motion;
}

}  // namespace halfturn
