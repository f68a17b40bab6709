#include "figure_layers.hpp"

#include <algorithm>

#include "scene/projection.hpp"

namespace halfturn {
namespace {

constexpr int wished_samples = 4;
constexpr int most_texels = 4096;  // along each side of the layer that is drawn with several samples
constexpr int step = 64;  // targets grow by so many px, so that a moving figure seldom needs a new one

int rounded_up(int value) {
  return (value + step - 1) / step * step;
}

/// Whether the same pixels come of both, but for the opacity that they are laid over with.
bool same_shape(const Figure& a, const Figure& b) {
  return a.ghost == b.ghost && a.outline_px == b.outline_px && a.halo_px == b.halo_px && a.line == b.line &&
         a.halo == b.halo && a.band == b.band && a.capsules == b.capsules && a.facets == b.facets;
}

int most_samples() {
  GLint most = 1;
  glGetIntegerv(GL_MAX_SAMPLES, &most);
#ifndef __EMSCRIPTEN__
  GLint most_color = 1;
  glGetIntegerv(GL_MAX_COLOR_TEXTURE_SAMPLES, &most_color);
  most = std::min(most, most_color);
#endif
  return std::clamp(static_cast<int>(most), 1, wished_samples);
}

/// A target that is large enough; false when the driver cannot make it.
bool make_room(Target& target, int width, int height, int samples, bool with_depth) {
  if (target.width >= width && target.height >= height && target.samples == samples) return true;
  return make_target(target, rounded_up(std::max(width, target.width)),
                     rounded_up(std::max(height, target.height)), samples, with_depth);
}

}  // namespace

FigureLayers::~FigureLayers() {
  for (Layer& layer : layers_) delete_target(layer.target);
  delete_target(many_);
  delete_target(resolved_);
}

void FigureLayers::plan(const std::vector<const Figure*>& figures, const Projection& projection, int grain,
                        Drawing& out) {
  for (Layer& layer : layers_) layer.planned = false;
  planned_.clear();
  const Projector projector(projection);
  for (const Figure* figure : figures) {
    auto kept = std::find_if(layers_.begin(), layers_.end(), [&](const Layer& layer) {
      return !layer.planned && layer.grain == grain && layer.projection == projection &&
             same_shape(layer.figure, *figure);
    });
    if (kept == layers_.end()) {
      // One that the picture before needed and this one does not is used again, preferably not a ghost's:
      // those stand still.
      kept = std::find_if(layers_.begin(), layers_.end(), [&](const Layer& layer) {
        return !layer.planned && layer.figure.ghost == figure->ghost;
      });
      if (kept == layers_.end()) kept = layers_.emplace(layers_.end());
      kept->figure = *figure;
      kept->projection = projection;
      kept->grain = grain;
      kept->drawn = draw_figure(kept->figure, projector, out);
      kept->done = false;
    }
    kept->planned = true;
    planned_.push_back({static_cast<std::size_t>(kept - layers_.begin()), figure->opacity});
  }
}

void FigureLayers::draw() {
  for (Layer& layer : layers_) {
    if (layer.planned && !layer.done) draw(layer);
  }
}

void FigureLayers::draw(Layer& layer) {
  const FigureDrawing& d = layer.drawn;
  const int width = d.x1 - d.x0, height = d.y1 - d.y0;
  if (width <= 0 || height <= 0) return;
  int samples = most_samples();
  int grain = layer.grain;
  while (grain > 1 && std::max(width, height) * grain > most_texels) --grain;
  while (!make_room(many_, width * grain, height * grain, samples, true)) {
    if (samples == 1) return;
    samples /= 2;
  }
  glBindFramebuffer(GL_FRAMEBUFFER, many_.framebuffer);
  glDisable(GL_BLEND);
  glEnable(GL_DEPTH_TEST);
  glDepthMask(GL_TRUE);
  glDepthFunc(GL_LEQUAL);
  pen_.look_at({d.x0, d.y0, width, height, grain});
  glEnable(GL_SCISSOR_TEST);
  glScissor(0, 0, width * grain, height * grain);
  glClearColor(0, 0, 0, 0);
  glClear(GL_COLOR_BUFFER_BIT);
  clear_depth();
  const Color band = layer.figure.band;
  pen_.figure(d, {band.r, band.g, band.b, 255});
  glDisable(GL_SCISSOR_TEST);
  glDisable(GL_DEPTH_TEST);

  if (in_browser && !resolve(width * grain, height * grain)) return;
  if (!make_room(layer.target, width, height, 0, false)) return;
  glBindFramebuffer(GL_FRAMEBUFFER, layer.target.framebuffer);
  pen_.look_at({d.x0, d.y0, width, height, 1});
  pen_.mean(in_browser ? resolved_.texture : many_.texture, in_browser ? 1 : samples, grain);
  layer.done = true;
}

bool FigureLayers::resolve(int width, int height) {
  if (!make_room(resolved_, width, height, 0, false)) return false;
  glBindFramebuffer(GL_READ_FRAMEBUFFER, many_.framebuffer);
  glBindFramebuffer(GL_DRAW_FRAMEBUFFER, resolved_.framebuffer);
  glBlitFramebuffer(0, 0, width, height, 0, 0, width, height, GL_COLOR_BUFFER_BIT, GL_NEAREST);
  return true;
}

void FigureLayers::lay_over(std::size_t index) {
  const Planned& planned = planned_[index];
  const Layer& layer = layers_[planned.layer];
  if (!layer.done) return;
  const FigureDrawing& d = layer.drawn;
  if (d.x1 <= d.x0 || d.y1 <= d.y0) return;
  pen_.lay_over(layer.target.texture, d.x0, d.y0, d.x1, d.y1, planned.opacity);
}

}  // namespace halfturn
