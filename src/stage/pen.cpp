#include "pen.hpp"

#include <cstddef>
#include <vector>

#include "gl_objects.hpp"
#include "stage_embedded.hpp"

namespace halfturn {
namespace {

constexpr int round_corners = 13, thin_corners = 4;  // of each half of a capsule's hull

template <class Vertex>
void attribute(GLuint index, GLint size, GLenum type, GLboolean normalised, std::size_t offset,
               GLuint divisor = 0) {
  glEnableVertexAttribArray(index);
  glVertexAttribPointer(index, size, type, normalised, sizeof(Vertex),
                        reinterpret_cast<const void*>(offset));  // NOLINT: an offset, as OpenGL wants it
  glVertexAttribDivisor(index, divisor);
}

/// Directions around both halves of a hull.
std::vector<float> hull(int corners) {
  std::vector<float> around;
  for (const int half : {0, 1}) {
    for (int i = 0; i <= corners; ++i) {
      around.push_back(static_cast<float>(i) / static_cast<float>(corners));
      around.push_back(static_cast<float>(half));
    }
  }
  return around;
}

}  // namespace

Pen::~Pen() {
  for (const Program& program : programs_) glDeleteProgram(program.id);
  const GLuint buffers[] = {round_buffer_, thin_buffer_};
  glDeleteBuffers(2, buffers);
  const GLuint arrays[] = {flat_array_, round_array_, thin_array_, text_array_, empty_array_};
  glDeleteVertexArrays(5, arrays);
  glDeleteTextures(1, &atlas_texture_);
}

Outcome Pen::start() {
  using namespace embedded;
  const struct {
    Which which;
    const char* name;
    std::string_view vertex, fragment;
  } sources[] = {{flat_program, "shaders/flat", flat_vert, flat_frag},
                 {capsule_program, "shaders/capsule", capsule_vert, capsule_frag},
                 {text_program, "shaders/text", text_vert, text_frag},
                 {mean_program, "shaders/mean", layer_vert, mean_frag},
                 {layer_program, "shaders/layer", layer_vert, layer_frag}};
  for (const auto& source : sources) {
    const Result<GLuint> id = make_program(source.name, source.vertex, source.fragment);
    if (!id) return id.problem();
    Program& program = programs_[source.which];
    program.id = *id;
    program.window = glGetUniformLocation(*id, "window");
    program.grain = glGetUniformLocation(*id, "grain");
    program.box = glGetUniformLocation(*id, "box");
  }
  programs_[capsule_program].detail = glGetUniformLocation(programs_[capsule_program].id, "band_color");
  programs_[mean_program].detail = glGetUniformLocation(programs_[mean_program].id, "samples");
  programs_[layer_program].detail = glGetUniformLocation(programs_[layer_program].id, "opacity");
  const GLuint text = programs_[text_program].id;
  glUseProgram(text);
  glUniform1i(glGetUniformLocation(text, "atlas"), 0);
  glUniform1f(glGetUniformLocation(text, "atlas_px"), GlyphAtlas::size_px);
  glUniform1f(glGetUniformLocation(text, "spread_px"), LetterSet::spread_px);
  make_arrays();
  return std::nullopt;
}

void Pen::make_arrays() {
  for (StreamBuffer* buffer : {&flat_buffer_, &capsule_buffer_, &text_buffer_}) buffer->make();
  for (GLuint* buffer : {&round_buffer_, &thin_buffer_}) glGenBuffers(1, buffer);
  GLuint* const arrays[] = {&flat_array_, &round_array_, &thin_array_, &text_array_, &empty_array_};
  for (GLuint* array : arrays) glGenVertexArrays(1, array);
  glBindVertexArray(flat_array_);
  glBindBuffer(GL_ARRAY_BUFFER, flat_buffer_.id());
  attribute<FlatVertex>(0, 3, GL_FLOAT, GL_FALSE, offsetof(FlatVertex, x));
  attribute<FlatVertex>(1, 2, GL_FLOAT, GL_FALSE, offsetof(FlatVertex, across));
  attribute<FlatVertex>(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(FlatVertex, color));
  glBindVertexArray(text_array_);
  glBindBuffer(GL_ARRAY_BUFFER, text_buffer_.id());
  attribute<TextVertex>(0, 4, GL_FLOAT, GL_FALSE, offsetof(TextVertex, place));
  attribute<TextVertex>(1, 4, GL_FLOAT, GL_FALSE, offsetof(TextVertex, glyph));
  attribute<TextVertex>(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(TextVertex, color));
  attribute<TextVertex>(3, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(TextVertex, halo));
  for (const bool round : {true, false}) {
    glBindVertexArray(round ? round_array_ : thin_array_);
    const std::vector<float> around = hull(round ? round_corners : thin_corners);
    glBindBuffer(GL_ARRAY_BUFFER, round ? round_buffer_ : thin_buffer_);
    glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(around.size() * sizeof(float)), around.data(),
                 GL_STATIC_DRAW);
    attribute<std::array<float, 2>>(0, 2, GL_FLOAT, GL_FALSE, 0);
  }
}

void Pen::point_at_instances(std::uint32_t first) const {
  // OpenGL 3.3 has no base instance, so the pointers move.
  using I = CapsuleInstance;
  const std::size_t base = (capsule_base_ + first) * sizeof(I);
  glBindBuffer(GL_ARRAY_BUFFER, capsule_buffer_.id());
  attribute<I>(1, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, ends), 1);
  attribute<I>(2, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, sizes), 1);
  attribute<I>(3, 4, GL_UNSIGNED_BYTE, GL_TRUE, base + offsetof(I, color), 1);
  attribute<I>(4, 4, GL_UNSIGNED_BYTE, GL_TRUE, base + offsetof(I, line_color), 1);
  attribute<I>(5, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, look), 1);
  attribute<I>(6, 2, GL_FLOAT, GL_FALSE, base + offsetof(I, bands), 1);
}

void Pen::upload(const Drawing& drawing) {
  flat_base_ = flat_buffer_.write(drawing.flat);
  capsule_base_ = capsule_buffer_.write(drawing.capsules);
  text_base_ = text_buffer_.write(drawing.text);
}

void Pen::upload(GlyphAtlas& atlas) {
  const auto [first, last] = atlas.take_changed_rows();
  if (first >= last) return;
  glActiveTexture(GL_TEXTURE0);
  glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
  if (atlas_texture_ == 0) {
    glGenTextures(1, &atlas_texture_);
    glBindTexture(GL_TEXTURE_2D, atlas_texture_);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_R8, GlyphAtlas::size_px, GlyphAtlas::size_px, 0, GL_RED,
                 GL_UNSIGNED_BYTE, atlas.texels().data());
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
  } else {
    glBindTexture(GL_TEXTURE_2D, atlas_texture_);
    glTexSubImage2D(GL_TEXTURE_2D, 0, 0, first, GlyphAtlas::size_px, last - first, GL_RED, GL_UNSIGNED_BYTE,
                    atlas.texels().data() + static_cast<std::ptrdiff_t>(first) * GlyphAtlas::size_px);
  }
  glPixelStorei(GL_UNPACK_ALIGNMENT, 4);
}

void Pen::look_at(const Window& window) {
  window_ = window;
  glViewport(0, 0, window.width * window.grain, window.height * window.grain);
}

void Pen::use(Which which, GLuint array) {
  const Program& program = programs_[which];
  glUseProgram(program.id);
  glBindVertexArray(array);
  if (program.window >= 0)
    glUniform4f(program.window, static_cast<float>(window_.x0), static_cast<float>(window_.y0),
                static_cast<float>(window_.width), static_cast<float>(window_.height));
  if (program.grain >= 0) glUniform1i(program.grain, window_.grain);
}

void Pen::flat(std::uint32_t first, std::uint32_t count) {
  use(flat_program, flat_array_);
  glDrawArrays(GL_TRIANGLES, static_cast<GLint>(flat_base_ + first), static_cast<GLsizei>(count));
}

void Pen::text(std::uint32_t first, std::uint32_t count) {
  glActiveTexture(GL_TEXTURE0);
  glBindTexture(GL_TEXTURE_2D, atlas_texture_);
  use(text_program, text_array_);
  glDrawArrays(GL_TRIANGLES, static_cast<GLint>(text_base_ + first), static_cast<GLsizei>(count));
}

void Pen::capsules(bool round, std::uint32_t first, std::uint32_t count) {
  if (count == 0) return;
  glBindVertexArray(round ? round_array_ : thin_array_);
  point_at_instances(first);
  glDrawArraysInstanced(GL_TRIANGLE_FAN, 0, 2 * ((round ? round_corners : thin_corners) + 1),
                        static_cast<GLsizei>(count));
}

void Pen::figure(const FigureDrawing& drawn, Rgba band) {
  use(capsule_program, round_array_);
  glUniform4f(programs_[capsule_program].detail, static_cast<float>(band[0]) / 255,
              static_cast<float>(band[1]) / 255, static_cast<float>(band[2]) / 255, 1);
  std::uint32_t first = drawn.first_capsule;
  for (const auto& [round, count] : {std::pair{true, drawn.round_rims},
                                     {false, drawn.thin_rims},
                                     {true, drawn.limbs},
                                     {false, drawn.edges}}) {
    capsules(round, first, count);
    first += count;
  }
  if (drawn.faces > 0) flat(drawn.first_flat, drawn.faces);
}

void Pen::mean(GLuint texture, int samples, int grain) {
  glActiveTexture(GL_TEXTURE0);
#ifdef __EMSCRIPTEN__
  glBindTexture(GL_TEXTURE_2D, texture);
#else
  glBindTexture(GL_TEXTURE_2D_MULTISAMPLE, texture);
#endif
  use(mean_program, empty_array_);
  glUniform4f(programs_[mean_program].box, static_cast<float>(window_.x0), static_cast<float>(window_.y0),
              static_cast<float>(window_.x0 + window_.width),
              static_cast<float>(window_.y0 + window_.height));
  glUniform1i(programs_[mean_program].detail, samples);
  glUniform1i(programs_[mean_program].grain, grain);
  glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
}

void Pen::lay_over(GLuint texture, int x0, int y0, int x1, int y1, double opacity) {
  glActiveTexture(GL_TEXTURE0);
  glBindTexture(GL_TEXTURE_2D, texture);
  use(layer_program, empty_array_);
  glUniform4f(programs_[layer_program].box, static_cast<float>(x0), static_cast<float>(y0),
              static_cast<float>(x1), static_cast<float>(y1));
  glUniform1f(programs_[layer_program].detail, static_cast<float>(opacity));
  glDrawArrays(GL_TRIANGLE_STRIP, 0, 4);
}

}  // namespace halfturn
