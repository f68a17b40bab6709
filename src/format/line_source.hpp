#pragma once

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <functional>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace halfturn {

inline constexpr std::size_t longest_line = 1 << 16;

/// Gives a reader the lines of a text without their ends: `take(line, ended)`; the last one may have had no
/// end.
template <class Reader>
[[nodiscard]] Outcome take_lines(std::string_view text, const std::string& file, Reader& reader) {
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    if (line.size() > longest_line) {
      return Problem{file, "",
                     fmt::format("a line is longer than {} characters: this is no record", longest_line)};
    }
    if (Outcome problem = reader.take(line, end != std::string_view::npos)) return problem;
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
  }
  return std::nullopt;
}

/// Takes one line, as above.
using TakeLine = std::function<Outcome(std::string_view line, bool ended)>;

/// The same from a file on disk, read in pieces, so that its size does not matter to memory. `choose(start)`
/// sees the first characters and gives the reader to be used.
template <class Choose>
[[nodiscard]] Outcome take_lines_of_file(const std::string& path, Choose choose) {
  struct File {
    int descriptor;
    ~File() {
      if (descriptor >= 0) ::close(descriptor);
    }
  };
  const File file{::open(path.c_str(), O_RDONLY | O_CLOEXEC)};
  if (file.descriptor < 0)
    return Problem{path, "", fmt::format("cannot be opened: {}", std::strerror(errno))};
  std::string buffer(std::size_t{1} << 18, '\0');
  std::size_t kept = 0;  // characters of an unfinished line at the front of the buffer
  bool chosen = false;
  TakeLine take;
  for (;;) {
    const ssize_t got = ::read(file.descriptor, buffer.data() + kept, buffer.size() - kept);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return Problem{path, "", fmt::format("cannot be read: {}", std::strerror(errno))};
    const std::size_t size = kept + static_cast<std::size_t>(got);
    std::string_view rest(buffer.data(), size);
    if (!chosen) take = choose(rest);
    chosen = true;
    for (std::size_t end = rest.find('\n'); end != std::string_view::npos; end = rest.find('\n')) {
      if (Outcome problem = take(rest.substr(0, end), true)) return problem;
      rest.remove_prefix(end + 1);
    }
    if (got == 0) return rest.empty() ? std::nullopt : take(rest, false);
    if (rest.size() > longest_line) {
      return Problem{path, "",
                     fmt::format("a line is longer than {} characters: this is no record", longest_line)};
    }
    kept = rest.size();
    std::memmove(buffer.data(), rest.data(), kept);
  }
}

}  // namespace halfturn
