#include "handout/model.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstring>
#include <glm/gtc/quaternion.hpp>

#include "body/human.hpp"
#include "format/json_reader.hpp"
#include "format/orientation_csv.hpp"
#include "mesh.hpp"
#include "scene/figure_parts.hpp"
#include "scene/palette.hpp"

namespace halfturn {
namespace {

// Numbers of the glTF 2.0 specification (Khronos Group, 2021), section 5.
constexpr int float_component = 5126, unsigned_int_component = 5125;
constexpr int array_buffer = 34962, element_array_buffer = 34963;
constexpr std::uint32_t magic = 0x46546C67, json_chunk = 0x4E4F534A, binary_chunk = 0x004E4942;

double linear(std::uint32_t channel) {
  const double s = channel / 255.0;
  return s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4);
}

class Writer {
 public:
  Writer() {
    root_ = {{"asset", {{"version", "2.0"}, {"generator", "halfturn"}}},
             {"scene", 0},
             {"scenes", {{{"nodes", Json::array()}}}},
             {"nodes", Json::array()},
             {"meshes", Json::array()},
             {"materials", Json::array()},
             {"accessors", Json::array()},
             {"bufferViews", Json::array()}};
  }

  std::size_t add_node(Json node) {
    root_["nodes"].push_back(std::move(node));
    return root_["nodes"].size() - 1;
  }
  Json& node(std::size_t index) { return root_["nodes"][index]; }
  void add_to_scene(std::size_t node) { root_["scenes"][0]["nodes"].push_back(node); }

  std::size_t add_mesh(const std::string& name, const Meshes& meshes) {
    Json primitives = Json::array();
    for (const auto& [color, mesh] : meshes) {
      primitives.push_back({{"attributes",
                             {{"POSITION", add_vectors(mesh.positions, array_buffer, true)},
                              {"NORMAL", add_vectors(mesh.normals, array_buffer, false)}}},
                            {"indices", add_indices(mesh.indices)},
                            {"material", material(color)}});
    }
    root_["meshes"].push_back({{"name", name}, {"primitives", std::move(primitives)}});
    return root_["meshes"].size() - 1;
  }

  /// Floats in groups: "SCALAR", "VEC3", "VEC4". `bounds` adds the least and greatest values.
  std::size_t add_floats(const std::vector<float>& values, std::size_t group, const char* type, int target,
                         bool bounds) {
    Json accessor{{"bufferView", add_view(values.data(), values.size() * sizeof(float), target)},
                  {"componentType", float_component},
                  {"count", values.size() / group},
                  {"type", type}};
    if (bounds) {
      std::vector<float> least(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(group));
      std::vector<float> greatest = least;
      for (std::size_t i = 0; i < values.size(); ++i) {
        least[i % group] = std::min(least[i % group], values[i]);
        greatest[i % group] = std::max(greatest[i % group], values[i]);
      }
      accessor["min"] = least;
      accessor["max"] = greatest;
    }
    root_["accessors"].push_back(std::move(accessor));
    return root_["accessors"].size() - 1;
  }

  void add_animation(const std::string& name, Json channels, Json samplers) {
    root_["animations"] = {
        {{"name", name}, {"channels", std::move(channels)}, {"samplers", std::move(samplers)}}};
  }

  std::string bytes() {
    root_["buffers"] = {{{"byteLength", buffer_.size()}}};
    std::string json = root_.dump(-1, ' ', true);
    json.append((4 - json.size() % 4) % 4, ' ');
    std::string file;
    const auto number = [&](std::size_t value) {
      const auto n = static_cast<std::uint32_t>(value);
      for (unsigned shift = 0; shift < 32; shift += 8) file += static_cast<char>(n >> shift & 0xFFU);
    };
    number(magic);
    number(2);
    number(12 + 8 + json.size() + 8 + buffer_.size());
    number(json.size());
    number(json_chunk);
    file += json;
    number(buffer_.size());
    number(binary_chunk);
    return file + buffer_;
  }

 private:
  std::size_t add_view(const void* data, std::size_t size, int target) {
    Json view{{"buffer", 0}, {"byteOffset", buffer_.size()}, {"byteLength", size}};
    if (target != 0) view["target"] = target;
    buffer_.append(static_cast<const char*>(data), size);
    buffer_.append((4 - buffer_.size() % 4) % 4, '\0');
    root_["bufferViews"].push_back(std::move(view));
    return root_["bufferViews"].size() - 1;
  }
  std::size_t add_vectors(const std::vector<std::array<float, 3>>& vectors, int target, bool bounds) {
    std::vector<float> flat;
    for (const auto& v : vectors) flat.insert(flat.end(), v.begin(), v.end());
    return add_floats(flat, 3, "VEC3", target, bounds);
  }
  std::size_t add_indices(const std::vector<std::uint32_t>& indices) {
    root_["accessors"].push_back(
        {{"bufferView",
          add_view(indices.data(), indices.size() * sizeof(std::uint32_t), element_array_buffer)},
         {"componentType", unsigned_int_component},
         {"count", indices.size()},
         {"type", "SCALAR"}});
    return root_["accessors"].size() - 1;
  }
  std::size_t material(std::uint32_t color) {
    const auto known = materials_.find(color);
    if (known != materials_.end()) return known->second;
    root_["materials"].push_back(
        {{"name", fmt::format("{:06X}", color)},
         {"doubleSided", true},
         {"pbrMetallicRoughness",
          {{"baseColorFactor",
            {linear(color >> 16U & 255U), linear(color >> 8U & 255U), linear(color & 255U), 1}},
           {"metallicFactor", 0},
           {"roughnessFactor", 0.9}}}});
    return materials_[color] = root_["materials"].size() - 1;
  }

  Json root_;
  std::string buffer_;
  std::map<std::uint32_t, std::size_t> materials_;
};

Json triple(const Vec3& v) {
  return {static_cast<float>(v.x), static_cast<float>(v.y), static_cast<float>(v.z)};
}

/// Unit to the last bit that a float has.
std::array<float, 4> quadruple(const Quat& q) {
  return {static_cast<float>(q.x), static_cast<float>(q.y), static_cast<float>(q.z), static_cast<float>(q.w)};
}

/// Rotations over time on the shorter way from one to the next.
std::vector<float> rotations_of(std::vector<Quat> rotations) {
  std::vector<float> values;
  for (std::size_t i = 0; i < rotations.size(); ++i) {
    if (i > 0 && glm::dot(rotations[i], rotations[i - 1]) < 0) rotations[i] = -rotations[i];
    const auto q = quadruple(rotations[i]);
    values.insert(values.end(), q.begin(), q.end());
  }
  return values;
}

/// The landing arrow of a rung outside the ring.
void add_marker(Meshes& meshes, double heading_deg, bool own, const Palette& c) {
  const double heading = to_rad(heading_deg);
  const double k = own ? 1.4 : 1.0;
  const auto at = [&](double ahead, double right) {
    return Vec3(ahead * std::cos(heading) + right * std::sin(heading), own ? 0.008 : 0.006,
                -ahead * std::sin(heading) + right * std::cos(heading));
  };
  add_face(meshes,
           {at(1.72, -0.17 * k), at(1.72 + 0.22 * k, -0.17 * k), at(1.72 + 0.40 * k, 0),
            at(1.72 + 0.22 * k, 0.17 * k), at(1.72, 0.17 * k)},
           Vec3(0, 1, 0), own ? c.front : c.plate);
}

void add_dial(Writer& writer, const Ladder& ladder, std::size_t rung_index, const Palette& c) {
  const Rung& rung = ladder.rungs[rung_index];
  Meshes dial;
  const double start = rung.start.heading_deg;
  add_ring(dial, 0, 1.5, 0, 360, 0.0, c.mat);
  add_ring(dial, 1.5, 1.62, 0, 360, 0.002, c.ink);
  const double turn = std::clamp(rung.turn_deg, -360.0, 360.0);
  if (turn != 0) add_ring(dial, 1.29, 1.42, start, start + turn, 0.004, turn > 0 ? c.left : c.right);
  add_ring(dial, 0, 1.28, rung.landing.heading_deg - 16, rung.landing.heading_deg + 16, 0.003, c.front);
  add_ring(dial, 0.34, 1.22, start - 4, start + 4, 0.006, c.ink);
  writer.add_to_scene(writer.add_node({{"name", "dial"},
                                       {"mesh", writer.add_mesh("dial", dial)},
                                       {"extras", {{"start_heading_deg", start}}}}));
  for (const Rung& other : ladder.rungs) {
    Meshes marker;
    add_marker(marker, other.landing.heading_deg, other.index == rung.index, c);
    const std::string name = fmt::format("checkpoint {}", other.index);
    writer.add_to_scene(writer.add_node({{"name", name},
                                         {"mesh", writer.add_mesh(name, marker)},
                                         {"extras",
                                          {{"rung", other.index},
                                           {"title", other.title},
                                           {"landing_heading_deg", other.landing.heading_deg},
                                           {"this_flight", other.index == rung.index}}}}));
  }
}

}  // namespace

std::string gltf_binary(const Ladder& ladder, std::size_t rung_index, const Flight& flight, double hz) {
  const Palette& c = palette_of(Theme::light);
  const Rung& rung = ladder.rungs[rung_index];
  const HumanBody body = human_body(Athlete{});
  Writer writer;

  std::array<Meshes, segment_count> meshes;
  for (const FigurePart& part : figure_parts(body, c)) {
    Meshes& own = meshes[static_cast<std::size_t>(part.segment)];
    if (const auto* capsule = std::get_if<Capsule>(&part.shape)) {
      add_capsule(own, *capsule, rgb(0xFFFFFF));
    } else {
      const Facet& facet = std::get<Facet>(part.shape);
      add_face(own, facet.points, facet.normal_W, facet.color);
    }
  }
  const std::vector<double> times = output_times(flight.duration(), hz);
  std::vector<FigurePlace> places;
  for (const double time : times) places.push_back(figure_place(body, rung, flight, time));

  // Nodes 0 to 15 are the segments in their order: parents come before children.
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    const std::string name{segment_name(segment)};
    const Quat q = s == 0 ? places.front().q_WB : joint_rotation(places.front().pose, segment);
    const Vec3 at = s == 0 ? places.front().origin_W : body.segments[s].joint_centre_in_parent;
    Json node{{"name", name}, {"translation", triple(at)}, {"rotation", quadruple(q)}};
    if (!meshes[s].empty()) node["mesh"] = writer.add_mesh(name, meshes[s]);
    writer.add_node(std::move(node));
    if (s > 0) writer.node(static_cast<std::size_t>(parent_of(segment)))["children"].push_back(s);
  }
  writer.add_to_scene(0);
  writer.node(0)["extras"] = {{"skill", rung.title},
                              {"made", std::string(provenance_word(flight.provenance()))},
                              {"caution", std::string(ladder_caution)}};
  add_dial(writer, ladder, rung_index, c);

  std::vector<float> clock;
  for (const double time : times) clock.push_back(static_cast<float>(time));
  const std::size_t input = writer.add_floats(clock, 1, "SCALAR", 0, true);
  Json channels = Json::array(), samplers = Json::array();
  const auto animate = [&](std::size_t node, const char* path, std::size_t output) {
    channels.push_back({{"sampler", samplers.size()}, {"target", {{"node", node}, {"path", path}}}});
    samplers.push_back({{"input", input}, {"output", output}, {"interpolation", "LINEAR"}});
  };
  std::vector<float> origins;
  for (const FigurePlace& place : places) {
    for (int i = 0; i < 3; ++i) origins.push_back(static_cast<float>(place.origin_W[i]));
  }
  animate(0, "translation", writer.add_floats(origins, 3, "VEC3", 0, false));
  for (std::size_t s = 0; s < segment_count; ++s) {
    std::vector<Quat> rotations;
    for (const FigurePlace& place : places)
      rotations.push_back(s == 0 ? place.q_WB : joint_rotation(place.pose, static_cast<Segment>(s)));
    animate(s, "rotation", writer.add_floats(rotations_of(std::move(rotations)), 4, "VEC4", 0, false));
  }
  writer.add_animation(rung.title, std::move(channels), std::move(samplers));
  return writer.bytes();
}

}  // namespace halfturn
