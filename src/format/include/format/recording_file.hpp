#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "measure/recording.hpp"

namespace halfturn {

/// What a person says about the columns of a record where its header leaves it open.
struct ColumnAnswers {
  std::optional<double> time_unit_s;      ///< seconds in one unit of the time column
  std::optional<double> rate_unit_rad_s;  ///< rad/s in one unit of the gyroscope columns
  std::optional<double> force_unit_m_s2;  ///< m/s2 in one unit of the accelerometer columns
  std::optional<double> length_unit_m;    ///< metres in one unit of a skeleton's lengths
  bool needs_path = true;                 ///< false: takeoff and landing are marked, lengths are not needed
  std::string segment;                    ///< which of several sets of columns or joints
};

/// Most rows a record may have: over an hour at 1 kHz.
inline constexpr std::size_t most_record_rows = 4'000'000;

/// A record from the text of a BVH file (it begins with HIERARCHY), or from CSV text (comma, semicolon or
/// tab; `#` begins a comment line): a header line, a time column and a quaternion (w, x, y, z in any order),
/// or gyroscope and accelerometer columns. Units from the header, from the answers or, for time and
/// accelerometer, from the numbers themselves. Problems name line and column, or the option that would
/// answer.
[[nodiscard]] Result<Recording> read_recording(std::string_view text, const std::string& file,
                                               const ColumnAnswers& answers = {});
/// The same from a file on disk, read in pieces, so that its size does not matter to memory.
[[nodiscard]] Result<Recording> load_recording(const std::string& path, const ColumnAnswers& answers = {});

}  // namespace halfturn
