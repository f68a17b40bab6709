#include "pictures.hpp"

#include <png.h>

#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>

#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"

namespace halfturn::pictures {
namespace {

std::string bytes_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

const StageFonts& fonts() {
  static const std::string medium = bytes_of(FONT_FOLDER "/Inter-Medium.otf");
  static const std::string bold = bytes_of(FONT_FOLDER "/Inter-Bold.otf");
  static const std::string heavy = bytes_of(FONT_FOLDER "/Inter-ExtraBold.otf");
  static const StageFonts all{medium, bold, heavy};
  return all;
}

template <class Value>
Value value_or_exit(Result<Value> result) {
  if (!result) {
    std::fprintf(stderr, "%s\n", result.problem().message().c_str());
    std::exit(3);
  }
  return std::move(result).value();
}

}  // namespace

std::unique_ptr<Renderer> new_renderer() {
  static const std::unique_ptr<OffscreenContext> context = value_or_exit(OffscreenContext::create());
  return value_or_exit(Renderer::create(OffscreenContext::load_function(), fonts()));
}

Renderer& renderer() {
  static const std::unique_ptr<Renderer> one = new_renderer();
  return *one;
}

Ladder ladder_of(const std::string& base, Side side, double to_deg, double step_deg) {
  Plan plan;
  plan.base = base;
  plan.side = side;
  plan.steps = equal_steps(0, to_deg, step_deg);
  return make_ladder(plan, built_in_vocabulary(), built_in_difficulty()).value();
}

Scene scene_of(const Ladder& ladder, std::size_t rung, double time, const View& view) {
  return compose(ladder, rung, drawn_flight(ladder.rungs.at(rung), embedded_shapes()), time, view);
}

View view_at(CameraKind camera, int width, int height, double scale, Theme theme) {
  View view;
  view.camera = camera;
  view.width_px = width;
  view.height_px = height;
  view.scale = scale;
  view.theme = theme;
  return view;
}

Image draw(Renderer& renderer, const Scene& scene, Quality quality) {
  renderer.render(scene, scene.projection.width_px, scene.projection.height_px, quality);
  return renderer.read();
}

std::optional<Image> read_png(const std::string& path) {
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  if (png_image_begin_read_from_file(&png, path.c_str()) == 0) return std::nullopt;
  png.format = PNG_FORMAT_RGBA;
  Image image;
  image.width = static_cast<int>(png.width);
  image.height = static_cast<int>(png.height);
  image.rgba.resize(PNG_IMAGE_SIZE(png));
  if (png_image_finish_read(&png, nullptr, image.rgba.data(), 0, nullptr) == 0) return std::nullopt;
  return image;
}

bool write_png(const std::string& path, const Image& image) {
  png_image png{};
  png.version = PNG_IMAGE_VERSION;
  png.width = static_cast<png_uint_32>(image.width);
  png.height = static_cast<png_uint_32>(image.height);
  png.format = PNG_FORMAT_RGBA;
  return png_image_write_to_file(&png, path.c_str(), 0, image.rgba.data(), 0, nullptr) != 0;
}

}  // namespace halfturn::pictures
