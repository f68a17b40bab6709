#include "format/time_text.hpp"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <ctime>

namespace halfturn {
namespace {

std::tm local(std::int64_t time_ms) {
  const std::time_t seconds = static_cast<std::time_t>((time_ms - (time_ms % 1000 + 1000) % 1000) / 1000);
  std::tm parts{};
  ::localtime_r(&seconds, &parts);
  return parts;
}

/// Exactly `digits` digits at the front of a text, taken off; -1 when they are not there.
int take_number(std::string_view& text, std::size_t digits) {
  int value = 0;
  if (text.size() < digits) return -1;
  const auto [end, error] = std::from_chars(text.data(), text.data() + digits, value);
  if (error != std::errc() || end != text.data() + digits || value < 0) return -1;
  text.remove_prefix(digits);
  return value;
}

bool take(std::string_view& text, char c) {
  if (text.empty() || text.front() != c) return false;
  text.remove_prefix(1);
  return true;
}

}  // namespace

std::string time_text(std::int64_t time_ms) {
  const std::int64_t ms = (time_ms % 1000 + 1000) % 1000;
  const std::time_t seconds = static_cast<std::time_t>((time_ms - ms) / 1000);
  std::tm p{};
  ::gmtime_r(&seconds, &p);
  std::string text = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", p.tm_year + 1900, p.tm_mon + 1,
                                 p.tm_mday, p.tm_hour, p.tm_min, p.tm_sec);
  if (ms != 0) text += fmt::format(".{:03}", ms);
  return text + "Z";
}

Result<std::int64_t> parse_time(std::string_view text, const std::string& place) {
  const Problem wrong{
      "", place,
      fmt::format("\"{}\" is not a time; give a day such as 2026-11-25, or a day and a clock such as "
                  "2026-11-25T13:40",
                  text)};
  std::string_view rest = text;
  std::tm p{};
  const int year = take_number(rest, 4);
  bool good = year >= 1970 && take(rest, '-');
  const int month = good ? take_number(rest, 2) : -1;
  good = good && month >= 1 && month <= 12 && take(rest, '-');
  const int day = good ? take_number(rest, 2) : -1;
  if (!good || day < 1 || day > 31) return wrong;
  p.tm_year = year - 1900;
  p.tm_mon = month - 1;
  p.tm_mday = day;
  p.tm_hour = 12;
  p.tm_isdst = -1;
  std::int64_t ms = 0;
  if (!rest.empty()) {
    if (!take(rest, 'T') && !take(rest, ' ')) return wrong;
    p.tm_hour = take_number(rest, 2);
    if (!take(rest, ':')) return wrong;
    p.tm_min = take_number(rest, 2);
    if (take(rest, ':')) p.tm_sec = take_number(rest, 2);
    if (take(rest, '.')) {
      std::array<int, 3> digits{};
      for (std::size_t i = 0; !rest.empty() && rest.front() >= '0' && rest.front() <= '9'; ++i) {
        if (i < 3) digits[i] = rest.front() - '0';
        rest.remove_prefix(1);
      }
      ms = digits[0] * 100 + digits[1] * 10 + digits[2];
    }
  }
  const bool utc = take(rest, 'Z');
  if (!rest.empty() || p.tm_hour < 0 || p.tm_hour > 23 || p.tm_min < 0 || p.tm_min > 59 || p.tm_sec < 0 ||
      p.tm_sec > 59) {
    return wrong;
  }
  std::tm normal = p;
  const std::time_t seconds = utc ? ::timegm(&normal) : ::mktime(&normal);
  // The 31st of a shorter month comes back as another day.
  if (normal.tm_mday != day || normal.tm_mon != month - 1) return wrong;
  return std::int64_t{seconds} * 1000 + ms;
}

std::string local_day(std::int64_t time_ms) {
  const std::tm p = local(time_ms);
  return fmt::format("{:04}-{:02}-{:02}", p.tm_year + 1900, p.tm_mon + 1, p.tm_mday);
}

std::string local_minute(std::int64_t time_ms) {
  const std::tm p = local(time_ms);
  return fmt::format("{} {:02}:{:02}", local_day(time_ms), p.tm_hour, p.tm_min);
}

}  // namespace halfturn
