#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <condition_variable>
#include <csignal>
#include <deque>
#include <memory>
#include <mutex>
#include <thread>

#include "command.hpp"
#include "format/shape_file.hpp"
#include "handout/film.hpp"
#include "handout/pictures.hpp"
#include "panels/fonts.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "scene/compose.hpp"
#include "session/words.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

struct FilmOptions {
  std::string plan, rung, size = "1280x720", fps = "30", speed = "0.25", camera = "side", theme = "light",
                          quality = "full", output;
  bool demo = false, ladder = false, walk = false, plain = false;
};

constexpr double before_s = 0.7, after_s = 1.4;          // standing at the start and on the landing
constexpr double walk_still_s = 1.2, walk_turn_s = 1.6;  // of the floor walk
constexpr double greatest_length_s = 3600;

volatile std::sig_atomic_t cancelled = 0;

/// One stretch of a film: a rung's flight, or the floor walk to it.
struct Shot {
  std::size_t rung = 0;
  bool walk = false;
  Flight flight;
  double speed = 1;
  [[nodiscard]] double lead() const { return walk ? walk_still_s : before_s; }
  [[nodiscard]] double body() const { return flight.duration() / speed; }
  [[nodiscard]] double length() const { return lead() + body() + (walk ? walk_still_s : after_s); }
  /// Time of the picture, s from takeoff, at a time of the shot.
  [[nodiscard]] double time_at(double t) const {
    if (t < lead()) return walk ? 0 : t - lead();
    if (t < lead() + body()) return (t - lead()) * speed;
    return walk ? flight.duration() : flight.duration() + (t - lead() - body());
  }
};

/// Hands frames to the encoder from a thread of its own, so that drawing and encoding go side by side.
class FrameQueue {
 public:
  explicit FrameQueue(FilmWriter& film) : film_(film), worker_([this] { run(); }) {}
  ~FrameQueue() { close(); }
  FrameQueue(const FrameQueue&) = delete;
  FrameQueue& operator=(const FrameQueue&) = delete;

  /// False when the encoder has failed.
  bool push(std::vector<std::uint8_t> frame) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return frames_.size() < most_waiting || problem_; });
    if (problem_) return false;
    frames_.push_back(std::move(frame));
    changed_.notify_all();
    return true;
  }
  /// Waits until everything is handed over.
  Outcome close() {
    {
      const std::lock_guard lock(mutex_);
      closed_ = true;
      changed_.notify_all();
    }
    if (worker_.joinable()) worker_.join();
    return problem_;
  }

 private:
  static constexpr std::size_t most_waiting = 3;

  void run() {
    for (;;) {
      std::vector<std::uint8_t> frame;
      {
        std::unique_lock lock(mutex_);
        changed_.wait(lock, [&] { return !frames_.empty() || closed_; });
        if (frames_.empty()) return;
        frame = std::move(frames_.front());
        frames_.pop_front();
        changed_.notify_all();
      }
      if (Outcome problem = film_.add(frame)) {
        const std::lock_guard lock(mutex_);
        problem_ = std::move(problem);
        frames_.clear();
        changed_.notify_all();
        return;
      }
    }
  }

  FilmWriter& film_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<std::vector<std::uint8_t>> frames_;
  bool closed_ = false;
  Outcome problem_;
  std::thread worker_;
};

Result<double> number_between(const std::string& text, const char* option, double least, double most) {
  const Result<double> number = parse_number(text, option);
  if (!number) return number.problem();
  if (*number < least || *number > most)
    return Problem{"", option, fmt::format("is {}, must be from {:.6g} to {:.6g}", text, least, most)};
  return *number;
}

/// What is to be filmed, as it goes from frame to frame.
class Film {
 public:
  Film(const Ladder& ladder, View view, bool captions)
      : ladder_(ladder), walked_(as_walked(ladder)), view_(std::move(view)), captions_(captions) {}

  void add(Shot shot) {
    length_ += shot.length();
    shots_.push_back(std::move(shot));
  }
  [[nodiscard]] double length() const { return length_; }

  [[nodiscard]] Scene scene_at(double t) const {
    std::size_t k = 0;
    while (k + 1 < shots_.size() && t >= shots_[k].length()) t -= shots_[k++].length();
    const Shot& shot = shots_[k];
    const double time = shot.time_at(t);
    View view = view_;
    if (shot.walk) {
      Scene scene = compose(walked_, shot.rung, shot.flight, time, walk_view(view, ladder_.rungs[shot.rung]));
      if (captions_) caption(scene, shot, t, time, view);
      return scene;
    }
    Scene scene = compose(ladder_, shot.rung, shot.flight, time, view);
    if (captions_) caption(scene, shot, t, time, view);
    return scene;
  }

 private:
  /// Seen from above; the yellow beam is where the walk ends.
  static View walk_view(View view, const Rung& rung) {
    view.camera = CameraKind::above;
    view.toggles.traces = false;
    view.beam_heading_deg = rung.walk_face_deg;
    return view;
  }
  /// The ladder as it is walked: nobody kicks, and where the landing is held the floor does not show the turn
  /// in the air, which goes the other way.
  static Ladder as_walked(Ladder ladder) {
    for (Rung& rung : ladder.rungs) {
      rung.kick.reset();
      if (!ladder.holds_start) rung.turn_deg = 0;
    }
    return ladder;
  }

  void caption(Scene& scene, const Shot& shot, double t, double time, const View& view) const {
    const Palette& c = palette_of(view.theme);
    const double px = view.scale, left = 40 * px;
    const Rung& rung = ladder_.rungs[shot.rung];
    const auto put = [&](const std::string& text, double y, double size, Weight weight, Color color) {
      scene.items.emplace_back(
          Label{text, left, view.height_px - y * px, size * px, weight, Align::left, color, c.air});
    };
    if (shot.walk) {
      const WalkWords words = walk_words(ladder_, shot.rung);
      const int step = t < shot.lead() ? 0 : t < shot.lead() + shot.body() ? 1 : 2;
      add_answer(scene, {words.caption, words.title[step], turn_text(rung), words.text[step]},
                 rung.walk_turn_deg == 0  ? ladder_.plan.side
                 : rung.walk_turn_deg < 0 ? Side::right
                                          : Side::left,
                 view);
      put(std::string(ladder_caution), 30, 16, Weight::medium, c.dim);
      return;
    }
    const AnswerWords words = answer_words(ladder_, shot.rung);
    add_answer(scene, {words.lead, words.wall, words.turn, words.landing}, ladder_.plan.side, view);
    const double duration = shot.flight.duration();
    const FlightSample now = shot.flight.at(std::clamp(time, 0.0, duration));
    const std::string progress = time < 0          ? "start"
                                 : time > duration ? "landed"
                                                   : progress_words(turned_so_far_deg(rung, now, duration),
                                                                    rung.turn_deg, ladder_.plan.side);
    put(fmt::format("{}: {}", rung.title, progress), 62, 24, Weight::bold, c.ink);
    put(fmt::format("{:.2f} of {:.2f} s (estimate), {} speed, {}", std::clamp(time, 0.0, duration), duration,
                    speed_text(shot.speed),
                    shot.flight.provenance() == Provenance::drawn ? "drawn, not simulated" : "simulated"),
        30, 16, Weight::medium, c.dim);
  }

  static std::string turn_text(const Rung& rung) { return signed_turn_words(rung.walk_turn_deg); }
  static std::string speed_text(double speed) {
    const double inverse = 1 / speed;
    return speed < 1 && std::abs(inverse - std::round(inverse)) < 1e-9 ? fmt::format("1/{:.0f}", inverse)
                                                                       : fmt::format("{:.3g}", speed);
  }

  const Ladder& ladder_;
  const Ladder walked_;
  View view_;
  bool captions_;
  std::vector<Shot> shots_;
  double length_ = 0;
};

View film_view(const FilmOptions& options, int width, int height) {
  View view;
  view.theme = theme_of(options.theme);
  view.camera = camera_of(options.camera);
  view.width_px = width;
  view.height_px = height;
  // Letters keep their share of the picture, and lines with them.
  view.scale = std::max(0.5, std::min(width / 1440.0, height / 900.0));
  if (!options.plain) {
    view.answer_width_px = 520 * view.scale;
    view.answer_height_px = 190 * view.scale;
    view.inset_bottom_px = 84 * view.scale;
  }
  return view;
}

class Progress {
 public:
  explicit Progress(std::size_t frames) : frames_(frames), shown_(::isatty(STDERR_FILENO) == 1) {}
  ~Progress() {
    if (shown_) fmt::print(stderr, "\r\x1b[K");
  }
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  void at(std::size_t frame) {
    if (!shown_ || frame % 5 != 0) return;
    fmt::print(stderr, "\rfilm: {:3.0f} %, frame {} of {}, Ctrl-C cancels ",
               100.0 * static_cast<double>(frame) / static_cast<double>(frames_), frame, frames_);
    std::fflush(stderr);
  }

 private:
  std::size_t frames_;
  bool shown_;
};

Exit shoot(const Film& film, const FilmSettings& settings, Quality quality) {
  const auto context = OffscreenContext::create();
  if (!context) return report_no_output(context.problem());
  const auto renderer = Renderer::create(OffscreenContext::load_function(),
                                         {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return report_no_output(renderer.problem());
  const auto writer = FilmWriter::start(settings);
  if (!writer) return report_no_output(writer.problem());
  const auto frames = static_cast<std::size_t>(std::max(1.0, std::round(film.length() * settings.fps)));
  cancelled = 0;
  const auto stop = [](int) { cancelled = 1; };
  const auto before_int = std::signal(SIGINT, stop), before_term = std::signal(SIGTERM, stop);
  Outcome problem;
  {
    FrameQueue queue(**writer);
    Progress progress(frames);
    for (std::size_t k = 0; k < frames && cancelled == 0; ++k) {
      (*renderer)->render(film.scene_at(static_cast<double>(k) / settings.fps), settings.width,
                          settings.height, quality);
      if (!queue.push((*renderer)->read().rgba)) break;
      progress.at(k);
    }
    problem = queue.close();
  }
  std::signal(SIGINT, before_int);
  std::signal(SIGTERM, before_term);
  if (problem) return report_no_output(*problem);
  if (cancelled != 0) return report_no_output({settings.path, "", "cancelled; nothing was written"});
  if (const Outcome unfinished = (*writer)->finish()) return report_no_output(*unfinished);
  return Exit::done;
}

Exit run_film(const FilmOptions& options) {
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  const Ladder& ladder = plan->ladder;
  FilmSettings settings;
  settings.path = options.output;
  if (options.output.ends_with(".gif")) {
    settings.format = FilmFormat::gif;
  } else if (options.output.ends_with(".webp")) {
    settings.format = FilmFormat::webp;
  } else if (!options.output.ends_with(".mp4")) {
    return report_bad_input(
        {"", "--output", fmt::format("\"{}\" is not a .mp4, .webp or .gif file", options.output)});
  }
  const Result<std::pair<int, int>> size = parse_picture_size(options.size, 160);
  if (!size) return report_bad_input(size.problem());
  std::tie(settings.width, settings.height) = *size;
  if (settings.format == FilmFormat::mp4 && (settings.width % 2 != 0 || settings.height % 2 != 0))
    return report_bad_input({"", "--size", "both sides must be even for H.264"});
  const Result<double> fps = number_between(options.fps, "--fps", 1, 240);
  if (!fps) return report_bad_input(fps.problem());
  settings.fps = *fps;
  const Result<double> speed = number_between(options.speed, "--speed", 0.01, 4);
  if (!speed) return report_bad_input(speed.problem());
  std::size_t chosen = ladder.rungs.size() - 1;
  if (!options.rung.empty()) {
    const Result<std::size_t> rung = parse_rung_number(options.rung, ladder);
    if (!rung) return report_bad_input(rung.problem());
    chosen = *rung;
  }

  Film film(ladder, film_view(options, settings.width, settings.height), !options.plain);
  const ShapeBook shapes = embedded_shapes();
  const auto standing = shapes.find("standing");
  const std::size_t first = options.ladder ? 0 : chosen,
                    last = options.ladder ? ladder.rungs.size() - 1 : chosen;
  for (std::size_t k = first; k <= last; ++k) {
    const Rung& rung = ladder.rungs[k];
    if (options.walk)
      film.add({k, true,
                floor_walk_flight(rung, standing != shapes.end() ? standing->second : Pose{}, walk_turn_s),
                1});
    else
      film.add({k, false, drawn_flight(rung, shapes), *speed});
  }
  if (film.length() > greatest_length_s)
    return report_bad_input(
        {"", "--speed", fmt::format("makes a film of {:.0f} minutes; 60 is the most", film.length() / 60)});
  return shoot(film, settings, options.quality == "draft" ? Quality::draft : Quality::full);
}

}  // namespace

void add_film_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<FilmOptions>();
  FilmOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("film", "Make a film of a rung, the climb or the floor walk (MP4, WebP, GIF)");
  command->add_option("plan", o.plan, "Plan file");
  command->add_flag("--demo", o.demo, "The demo plan instead of one of your own");
  CLI::Option* rung = command->add_option("--rung", o.rung, "Rung, counted from 0; without it the target");
  command->add_flag("--ladder", o.ladder, "All rungs from the base up")->excludes(rung);
  command->add_flag("--walk", o.walk, "The floor walk instead of the flight");
  command->add_option("--size", o.size, "Width x height in pixels")->default_val("1280x720");
  command->add_option("--fps", o.fps, "Frames per second")->default_val("30");
  command->add_option("--speed", o.speed, "Speed of the flight: 1 as it happens, 0.25 a quarter")
      ->default_val("0.25");
  command->add_option("--camera", o.camera, "Where it is seen from")
      ->check(CLI::IsMember({"side", "front", "above", "eyes"}))
      ->default_val("side");
  command->add_option("--theme", o.theme, "Colours")
      ->check(CLI::IsMember({"light", "dark", "sunlight"}))
      ->default_val("light");
  command->add_option("--quality", o.quality, "full: smooth edges; draft: faster")
      ->check(CLI::IsMember({"full", "draft"}))
      ->default_val("full");
  command->add_flag("--no-captions", o.plain, "Without words");
  command->add_option("-o,--output", o.output, "Film to write: .mp4, .webp or .gif")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_film(*options); }; });
}

}  // namespace halfturn
