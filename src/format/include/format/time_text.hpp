#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace halfturn {

/// A moment in UTC as ISO 8601, "2026-11-25T13:40:05Z"; with milliseconds where there are any.
[[nodiscard]] std::string time_text(std::int64_t time_ms);
/// "2026-11-25T13:40", with seconds or fractions, or the day alone (noon); with Z it is UTC, else the time of
/// this machine. Years 1970 to 9999. Problems carry the place.
[[nodiscard]] Result<std::int64_t> parse_time(std::string_view text, const std::string& place);
/// Day and minute on this machine's clock: "2026-11-25", "2026-11-25 13:40".
[[nodiscard]] std::string local_day(std::int64_t time_ms);
[[nodiscard]] std::string local_minute(std::int64_t time_ms);

}  // namespace halfturn
