#include "stage/renderer.hpp"

#include <algorithm>
#include <cstddef>
#include <string>

#include "drawing.hpp"
#include "figure_layers.hpp"
#include "gl_objects.hpp"
#include "glyph_atlas.hpp"
#include "pen.hpp"

namespace halfturn {
namespace {

constexpr int full_grain = 2, draft_grain = 1;  // texels of a figure along each side of a pixel

/// OpenGL's state that the stage changes, put back at the end of its scope.
class KeptState {
 public:
  KeptState() {
    glGetIntegerv(GL_DRAW_FRAMEBUFFER_BINDING, &framebuffer_);
    glGetIntegerv(GL_VIEWPORT, viewport_.data());
  }
  ~KeptState() {
    glDisable(GL_DEPTH_TEST);
    glBindVertexArray(0);
    glUseProgram(0);
    glBlendFunc(GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA);
    glBindFramebuffer(GL_FRAMEBUFFER, static_cast<GLuint>(framebuffer_));
    glViewport(viewport_[0], viewport_[1], viewport_[2], viewport_[3]);
  }
  KeptState(const KeptState&) = delete;
  KeptState& operator=(const KeptState&) = delete;

 private:
  GLint framebuffer_ = 0;
  std::array<GLint, 4> viewport_{};
};

}  // namespace

struct Renderer::Implementation {
  GlyphAtlas atlas;
  Pen pen;
  FigureLayers layers{pen};
  Target picture;
  Drawing drawing;  // its room is used again from picture to picture
  // What does not change while time runs, kept drawn.
  Target still;
  std::vector<SceneItem> still_items;
  Projection still_projection;
  Color still_ground;
  bool still_drawn = false;

  explicit Implementation(std::unique_ptr<LetterSet> letters) : atlas(std::move(letters)) {}
  Implementation(const Implementation&) = delete;
  Implementation& operator=(const Implementation&) = delete;
  ~Implementation() {
    delete_target(picture);
    delete_target(still);
  }

  void draw(const std::vector<DrawCall>& calls) {
    glEnable(GL_BLEND);
    std::size_t figure = 0;
    for (const DrawCall& call : calls) {
      const bool once = call.kind == DrawCall::Kind::shadow;
      (once ? glEnable : glDisable)(GL_DEPTH_TEST);
      // Layers of figures are multiplied by their opacity already. The picture stays opaque.
      glBlendFuncSeparate(call.kind == DrawCall::Kind::figure ? GL_ONE : GL_SRC_ALPHA, GL_ONE_MINUS_SRC_ALPHA,
                          GL_ONE, GL_ONE_MINUS_SRC_ALPHA);
      switch (call.kind) {
        case DrawCall::Kind::flat:
        case DrawCall::Kind::shadow:
          pen.flat(call.first, call.count);
          break;
        case DrawCall::Kind::text:
          pen.text(call.first, call.count);
          break;
        case DrawCall::Kind::figure:
          layers.lay_over(figure++);
          break;
      }
    }
  }

  static void clear(Color ground) {
    glClearColor(static_cast<float>(ground.r) / 255, static_cast<float>(ground.g) / 255,
                 static_cast<float>(ground.b) / 255, 1);
    glClear(GL_COLOR_BUFFER_BIT);
  }

  [[nodiscard]] bool shows_still(const Scene& scene) const {
    return still_drawn && scene.still_items == still_items.size() && scene.projection == still_projection &&
           scene.ground == still_ground &&
           std::equal(still_items.begin(), still_items.end(), scene.items.begin());
  }

  void draw_still(const Scene& scene, const Window& whole) {
    make_drawing(scene, 0, scene.still_items, atlas, drawing);
    pen.upload(atlas);
    pen.upload(drawing);
    glBindFramebuffer(GL_FRAMEBUFFER, still.framebuffer);
    pen.look_at(whole);
    clear(scene.ground);
    draw(drawing.calls);
    still_items.assign(scene.items.begin(),
                       scene.items.begin() + static_cast<std::ptrdiff_t>(scene.still_items));
    still_projection = scene.projection;
    still_ground = scene.ground;
    still_drawn = true;
  }

  void render(const Scene& scene, int width, int height, Quality quality) {
    const KeptState state;
    const Window whole{0, 0, width, height, 1};
    if (picture.width != width || picture.height != height || still.width != width ||
        still.height != height) {
      still_drawn = false;
      if (!make_target(picture, width, height, 0, true) || !make_target(still, width, height, 0, false))
        return;
    }
    glDisable(GL_SCISSOR_TEST);
    glDisable(GL_CULL_FACE);
    glDisable(GL_DEPTH_TEST);
    glDepthMask(GL_TRUE);
    glColorMask(GL_TRUE, GL_TRUE, GL_TRUE, GL_TRUE);
    const bool keep = scene.still_items > 0;
    if (keep && !shows_still(scene)) draw_still(scene, whole);

    make_drawing(scene, keep ? scene.still_items : 0, scene.items.size(), atlas, drawing);
    std::vector<const Figure*> figures;
    for (const DrawCall& call : drawing.calls) {
      if (call.figure != nullptr) figures.push_back(call.figure);
    }
    layers.plan(figures, scene.projection, quality == Quality::full ? full_grain : draft_grain, drawing);
    pen.upload(atlas);
    pen.upload(drawing);
    layers.draw();

    if (keep) {
      glBindFramebuffer(GL_READ_FRAMEBUFFER, still.framebuffer);
      glBindFramebuffer(GL_DRAW_FRAMEBUFFER, picture.framebuffer);
      glBlitFramebuffer(0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
    }
    glBindFramebuffer(GL_FRAMEBUFFER, picture.framebuffer);
    pen.look_at(whole);
    if (!keep) clear(scene.ground);
    glDepthFunc(GL_LESS);
    clear_depth();
    draw(drawing.calls);
  }
};

Result<std::unique_ptr<Renderer>> Renderer::create(std::unique_ptr<LetterSet> letters) {
  auto implementation = std::make_unique<Implementation>(std::move(letters));
  if (const Outcome problem = implementation->pen.start()) return *problem;
  return std::unique_ptr<Renderer>(new Renderer(std::move(implementation)));
}

Renderer::Renderer(std::unique_ptr<Implementation> implementation)
    : implementation_(std::move(implementation)) {}
Renderer::~Renderer() = default;

void Renderer::render(const Scene& scene, int width_px, int height_px, Quality quality) {
  if (width_px > 0 && height_px > 0) implementation_->render(scene, width_px, height_px, quality);
}

unsigned Renderer::texture() const {
  return implementation_->picture.texture;
}

void Renderer::show(int x_px, int y_px) const {
  const Target& picture = implementation_->picture;
  if (picture.width == 0) return;
  GLint previous = 0;
  glGetIntegerv(GL_READ_FRAMEBUFFER_BINDING, &previous);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, picture.framebuffer);
  glBlitFramebuffer(0, 0, picture.width, picture.height, x_px, y_px, x_px + picture.width,
                    y_px + picture.height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, static_cast<GLuint>(previous));
}

Image Renderer::read() const {
  Image image;
  const Target& picture = implementation_->picture;
  if (picture.width == 0) return image;
  image.width = picture.width;
  image.height = picture.height;
  const std::size_t row = static_cast<std::size_t>(image.width) * 4;
  std::vector<std::uint8_t> upside_down(row * static_cast<std::size_t>(image.height));
  GLint previous = 0;
  glGetIntegerv(GL_READ_FRAMEBUFFER_BINDING, &previous);
  glBindFramebuffer(GL_READ_FRAMEBUFFER, picture.framebuffer);
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
