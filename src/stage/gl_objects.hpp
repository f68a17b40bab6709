#pragma once

#include <glad/gl.h>

#include <string_view>

#include "base/result.hpp"

namespace halfturn {

/// A linked shader program; a problem carries the driver's own words.
[[nodiscard]] Result<GLuint> make_program(std::string_view name, std::string_view vertex,
                                          std::string_view fragment);

/// Something to draw into: many samples, and one to read from.
struct Target {
  GLuint many = 0, many_color = 0, many_depth = 0;  ///< 0 when there is only one sample
  GLuint single = 0, texture = 0, depth = 0;
  GLuint still = 0, still_color = 0;  ///< the still items, kept
  int width = 0, height = 0, samples = 0;
  [[nodiscard]] GLuint draw() const { return many != 0 ? many : single; }
};
/// Makes or changes a target; false when the driver cannot.
[[nodiscard]] bool resize_target(Target& target, int width, int height, int samples);
void delete_target(Target& target);

}  // namespace halfturn
