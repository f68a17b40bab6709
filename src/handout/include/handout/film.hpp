#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"

namespace halfturn {

/// MP4: H.264, yuv420p. GIF and WebP: animated pictures that loop.
enum class FilmFormat : unsigned char { mp4, gif, webp };

struct FilmSettings {
  FilmFormat format = FilmFormat::mp4;
  int width = 1280, height = 720;  ///< px; even for MP4
  double fps = 30;
  std::string path;
};

/// Frames to a film file through the program ffmpeg, which encodes beside the caller. The file appears under
/// its name only when it is whole: until finish() an older file of that name stays as it is.
class FilmWriter {
 public:
  /// A problem when ffmpeg is missing or the folder cannot be written.
  [[nodiscard]] static Result<std::unique_ptr<FilmWriter>> start(const FilmSettings& settings);
  /// Without finish(): stops the encoder and removes what it wrote.
  ~FilmWriter();
  FilmWriter(const FilmWriter&) = delete;
  FilmWriter& operator=(const FilmWriter&) = delete;

  /// One frame, RGBA, rows from the top, width x height x 4 bytes. Waits while the encoder is behind.
  [[nodiscard]] Outcome add(const std::vector<std::uint8_t>& rgba);
  [[nodiscard]] Outcome finish();

 private:
  struct Implementation;
  explicit FilmWriter(std::unique_ptr<Implementation> implementation);
  std::unique_ptr<Implementation> implementation_;
};

}  // namespace halfturn
