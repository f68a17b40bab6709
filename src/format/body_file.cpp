#include "format/body_file.hpp"

#include <fmt/format.h>

#include <utility>

#include "format/json_reader.hpp"
#include "json_vectors.hpp"

namespace halfturn {
namespace {

Mat3 read_matrix(const JsonReader& reader) {
  Mat3 matrix(0);
  const std::vector<JsonReader> rows = reader.elements();
  if (reader.failed()) return matrix;
  if (rows.size() != 3) {
    reader.complain(fmt::format("has {} rows, a matrix of 3 x 3 is needed", rows.size()));
    return matrix;
  }
  for (int row = 0; row < 3; ++row) {
    const Vec3 values = read_vector(rows[static_cast<std::size_t>(row)]);
    for (int column = 0; column < 3; ++column) matrix[column][row] = values[column];
  }
  return matrix;
}

TreeSegment read_segment(const JsonReader& reader, const std::vector<TreeSegment>& earlier) {
  TreeSegment segment;
  reader.expect_keys(
      {"name", "parent", "joint_centre_in_parent_m", "axes", "mass_kg", "com_m", "inertia_about_com_kgm2"});
  if (reader.failed()) return segment;
  segment.name = reader.at("name").string();
  const JsonReader parent = reader.at("parent");
  if (!reader.failed() && !parent.is_null()) {
    const std::string name = parent.string();
    for (std::size_t i = 0; i < earlier.size(); ++i) {
      if (earlier[i].name == name) segment.parent = i;
    }
    if (!reader.failed() && !segment.parent)
      parent.complain(fmt::format("there is no segment \"{}\" before this one", name));
  }
  segment.joint_centre_in_parent = read_vector(reader.at("joint_centre_in_parent_m"));
  for (const JsonReader& axis : reader.at("axes").elements()) {
    const std::string letter = axis.one_of({"x", "y", "z"});
    if (!reader.failed()) segment.axes += letter;
  }
  segment.mass = reader.at("mass_kg").number();
  segment.com = read_vector(reader.at("com_m"));
  segment.inertia_about_com = read_matrix(reader.at("inertia_about_com_kgm2"));
  return segment;
}

}  // namespace

Result<BodyTree> read_body(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader reader(&*json, "", &log);
  reader.expect_keys({"format", "version", "reference_segment", "segments"});
  reader.expect_format("halfturn-body", 1);
  const JsonReader reference = reader.at("reference_segment");
  const std::string reference_name = reference.string();
  std::vector<TreeSegment> segments;
  if (!reader.failed()) {
    for (const JsonReader& element : reader.at("segments").elements()) {
      TreeSegment segment = read_segment(element, segments);
      if (reader.failed()) break;
      segments.push_back(std::move(segment));
    }
  }
  std::size_t index = 0;
  while (index < segments.size() && segments[index].name != reference_name) ++index;
  if (!reader.failed() && !segments.empty() && index == segments.size())
    reference.complain(fmt::format("there is no segment \"{}\"", reference_name));
  if (log.problem) return *log.problem;
  Result<BodyTree> body = BodyTree::make(std::move(segments), index);
  if (body) return body;
  Problem problem = body.problem();
  problem.file = file;
  return problem;
}

}  // namespace halfturn
