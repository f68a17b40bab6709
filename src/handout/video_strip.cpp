#include "handout/video_strip.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cairo_font.hpp"
#include "handout/pictures.hpp"

namespace halfturn {
namespace {

constexpr int gap = 6, label = 24;  // px
constexpr double size = 16;         // px, of letters
constexpr int widest = 1920;        // px, of the strip

struct Free {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(cairo_font_face_t* font) const { cairo_font_face_destroy(font); }
};

}  // namespace

std::string video_strip_png(const std::vector<VideoPicture>& pictures, const VideoFacts& facts,
                            const HandoutFonts& fonts) {
  if (pictures.empty()) return {};
  const int w = pictures.front().width, h = pictures.front().height;
  const int count = static_cast<int>(pictures.size());
  const int columns = std::clamp(widest / (w + gap), 1, count), rows = (count + columns - 1) / columns;
  const int width = columns * (w + gap) + gap, height = rows * (h + label + gap) + gap;
  const std::unique_ptr<cairo_surface_t, Free> sheet(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height));
  if (cairo_surface_status(sheet.get()) != CAIRO_STATUS_SUCCESS) return {};
  unsigned char* const pixels = cairo_image_surface_get_data(sheet.get());
  const int stride = cairo_image_surface_get_stride(sheet.get());
  const auto place = [&](int k) {
    return std::pair(gap + (k % columns) * (w + gap), gap + (k / columns) * (h + label + gap));
  };
  {
    const std::unique_ptr<cairo_font_face_t, Free> letters(open_font(fonts.bold).font);
    if (letters == nullptr) return {};
    const std::unique_ptr<cairo_t, Free> cairo(cairo_create(sheet.get()));
    cairo_set_source_rgb(cairo.get(), 1, 1, 1);
    cairo_paint(cairo.get());
    cairo_set_source_rgb(cairo.get(), 0, 0, 0);
    cairo_set_font_face(cairo.get(), letters.get());
    cairo_set_font_size(cairo.get(), size);
    for (int k = 0; k < count; ++k) {
      const auto [x, y] = place(k);
      const std::int64_t frame = pictures[static_cast<std::size_t>(k)].frame;
      cairo_move_to(cairo.get(), x + 4, y + h + label - 6);
      cairo_show_text(
          cairo.get(),
          fmt::format("{}   {:.3f} s", frame, static_cast<double>(frame) / facts.frames_per_second).c_str());
    }
  }
  cairo_surface_flush(sheet.get());
  std::vector<std::uint8_t> rgba(static_cast<std::size_t>(width) * static_cast<std::size_t>(height) * 4, 255);
  const auto at = [&](int x, int y) {
    return (static_cast<std::size_t>(y) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x)) * 4;
  };
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const unsigned char* from = pixels + y * stride + 4 * x;
      for (std::size_t k = 0; k < 3; ++k) rgba[at(x, y) + k] = from[2 - k];  // little-endian xRGB
    }
  }
  for (int k = 0; k < count; ++k) {
    const VideoPicture& picture = pictures[static_cast<std::size_t>(k)];
    if (picture.width != w || picture.height != h) continue;
    const auto [left, top] = place(k);
    for (int y = 0; y < h; ++y) {
      for (int x = 0; x < w; ++x) {
        const std::size_t from =
            (static_cast<std::size_t>(y) * static_cast<std::size_t>(w) + static_cast<std::size_t>(x)) * 3;
        std::copy_n(picture.rgb.begin() + static_cast<std::ptrdiff_t>(from), 3,
                    rgba.begin() + static_cast<std::ptrdiff_t>(at(left + x, top + y)));
      }
    }
  }
  return png_bytes(width, height, rgba);
}

}  // namespace halfturn
