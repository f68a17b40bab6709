#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "gl.hpp"

namespace halfturn {

/// A linked shader program; a problem carries the driver's own words.
[[nodiscard]] Result<GLuint> make_program(std::string_view name, std::string_view vertex,
                                          std::string_view fragment);

/// Vertices that are new in every picture. Three parts are written in turn, so that the driver neither copies
/// nor waits: a part is written again only when what was drawn from it is done.
class StreamBuffer {
 public:
  StreamBuffer() = default;
  ~StreamBuffer();
  StreamBuffer(const StreamBuffer&) = delete;
  StreamBuffer& operator=(const StreamBuffer&) = delete;

  void make();
  /// Binds the buffer to GL_ARRAY_BUFFER and writes into its next part. The answer is where in the buffer the
  /// vertices lie, counted in vertices.
  template <class Vertex>
  std::uint32_t write(const std::vector<Vertex>& vertices) {
    return static_cast<std::uint32_t>(
        write(vertices.data(), vertices.size() * sizeof(Vertex), sizeof(Vertex)) / sizeof(Vertex));
  }
  [[nodiscard]] GLuint id() const { return id_; }

 private:
  std::size_t write(const void* data, std::size_t bytes, std::size_t stride);

  static constexpr std::size_t parts = 3;
  GLuint id_ = 0;
  [[maybe_unused]] std::size_t part_bytes_ = 0, part_ = 0;  // not in a browser
  std::array<GLsync, parts> done_{};                        ///< null: nothing was drawn from the part
};

/// A texture to draw into, 0 wide until it is made. With several samples a browser has no texture but
/// `color`, to be resolved into one.
struct Target {
  GLuint framebuffer = 0, texture = 0, color = 0, depth = 0;
  int width = 0, height = 0;
  int samples = 0;  ///< 0: an ordinary texture, else one of so many samples
};
/// Makes a target anew with undefined content; false when the driver cannot.
[[nodiscard]] bool make_target(Target& target, int width, int height, int samples, bool with_depth);
void delete_target(Target& target);
/// Clears the depth of the framebuffer in use to the farthest.
void clear_depth();

}  // namespace halfturn
