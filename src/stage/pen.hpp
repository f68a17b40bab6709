#pragma once

#include <array>

#include "base/result.hpp"
#include "drawing.hpp"
#include "figure_drawing.hpp"
#include "gl.hpp"
#include "gl_objects.hpp"

namespace halfturn {

/// A part of the picture and the texture rows it is drawn into: from (x0, y0) on, px, rows from the top.
struct Window {
  int x0 = 0, y0 = 0, width = 0, height = 0;
  int grain = 1;  ///< texels per pixel along each side
};

/// Draws what a Drawing holds: the programs, buffers and arrays of the stage. Needs a current context for all
/// it does.
class Pen {
 public:
  Pen() = default;
  ~Pen();
  Pen(const Pen&) = delete;
  Pen& operator=(const Pen&) = delete;
  /// A problem when a shader does not compile.
  [[nodiscard]] Outcome start();

  void upload(const Drawing& drawing);
  /// Rows of the atlas that have changed.
  void upload(GlyphAtlas& atlas);
  /// Where everything is drawn from now on; sets the viewport too.
  void look_at(const Window& window);

  void flat(std::uint32_t first, std::uint32_t count);
  void text(std::uint32_t first, std::uint32_t count);
  /// Rims, limbs, faces and edges of a figure.
  void figure(const FigureDrawing& drawn, Rgba band);
  /// Brings the samples and texels of every pixel of a figure's texture to their mean. The texture has
  /// several samples, in a browser one, resolved before.
  void mean(GLuint texture, int samples, int grain);
  /// Lays a texture with colours that are already multiplied by their opacity over a part of the picture.
  void lay_over(GLuint texture, int x0, int y0, int x1, int y1, double opacity);

 private:
  enum Which : std::uint8_t {
    flat_program,
    capsule_program,
    text_program,
    mean_program,
    layer_program,
    programs
  };
  struct Program {
    GLuint id = 0;
    GLint window = -1, grain = -1, box = -1, detail = -1;
  };
  void use(Which which, GLuint array);
  void make_arrays();
  void point_at_instances(std::uint32_t first) const;
  void capsules(bool round, std::uint32_t first, std::uint32_t count);

  std::array<Program, programs> programs_;
  Window window_;
  GLuint flat_array_ = 0, round_array_ = 0, thin_array_ = 0, text_array_ = 0, empty_array_ = 0;
  GLuint round_buffer_ = 0, thin_buffer_ = 0;
  StreamBuffer flat_buffer_, capsule_buffer_, text_buffer_;
  std::uint32_t flat_base_ = 0, capsule_base_ = 0, text_base_ = 0;  ///< where the drawing's vertices begin
  GLuint atlas_texture_ = 0;
};

}  // namespace halfturn
