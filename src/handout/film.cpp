#include "handout/film.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

extern char** environ;  // NOLINT(readability-redundant-declaration): POSIX leaves it to the program

namespace halfturn {
namespace {

std::vector<std::string> encoder_arguments(const FilmSettings& s, const std::string& output) {
  std::vector<std::string> a{"ffmpeg",    "-hide_banner",
                             "-loglevel", "error",
                             "-nostdin",  "-y",
                             "-f",        "rawvideo",
                             "-pix_fmt",  "rgba",
                             "-s",        fmt::format("{}x{}", s.width, s.height),
                             "-r",        fmt::format("{:.6g}", s.fps),
                             "-i",        "pipe:0",
                             "-an"};
  const auto add = [&](std::initializer_list<const char*> more) {
    a.insert(a.end(), more.begin(), more.end());
  };
  switch (s.format) {
    case FilmFormat::mp4:
      // The colours of sRGB as HD players expect them; the index first, so that a film starts at once.
      add({"-vf",
           "scale=out_color_matrix=bt709:out_range=tv",
           "-c:v",
           "libx264",
           "-preset",
           "veryfast",
           "-crf",
           "18",
           "-pix_fmt",
           "yuv420p",
           "-colorspace",
           "bt709",
           "-color_primaries",
           "bt709",
           "-color_trc",
           "bt709",
           "-color_range",
           "tv",
           "-movflags",
           "+faststart",
           "-fflags",
           "+bitexact",
           "-f",
           "mp4"});
      break;
    case FilmFormat::gif:
      // A palette for every frame: memory stays the same however long the film is.
      add({"-vf", "split[a][b];[a]palettegen=stats_mode=single[p];[b][p]paletteuse=new=1:dither=none",
           "-loop", "0", "-f", "gif"});
      break;
    case FilmFormat::webp:
      add({"-c:v", "libwebp_anim", "-quality", "80", "-compression_level", "2", "-loop", "0", "-pix_fmt",
           "yuv420p", "-f", "webp"});
      break;
  }
  a.push_back(output);
  return a;
}

/// Blocks SIGPIPE in this thread: an encoder that died is an error of write(), not the end of the program.
class NoBrokenPipe {
 public:
  NoBrokenPipe() {
    sigemptyset(&pipe_);
    sigaddset(&pipe_, SIGPIPE);
    pthread_sigmask(SIG_BLOCK, &pipe_, &before_);
  }
  ~NoBrokenPipe() {
    const timespec none{};
    while (sigtimedwait(&pipe_, nullptr, &none) > 0) {
    }
    pthread_sigmask(SIG_SETMASK, &before_, nullptr);
  }
  NoBrokenPipe(const NoBrokenPipe&) = delete;
  NoBrokenPipe& operator=(const NoBrokenPipe&) = delete;

 private:
  sigset_t pipe_{}, before_{};
};

}  // namespace

struct FilmWriter::Implementation {
  FilmSettings settings;
  std::string temporary, complaints;  // files
  int pipe = -1;
  pid_t encoder = 0;

  Implementation() = default;
  Implementation(const Implementation&) = delete;
  Implementation& operator=(const Implementation&) = delete;
  ~Implementation() {
    if (pipe >= 0) ::close(pipe);
    if (encoder > 0) {
      ::kill(encoder, SIGKILL);
      int status = 0;
      while (::waitpid(encoder, &status, 0) < 0 && errno == EINTR) {
      }
    }
    if (!temporary.empty()) ::unlink(temporary.c_str());
    if (!complaints.empty()) ::unlink(complaints.c_str());
  }

  [[nodiscard]] Problem problem(const std::string& text) const { return {settings.path, "", text}; }
  [[nodiscard]] Problem system_problem() const {
    return problem(fmt::format("cannot be written: {}", std::strerror(errno)));
  }

  /// An empty file beside the target.
  std::string make_temporary() const {
    const std::size_t slash = settings.path.rfind('/');
    std::string name =
        (slash == std::string::npos ? "./" : settings.path.substr(0, slash + 1)) + ".halfturn-XXXXXX";
    const int file = ::mkstemp(name.data());
    if (file < 0) return {};
    ::close(file);
    return name;
  }

  /// What the encoder said last.
  std::string last_words() const {
    std::string words;
    if (FILE* file = std::fopen(complaints.c_str(), "r")) {
      char line[512];
      while (std::fgets(line, sizeof line, file) != nullptr) {
        words = line;
        while (!words.empty() && (words.back() == '\n' || words.back() == '\r')) words.pop_back();
      }
      std::fclose(file);
    }
    return words;
  }

  Outcome start() {
    struct stat status {};
    if (::stat(settings.path.c_str(), &status) == 0 && !S_ISREG(status.st_mode))
      return problem("is not a regular file, a film needs one");
    temporary = make_temporary();
    if (temporary.empty()) return system_problem();
    complaints = make_temporary();
    if (complaints.empty()) return system_problem();
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) return system_problem();
    // Room for a frame, so that drawing does not wait for every piece of one.
    ::fcntl(ends[1], F_SETPIPE_SZ, 1 << 20);
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[0], 0);
    posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&actions, 2, complaints.c_str(), O_WRONLY | O_TRUNC, 0600);
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    // A group of its own: Ctrl-C ends the film through us, not half of it behind our back.
    posix_spawnattr_setflags(&attributes,
                             POSIX_SPAWN_SETPGROUP | POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK);
    sigset_t none, pipe_signal;
    sigemptyset(&none);
    sigemptyset(&pipe_signal);
    sigaddset(&pipe_signal, SIGPIPE);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setsigdefault(&attributes, &pipe_signal);
    std::vector<std::string> arguments = encoder_arguments(settings, temporary);
    std::vector<char*> argv;
    for (std::string& argument : arguments) argv.push_back(argument.data());
    argv.push_back(nullptr);
    const int error = ::posix_spawnp(&encoder, "ffmpeg", &actions, &attributes, argv.data(), environ);
    posix_spawn_file_actions_destroy(&actions);
    posix_spawnattr_destroy(&attributes);
    ::close(ends[0]);
    pipe = ends[1];
    if (error != 0) {
      encoder = 0;
      return problem(error == ENOENT
                         ? "cannot be made: the program ffmpeg is not installed (Debian's package ffmpeg)"
                         : fmt::format("cannot be made: ffmpeg does not start: {}", std::strerror(error)));
    }
    return std::nullopt;
  }

  /// Waits for the encoder; whether it was content.
  bool join() {
    int status = 0;
    while (::waitpid(encoder, &status, 0) < 0 && errno == EINTR) {
    }
    encoder = 0;
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
  }

  [[nodiscard]] Problem encoder_problem() {
    ::close(std::exchange(pipe, -1));
    if (encoder > 0) join();
    const std::string words = last_words();
    return problem("cannot be made: ffmpeg stopped" + (words.empty() ? "" : ": " + words));
  }
};

FilmWriter::FilmWriter(std::unique_ptr<Implementation> implementation)
    : implementation_(std::move(implementation)) {}
FilmWriter::~FilmWriter() = default;

Result<std::unique_ptr<FilmWriter>> FilmWriter::start(const FilmSettings& settings) {
  auto film = std::make_unique<Implementation>();
  film->settings = settings;
  if (Outcome problem = film->start()) return *problem;
  return std::unique_ptr<FilmWriter>(new FilmWriter(std::move(film)));
}

Outcome FilmWriter::add(const std::vector<std::uint8_t>& rgba) {
  Implementation& film = *implementation_;
  HT_EXPECT(rgba.size() == 4U * static_cast<std::size_t>(film.settings.width) *
                               static_cast<std::size_t>(film.settings.height));
  const NoBrokenPipe quiet;
  std::size_t sent = 0;
  while (sent < rgba.size()) {
    const ssize_t n = ::write(film.pipe, rgba.data() + sent, rgba.size() - sent);
    if (n < 0 && errno == EINTR) continue;
    if (n < 0) return film.encoder_problem();
    sent += static_cast<std::size_t>(n);
  }
  return std::nullopt;
}

Outcome FilmWriter::finish() {
  Implementation& film = *implementation_;
  ::close(std::exchange(film.pipe, -1));
  if (!film.join()) {
    const std::string words = film.last_words();
    return film.problem("cannot be made: ffmpeg failed" + (words.empty() ? "" : ": " + words));
  }
  struct stat status {};
  const mode_t mask = ::umask(0);
  ::umask(mask);
  const mode_t mode =
      ::stat(film.settings.path.c_str(), &status) == 0 ? status.st_mode & 07777U : 0666U & ~mask;
  const int file = ::open(film.temporary.c_str(), O_RDONLY | O_CLOEXEC);
  const bool kept = file >= 0 && ::fchmod(file, mode) == 0 && ::fsync(file) == 0;
  if (file >= 0) ::close(file);
  if (!kept || ::rename(film.temporary.c_str(), film.settings.path.c_str()) != 0)
    return film.system_problem();
  film.temporary.clear();
  return std::nullopt;
}

}  // namespace halfturn
