#include "stage/renderer.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

#include "drawing.hpp"
#include "gl_objects.hpp"
#include "glyph_atlas.hpp"
#include "stage_embedded.hpp"

namespace halfturn {
namespace {

constexpr int full_samples = 4;
constexpr int round_corners = 13, thin_corners = 4;  // of each half of a capsule's hull

struct Program {
  GLuint id = 0;
  GLint picture = -1;
};

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

template <class Vertex>
void upload(GLuint buffer, const std::vector<Vertex>& vertices) {
  glBindBuffer(GL_ARRAY_BUFFER, buffer);
  glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(vertices.size() * sizeof(Vertex)), vertices.data(),
               GL_STREAM_DRAW);
}

}  // namespace

struct Renderer::Implementation {
  std::unique_ptr<GlyphAtlas> atlas;
  Program flat, capsule, text;
  GLint band_color = -1;
  GLuint flat_array = 0, round_array = 0, thin_array = 0, text_array = 0;
  GLuint flat_buffer = 0, capsule_buffer = 0, text_buffer = 0, round_buffer = 0, thin_buffer = 0;
  GLuint atlas_texture = 0;
  Target full, draft;
  const Target* last = nullptr;
  int most_samples = 1;
  // What the kept still layer shows.
  std::vector<SceneItem> still_items;
  Projection still_projection;
  Color still_ground;
  const Target* still_in = nullptr;

  Implementation() = default;
  Implementation(const Implementation&) = delete;
  Implementation& operator=(const Implementation&) = delete;
  ~Implementation() {
    delete_target(full);
    delete_target(draft);
    for (const GLuint program : {flat.id, capsule.id, text.id}) glDeleteProgram(program);
    const GLuint buffers[] = {flat_buffer, capsule_buffer, text_buffer, round_buffer, thin_buffer};
    glDeleteBuffers(5, buffers);
    const GLuint arrays[] = {flat_array, round_array, thin_array, text_array};
    glDeleteVertexArrays(4, arrays);
    glDeleteTextures(1, &atlas_texture);
  }

  Outcome start(const StageFonts& fonts) {
    Result<std::unique_ptr<GlyphAtlas>> made = GlyphAtlas::create(fonts);
    if (!made) return made.problem();
    atlas = std::move(made).value();
    using namespace embedded;
    const struct {
      Program& program;
      const char* name;
      std::string_view vertex, fragment;
    } programs[] = {{flat, "shaders/flat", flat_vert, flat_frag},
                    {capsule, "shaders/capsule", capsule_vert, capsule_frag},
                    {text, "shaders/text", text_vert, text_frag}};
    for (const auto& each : programs) {
      const Result<GLuint> id = make_program(each.name, each.vertex, each.fragment);
      if (!id) return id.problem();
      each.program.id = *id;
      each.program.picture = glGetUniformLocation(*id, "picture_px");
    }
    band_color = glGetUniformLocation(capsule.id, "band_color");
    glUseProgram(text.id);
    glUniform1i(glGetUniformLocation(text.id, "atlas"), 0);
    glUniform1f(glGetUniformLocation(text.id, "atlas_px"), GlyphAtlas::size_px);
    glUniform1f(glGetUniformLocation(text.id, "spread_px"), GlyphAtlas::spread_px);
    make_arrays();
    glGenTextures(1, &atlas_texture);
    glBindTexture(GL_TEXTURE_2D, atlas_texture);
    glTexImage2D(GL_TEXTURE_2D, 0, GL_R8, GlyphAtlas::size_px, GlyphAtlas::size_px, 0, GL_RED,
                 GL_UNSIGNED_BYTE, atlas->texels().data());
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MIN_FILTER, GL_LINEAR);
    glTexParameteri(GL_TEXTURE_2D, GL_TEXTURE_MAG_FILTER, GL_LINEAR);
    GLint most = 1;
    glGetIntegerv(GL_MAX_SAMPLES, &most);
    most_samples = most;
    return std::nullopt;
  }

  void make_arrays() {
    GLuint* const buffers[] = {&flat_buffer, &capsule_buffer, &text_buffer, &round_buffer, &thin_buffer};
    for (GLuint* buffer : buffers) glGenBuffers(1, buffer);
    GLuint* const arrays[] = {&flat_array, &round_array, &thin_array, &text_array};
    for (GLuint* array : arrays) glGenVertexArrays(1, array);
    glBindVertexArray(flat_array);
    glBindBuffer(GL_ARRAY_BUFFER, flat_buffer);
    attribute<FlatVertex>(0, 3, GL_FLOAT, GL_FALSE, offsetof(FlatVertex, x));
    attribute<FlatVertex>(1, 2, GL_FLOAT, GL_FALSE, offsetof(FlatVertex, across));
    attribute<FlatVertex>(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(FlatVertex, color));
    glBindVertexArray(text_array);
    glBindBuffer(GL_ARRAY_BUFFER, text_buffer);
    attribute<TextVertex>(0, 4, GL_FLOAT, GL_FALSE, offsetof(TextVertex, place));
    attribute<TextVertex>(1, 2, GL_FLOAT, GL_FALSE, offsetof(TextVertex, texel));
    attribute<TextVertex>(2, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(TextVertex, color));
    attribute<TextVertex>(3, 4, GL_UNSIGNED_BYTE, GL_TRUE, offsetof(TextVertex, halo));
    for (const bool round : {true, false}) {
      const std::vector<float> around = hull(round ? round_corners : thin_corners);
      glBindVertexArray(round ? round_array : thin_array);
      glBindBuffer(GL_ARRAY_BUFFER, round ? round_buffer : thin_buffer);
      glBufferData(GL_ARRAY_BUFFER, static_cast<GLsizeiptr>(around.size() * sizeof(float)), around.data(),
                   GL_STATIC_DRAW);
      attribute<std::array<float, 2>>(0, 2, GL_FLOAT, GL_FALSE, 0);
    }
  }

  /// Instances that begin at `first`: OpenGL 3.3 has no base instance, so the pointers move.
  void point_at_instances(std::uint32_t first) const {
    using I = CapsuleInstance;
    const std::size_t base = first * sizeof(I);
    glBindBuffer(GL_ARRAY_BUFFER, capsule_buffer);
    attribute<I>(1, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, ends), 1);
    attribute<I>(2, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, sizes), 1);
    attribute<I>(3, 4, GL_UNSIGNED_BYTE, GL_TRUE, base + offsetof(I, color), 1);
    attribute<I>(4, 4, GL_UNSIGNED_BYTE, GL_TRUE, base + offsetof(I, line_color), 1);
    attribute<I>(5, 4, GL_FLOAT, GL_FALSE, base + offsetof(I, look), 1);
    attribute<I>(6, 2, GL_FLOAT, GL_FALSE, base + offsetof(I, bands), 1);
  }

  static void set_depth(DrawCall::Depth depth) {
    const bool tested = depth != DrawCall::Depth::off;
    (tested ? glEnable : glDisable)(GL_DEPTH_TEST);
    glDepthMask(tested && depth != DrawCall::Depth::equal ? GL_TRUE : GL_FALSE);
    glDepthFunc(depth == DrawCall::Depth::equal  ? GL_EQUAL
                : depth == DrawCall::Depth::once ? GL_LESS
                                                 : GL_LEQUAL);
    const GLboolean colour = depth == DrawCall::Depth::write_only ? GL_FALSE : GL_TRUE;
    glColorMask(colour, colour, colour, colour);
  }

  void draw(const DrawCall& call) const {
    if (call.count == 0) return;
    set_depth(call.depth);
    const auto first = static_cast<GLint>(call.first);
    const auto count = static_cast<GLsizei>(call.count);
    switch (call.kind) {
      case DrawCall::Kind::flat:
        glUseProgram(flat.id);
        glBindVertexArray(flat_array);
        glDrawArrays(GL_TRIANGLES, first, count);
        break;
      case DrawCall::Kind::text:
        glUseProgram(text.id);
        glBindVertexArray(text_array);
        glDrawArrays(GL_TRIANGLES, first, count);
        break;
      case DrawCall::Kind::capsules:
      case DrawCall::Kind::thin_capsules: {
        const bool round = call.kind == DrawCall::Kind::capsules;
        glUseProgram(capsule.id);
        glUniform4f(band_color, static_cast<float>(call.band[0]) / 255,
                    static_cast<float>(call.band[1]) / 255, static_cast<float>(call.band[2]) / 255, 1);
        glBindVertexArray(round ? round_array : thin_array);
        point_at_instances(call.first);
        glDrawArraysInstanced(GL_TRIANGLE_FAN, 0, 2 * ((round ? round_corners : thin_corners) + 1), count);
        break;
      }
    }
  }

  void upload_atlas() {
    const auto [first, last_row] = atlas->take_changed_rows();
    if (first >= last_row) return;
    glPixelStorei(GL_UNPACK_ALIGNMENT, 1);
    glTexSubImage2D(GL_TEXTURE_2D, 0, 0, first, GlyphAtlas::size_px, last_row - first, GL_RED,
                    GL_UNSIGNED_BYTE,
                    atlas->texels().data() + static_cast<std::ptrdiff_t>(first) * GlyphAtlas::size_px);
    glPixelStorei(GL_UNPACK_ALIGNMENT, 4);
  }

  static void copy(GLuint from, GLuint to, int width, int height) {
    glBindFramebuffer(GL_READ_FRAMEBUFFER, from);
    glBindFramebuffer(GL_DRAW_FRAMEBUFFER, to);
    glBlitFramebuffer(0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  }

  void render(const Scene& scene, int width, int height, Quality quality) {
    GLint previous_framebuffer = 0;
    GLint previous_viewport[4] = {};
    glGetIntegerv(GL_DRAW_FRAMEBUFFER_BINDING, &previous_framebuffer);
    glGetIntegerv(GL_VIEWPORT, previous_viewport);
    Target& target = quality == Quality::full ? full : draft;
    int samples = quality == Quality::full ? std::min(full_samples, most_samples) : 1;
    if (target.width != width || target.height != height) still_in = nullptr;
    while (!resize_target(target, width, height, samples) && samples > 1) samples /= 2;
    last = &target;

    const Drawing drawing = make_drawing(scene, *atlas);
    glActiveTexture(GL_TEXTURE0);
    glBindTexture(GL_TEXTURE_2D, atlas_texture);
    upload_atlas();
    upload(flat_buffer, drawing.flat);
    upload(capsule_buffer, drawing.capsules);
    upload(text_buffer, drawing.text);
    for (const Program& program : {flat, capsule, text}) {
      glUseProgram(program.id);
      if (program.picture >= 0)
        glUniform2f(program.picture, static_cast<float>(scene.projection.width_px),
                    static_cast<float>(scene.projection.height_px));
    }
    glViewport(0, 0, width, height);
    glDisable(GL_SCISSOR_TEST);
    glDisable(GL_CULL_FACE);
    glEnable(GL_BLEND);
    glBlendFuncSeparate(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA, GL_ONE, GL_ONE_MINUS_SRC_ALPHA);

    const std::size_t still = drawing.still_calls;
    const bool keep = scene.still_items > 0;
    if (keep && still_in == &target && shows_still(scene)) {
      copy(target.still, target.draw(), width, height);
      glBindFramebuffer(GL_FRAMEBUFFER, target.draw());
      clear(scene.ground, false);
    } else {
      glBindFramebuffer(GL_FRAMEBUFFER, target.draw());
      clear(scene.ground, true);
      for (std::size_t i = 0; i < still; ++i) draw(drawing.calls[i]);
      if (keep) {
        copy(target.draw(), target.still, width, height);
        glBindFramebuffer(GL_FRAMEBUFFER, target.draw());
        still_items.assign(scene.items.begin(),
                           scene.items.begin() + static_cast<std::ptrdiff_t>(scene.still_items));
        still_projection = scene.projection;
        still_ground = scene.ground;
        still_in = &target;
      }
    }
    for (std::size_t i = still; i < drawing.calls.size(); ++i) draw(drawing.calls[i]);
    if (target.many != 0) copy(target.many, target.single, width, height);

    set_depth(DrawCall::Depth::nearer);
    glDisable(GL_DEPTH_TEST);
    glBindVertexArray(0);
    glUseProgram(0);
    glBindFramebuffer(GL_FRAMEBUFFER, static_cast<GLuint>(previous_framebuffer));
    glViewport(previous_viewport[0], previous_viewport[1], previous_viewport[2], previous_viewport[3]);
  }

  static void clear(Color ground, bool color_too) {
    set_depth(DrawCall::Depth::nearer);
    glClearDepth(1);
    glClearColor(static_cast<float>(ground.r) / 255, static_cast<float>(ground.g) / 255,
                 static_cast<float>(ground.b) / 255, 1);
    glClear(GL_DEPTH_BUFFER_BIT | (color_too ? GL_COLOR_BUFFER_BIT : 0));
  }

  [[nodiscard]] bool shows_still(const Scene& scene) const {
    return scene.still_items == still_items.size() && scene.projection == still_projection &&
           scene.ground == still_ground &&
           std::equal(still_items.begin(), still_items.end(), scene.items.begin());
  }
};

Result<std::unique_ptr<Renderer>> Renderer::create(LoadFunction load, const StageFonts& fonts) {
  const int version =
      gladLoadGL(reinterpret_cast<GLADloadfunc>(load));  // NOLINT: the loader's own function type
  if (version < GLAD_MAKE_VERSION(3, 3)) {
    return Problem{"", "",
                   "OpenGL 3.3 is needed; this driver offers " +
                       (version == 0 ? std::string("none")
                                     : std::to_string(GLAD_VERSION_MAJOR(version)) + "." +
                                           std::to_string(GLAD_VERSION_MINOR(version)))};
  }
  auto implementation = std::make_unique<Implementation>();
  if (Outcome problem = implementation->start(fonts)) return *problem;
  return std::unique_ptr<Renderer>(new Renderer(std::move(implementation)));
}

Renderer::Renderer(std::unique_ptr<Implementation> implementation)
    : implementation_(std::move(implementation)) {}
Renderer::~Renderer() = default;

void Renderer::render(const Scene& scene, int width_px, int height_px, Quality quality) {
  if (width_px > 0 && height_px > 0) implementation_->render(scene, width_px, height_px, quality);
}

unsigned Renderer::texture() const {
  return implementation_->last != nullptr ? implementation_->last->texture : 0;
}

Image Renderer::read() const {
  Image image;
  const Target* target = implementation_->last;
  if (target == nullptr || target->width == 0) return image;
  image.width = target->width;
  image.height = target->height;
  const std::size_t row = static_cast<std::size_t>(image.width) * 4;
  std::vector<std::uint8_t> upside_down(row * static_cast<std::size_t>(image.height));
  GLint previous = 0;
  glGetIntegerv(GL_READ_FRAMEBUFFER_BINDING, &previous);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, target->single);
  glReadPixels(0, 0, image.width, image.height, GL_RGBA, GL_UNSIGNED_BYTE, upside_down.data());
  glBindFramebuffer(GL_READ_FRAMEBUFFER, static_cast<GLuint>(previous));
  image.rgba.resize(upside_down.size());
  for (std::size_t y = 0; y < static_cast<std::size_t>(image.height); ++y) {
    const auto from = upside_down.begin() +
                      static_cast<std::ptrdiff_t>((static_cast<std::size_t>(image.height) - 1 - y) * row);
    std::copy(from, from + static_cast<std::ptrdiff_t>(row),
              image.rgba.begin() + static_cast<std::ptrdiff_t>(y * row));
  }
  return image;
}

}  // namespace halfturn
