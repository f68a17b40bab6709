#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace halfturn {

/// Largest file that is read as text; more is refused before it is read.
inline constexpr std::size_t default_text_limit = std::size_t{8} << 20;

/// Whole content of a regular file. Problems: missing, unreadable, a folder, larger than `limit` bytes.
[[nodiscard]] Result<std::string> read_file(const std::string& path, std::size_t limit = default_text_limit);

/// Writes to a temporary file beside `path`, flushes it to disk, then renames: the old content or the new,
/// never half.
[[nodiscard]] Outcome write_file(const std::string& path, std::string_view content);

}  // namespace halfturn
