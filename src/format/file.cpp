#include "format/file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

namespace halfturn {
namespace {

std::string reason() {
  return std::strerror(errno);
}

/// Closes a descriptor at the end of its scope.
class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  ~Descriptor() {
    if (number_ >= 0) ::close(number_);
  }
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  [[nodiscard]] int get() const { return number_; }
  /// Closes now and tells whether that went well.
  bool close() {
    const int number = number_;
    number_ = -1;
    return ::close(number) == 0;
  }

 private:
  int number_;
};

bool write_all(int descriptor, std::string_view content) {
  while (!content.empty()) {
    const ssize_t written = ::write(descriptor, content.data(), content.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return false;
    content.remove_prefix(static_cast<std::size_t>(written));
  }
  return true;
}

/// Where a symbolic link leads, so that saving through it keeps the link.
std::string real_path(const std::string& path) {
  char* resolved = ::realpath(path.c_str(), nullptr);
  if (resolved == nullptr) return path;
  std::string result = resolved;
  std::free(resolved);
  return result;
}

}  // namespace

Result<std::string> read_file(const std::string& path, std::size_t limit) {
  const Descriptor file(::open(path.c_str(), O_RDONLY | O_CLOEXEC));
  if (file.get() < 0) return Problem{path, "", fmt::format("cannot be opened: {}", reason())};
  struct stat status {};
  if (::fstat(file.get(), &status) != 0)
    return Problem{path, "", fmt::format("cannot be read: {}", reason())};
  if (S_ISDIR(status.st_mode)) return Problem{path, "", "is a folder, a file is needed"};
  std::string content;
  char buffer[1 << 16];
  for (;;) {
    if (content.size() > limit || (S_ISREG(status.st_mode) && status.st_size > static_cast<off_t>(limit))) {
      return Problem{path, "",
                     fmt::format("is larger than {} MB, too large for this kind of file", limit >> 20)};
    }
    const ssize_t got = ::read(file.get(), buffer, sizeof buffer);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return Problem{path, "", fmt::format("cannot be read: {}", reason())};
    if (got == 0) return content;
    content.append(buffer, static_cast<std::size_t>(got));
  }
}

Outcome write_file(const std::string& path, std::string_view content) {
  const std::string target = real_path(path);
  const std::size_t slash = target.rfind('/');
  const std::string folder = slash == std::string::npos ? "." : target.substr(0, slash + 1);
  struct stat status {};
  if (::stat(target.c_str(), &status) == 0) {
    if (S_ISDIR(status.st_mode)) return Problem{path, "", "is a folder, a file name is needed"};
    // A device or pipe (/dev/stdout) cannot be replaced by renaming.
    if (!S_ISREG(status.st_mode)) {
      const Descriptor file(::open(target.c_str(), O_WRONLY | O_CLOEXEC));
      if (file.get() < 0 || !write_all(file.get(), content)) {
        return Problem{path, "", fmt::format("cannot be written: {}", reason())};
      }
      return std::nullopt;
    }
  }
  std::string temporary = folder + (folder.back() == '/' ? "" : "/") + ".halfturn-XXXXXX";
  Descriptor file(::mkstemp(temporary.data()));
  if (file.get() < 0) return Problem{path, "", fmt::format("cannot be written: {}", reason())};
  const mode_t mask = ::umask(0);
  ::umask(mask);
  const bool regular = S_ISREG(status.st_mode);
  ::fchmod(file.get(), regular ? status.st_mode & 07777u : 0666u & ~mask);
  if (!write_all(file.get(), content) || ::fsync(file.get()) != 0 || !file.close() ||
      ::rename(temporary.c_str(), target.c_str()) != 0) {
    const Problem problem{path, "", fmt::format("cannot be written: {}", reason())};
    ::unlink(temporary.c_str());
    return problem;
  }
  return std::nullopt;
}

}  // namespace halfturn
