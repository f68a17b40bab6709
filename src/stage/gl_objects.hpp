#pragma once

#include <glad/gl.h>

#include <string_view>

#include "base/result.hpp"

namespace halfturn {

/// A linked shader program; a problem carries the driver's own words.
[[nodiscard]] Result<GLuint> make_program(std::string_view name, std::string_view vertex,
                                          std::string_view fragment);

/// A texture to draw into, 0 wide until it is made.
struct Target {
  GLuint framebuffer = 0, texture = 0, depth = 0;
  int width = 0, height = 0;
  int samples = 0;  ///< 0: an ordinary texture, else one of so many samples
};
/// Makes a target anew with undefined content; false when the driver cannot.
[[nodiscard]] bool make_target(Target& target, int width, int height, int samples, bool with_depth);
void delete_target(Target& target);

}  // namespace halfturn
