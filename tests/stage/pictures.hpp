#pragma once

#include <optional>
#include <string>

#include "ladder/ladder.hpp"
#include "scene/compose.hpp"
#include "stage/renderer.hpp"

namespace halfturn::pictures {

/// A renderer in a surfaceless context that lives as long as the program; ends the program with a message
/// when there is no such context.
[[nodiscard]] Renderer& renderer();
/// Another renderer in the same context.
[[nodiscard]] std::unique_ptr<Renderer> new_renderer();

[[nodiscard]] Ladder ladder_of(const std::string& base, Side side, double to_deg, double step_deg);
/// A rung of a ladder at a time, s.
[[nodiscard]] Scene scene_of(const Ladder& ladder, std::size_t rung, double time, const View& view);
[[nodiscard]] View view_at(CameraKind camera, int width, int height, double scale,
                           Theme theme = Theme::light);

[[nodiscard]] Image draw(Renderer& renderer, const Scene& scene, Quality quality = Quality::full);

/// 8-bit RGBA; empty when the file cannot be read.
[[nodiscard]] std::optional<Image> read_png(const std::string& path);
[[nodiscard]] bool write_png(const std::string& path, const Image& image);

}  // namespace halfturn::pictures
