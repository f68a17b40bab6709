#pragma once

#include <cstdint>
#include <memory>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "scene/scene.hpp"
#include "stage/letter_set.hpp"

namespace halfturn {

/// Pixels, RGBA, 8 bits each, rows from the top.
struct Image {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgba;
};

/// Lower while the picture moves, full at rest.
enum class Quality : std::uint8_t { draft, full };

/// Draws scenes with OpenGL 3.3 core, in a browser with WebGL 2, into a texture of its own, in whatever
/// context is current.
class Renderer {
 public:
  using LoadFunction = void* (*)(const char* name);
  /// A problem when the context is too old, a shader does not compile or a font cannot be read.
  [[nodiscard]] static Result<std::unique_ptr<Renderer>> create(LoadFunction load, const StageFonts& fonts);
  /// The same where OpenGL's functions are loaded already: a problem when a shader does not compile.
  [[nodiscard]] static Result<std::unique_ptr<Renderer>> create(std::unique_ptr<LetterSet> letters);
  ~Renderer();
  Renderer(const Renderer&) = delete;
  Renderer& operator=(const Renderer&) = delete;

  void render(const Scene& scene, int width_px, int height_px, Quality quality);
  /// Colour texture of the last picture, for the panels to show; its first row is the bottom one.
  [[nodiscard]] unsigned texture() const;
  /// Copies the last picture to where drawing goes now, its lower left corner at (x, y) px from there.
  void show(int x_px, int y_px) const;
  /// The last picture read back.
  [[nodiscard]] Image read() const;

 private:
  struct Implementation;
  explicit Renderer(std::unique_ptr<Implementation> implementation);
  std::unique_ptr<Implementation> implementation_;
};

/// An OpenGL 3.3 core context without any display (EGL surfaceless).
class OffscreenContext {
 public:
  [[nodiscard]] static Result<std::unique_ptr<OffscreenContext>> create();
  ~OffscreenContext();
  OffscreenContext(const OffscreenContext&) = delete;
  OffscreenContext& operator=(const OffscreenContext&) = delete;
  [[nodiscard]] static Renderer::LoadFunction load_function();

 private:
  OffscreenContext() = default;
  void* display_ = nullptr;
  void* context_ = nullptr;
};

}  // namespace halfturn
