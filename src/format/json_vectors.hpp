#pragma once

#include <fmt/format.h>

#include "format/json_reader.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn {

/// A list of three finite numbers.
inline Vec3 read_vector(const JsonReader& reader) {
  Vec3 vector(0);
  const std::vector<JsonReader> elements = reader.elements();
  if (reader.failed()) return vector;
  if (elements.size() != 3) {
    reader.complain(fmt::format("has {} numbers, three are needed", elements.size()));
    return vector;
  }
  for (int i = 0; i < 3; ++i) vector[i] = elements[static_cast<std::size_t>(i)].number();
  return vector;
}

}  // namespace halfturn
