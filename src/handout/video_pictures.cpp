// Frames of the coach's own video, read through ffmpeg and ffprobe.
#include <fcntl.h>
#include <fmt/format.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <charconv>
#include <cstring>

#include "handout/video_strip.hpp"

extern char** environ;  // NOLINT(readability-redundant-declaration): POSIX leaves it to the program

namespace halfturn {
namespace {

constexpr std::size_t most_bytes = std::size_t{1} << 30;  // of pictures read at once
constexpr double uneven = 0.01;                           // of the rate, by which a steady camera may differ

struct Said {
  std::string output, complaints;
  int status = 0;
};

std::string text_of(int file) {
  std::string text;
  ::lseek(file, 0, SEEK_SET);
  char part[4096];
  for (ssize_t got = 0; (got = ::read(file, part, sizeof part)) > 0 && text.size() < 65536;)
    text.append(part, static_cast<std::size_t>(got));
  return text;
}

/// Runs a program and reads what it prints. Problems name `path`.
Result<Said> run_program(std::vector<std::string> arguments, const std::string& path) {
  const auto problem = [&](const std::string& text) { return Problem{path, "", text}; };
  const int complaints = ::memfd_create("complaints", MFD_CLOEXEC);
  int ends[2] = {-1, -1};
  if (complaints < 0 || ::pipe2(ends, O_CLOEXEC) != 0) {
    const std::string why = std::strerror(errno);
    if (complaints >= 0) ::close(complaints);
    return problem("cannot be read: " + why);
  }
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_adddup2(&actions, ends[1], 1);
  posix_spawn_file_actions_adddup2(&actions, complaints, 2);
  std::vector<char*> argv;
  for (std::string& argument : arguments) argv.push_back(argument.data());
  argv.push_back(nullptr);
  pid_t child = 0;
  const int error = ::posix_spawnp(&child, argv[0], &actions, nullptr, argv.data(), environ);
  posix_spawn_file_actions_destroy(&actions);
  ::close(ends[1]);
  if (error != 0) {
    ::close(ends[0]);
    ::close(complaints);
    // Nothing is wrong with the video: the place says what cannot be made.
    return Problem{path, "--strip",
                   error == ENOENT
                       ? fmt::format("cannot be looked into: the program {} is not installed (Debian's "
                                     "package ffmpeg)",
                                     arguments[0])
                       : fmt::format("cannot be looked into: {} does not start: {}", arguments[0],
                                     std::strerror(error))};
  }
  Said said;
  std::vector<char> part(1 << 16);
  for (;;) {
    const ssize_t got = ::read(ends[0], part.data(), part.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0) break;
    said.output.append(part.data(), static_cast<std::size_t>(got));
    if (said.output.size() > most_bytes) {
      ::kill(child, SIGKILL);
      break;
    }
  }
  ::close(ends[0]);
  while (::waitpid(child, &said.status, 0) < 0 && errno == EINTR) {
  }
  said.complaints = text_of(complaints);
  ::close(complaints);
  if (said.output.size() > most_bytes) return problem("its pictures are too large: ask for fewer of them");
  return said;
}

std::string last_line(std::string text) {
  while (!text.empty() && (text.back() == '\n' || text.back() == '\r')) text.pop_back();
  const std::size_t at = text.find_last_of('\n');
  return at == std::string::npos ? text : text.substr(at + 1);
}

Problem no_video(const Said& said, const std::string& path) {
  const std::string why = last_line(said.complaints);
  return {path, "", "is no video that ffmpeg can read" + (why.empty() ? std::string() : ": " + why)};
}

/// A file name cannot be taken for an option or a protocol.
std::string as_file(const std::string& path) {
  return "file:" + path;
}

/// "30000/1001"; 0 for anything else.
double rate_of(std::string_view text) {
  double top = 0, bottom = 1;
  const auto [slash, error] = std::from_chars(text.data(), text.data() + text.size(), top);
  if (error != std::errc()) return 0;
  if (slash != text.data() + text.size()) std::from_chars(slash + 1, text.data() + text.size(), bottom);
  return bottom > 0 ? top / bottom : 0;
}

}  // namespace

Result<VideoFacts> video_facts(const std::string& path) {
  const Result<Said> asked =
      run_program({"ffprobe", "-v", "error", "-select_streams", "v:0", "-count_packets", "-show_entries",
                   "stream=r_frame_rate,avg_frame_rate,nb_read_packets:format=duration", "-of",
                   "default=noprint_wrappers=1", as_file(path)},
                  path);
  if (!asked) return asked.problem();
  VideoFacts facts;
  double steady = 0;
  const std::string& text = asked->output;
  for (std::size_t start = 0; start < text.size();) {
    const std::size_t end = std::min(text.find('\n', start), text.size());
    const std::string_view line(text.data() + start, end - start);
    start = end + 1;
    const std::size_t equals = line.find('=');
    if (equals == std::string_view::npos) continue;
    const std::string_view key = line.substr(0, equals), value = line.substr(equals + 1);
    if (key == "r_frame_rate") steady = rate_of(value);
    if (key == "avg_frame_rate") facts.frames_per_second = rate_of(value);
    if (key == "nb_read_packets") facts.frames = static_cast<std::int64_t>(rate_of(value));
    if (key == "duration") facts.duration_s = rate_of(value);
  }
  if (asked->status != 0 || !(facts.frames_per_second > 0) || facts.frames <= 0)
    return no_video(*asked, path);
  facts.even = std::abs(steady - facts.frames_per_second) <= uneven * facts.frames_per_second;
  return facts;
}

Result<std::vector<VideoPicture>> video_pictures(const std::string& path, std::int64_t first,
                                                 std::int64_t last, std::int64_t step, int height) {
  const std::string chosen = fmt::format("select='between(n\\,{}\\,{})*not(mod(n-{}\\,{}))',scale=-2:{}",
                                         first, last, first, step, height);
  const std::int64_t count = (last - first) / step + 1;
  const Result<Said> read = run_program(
      {"ffmpeg", "-hide_banner", "-loglevel", "error", "-nostdin", "-i", as_file(path), "-an", "-vf", chosen,
       "-vsync", "0", "-frames:v", fmt::format("{}", count), "-f", "image2pipe", "-c:v", "ppm", "pipe:1"},
      path);
  if (!read) return read.problem();
  std::vector<VideoPicture> pictures;
  const std::string& bytes = read->output;
  for (std::size_t at = 0; at < bytes.size();) {
    VideoPicture picture;
    int used = 0;
    // "P6\n320 180\n255\n" and the pixels.
    const std::string head = bytes.substr(at, 64);
    if (std::sscanf(head.c_str(), "P6 %d %d 255%n", &picture.width, &picture.height, &used) != 2 ||
        used == 0 || picture.width < 1 || picture.height < 1 || picture.width > 16384 ||
        picture.height > 16384)
      break;
    at += static_cast<std::size_t>(used) + 1;
    const std::size_t size =
        3 * static_cast<std::size_t>(picture.width) * static_cast<std::size_t>(picture.height);
    if (at + size > bytes.size()) break;
    picture.frame = first + step * static_cast<std::int64_t>(pictures.size());
    picture.rgb.assign(bytes.begin() + static_cast<std::ptrdiff_t>(at),
                       bytes.begin() + static_cast<std::ptrdiff_t>(at + size));
    at += size;
    pictures.push_back(std::move(picture));
  }
  if (pictures.empty()) return no_video(*read, path);
  return pictures;
}

}  // namespace halfturn
