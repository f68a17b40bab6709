#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "handout/sheet.hpp"

namespace halfturn {

/// What a video file says about itself.
struct VideoFacts {
  double frames_per_second = 0;
  bool even = true;         ///< false: the camera took its frames at uneven times
  std::int64_t frames = 0;  ///< 0: not known
  double duration_s = 0;    ///< 0: not known
};
/// Asks ffprobe, which comes with ffmpeg. Problems name the file: not a video, or, with the place
/// "--strip", the program is missing.
[[nodiscard]] Result<VideoFacts> video_facts(const std::string& path);

/// One frame of a video.
struct VideoPicture {
  std::int64_t frame = 0;  ///< counted from 0
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;  ///< rows from the top
};
/// Every `step`-th frame from `first` to `last`, upright and `height` px high, through ffmpeg. Problems as
/// above.
[[nodiscard]] Result<std::vector<VideoPicture>> video_pictures(const std::string& path, std::int64_t first,
                                                               std::int64_t last, std::int64_t step,
                                                               int height);

/// The pictures in rows, each with the number of its frame and its second: PNG bytes; empty when they cannot
/// be packed.
[[nodiscard]] std::string video_strip_png(const std::vector<VideoPicture>& pictures, const VideoFacts& facts,
                                          const HandoutFonts& fonts);

}  // namespace halfturn
