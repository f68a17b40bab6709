#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <condition_variable>
#include <deque>
#include <memory>
#include <mutex>
#include <thread>

#include "command.hpp"
#include "film_shots.hpp"
#include "format/vocabulary_file.hpp"
#include "handout/film.hpp"
#include "handout/pictures.hpp"
#include "panels/fonts.hpp"
#include "plan_flights.hpp"
#include "plan_input.hpp"
#include "progress_line.hpp"
#include "report.hpp"
#include "session/compare.hpp"
#include "session/session.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

struct FilmOptions {
  std::string plan, rung, size = "1280x720", fps = "30", speed = "0.25", camera = "side", theme = "light",
                          quality = "full", beside, output;
  FlightChoice flights;
  bool demo = false, ladder = false, walk = false, plain = false, progress = false;
};

constexpr double walk_turn_s = 1.6;
constexpr double greatest_length_s = 3600;

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

/// One of `stages` stages that share a picture of this size.
View film_view(const FilmOptions& options, int width, int height, int stages) {
  View view;
  view.theme = theme_of(options.theme);
  view.camera = camera_of(options.camera);
  view.width_px = width / stages;
  view.height_px = height;
  // Letters keep their share of the picture, and lines with them.
  view.scale = std::max(0.5, std::min(view.width_px / (stages > 1 ? 960.0 : 1440.0), height / 900.0));
  if (!options.plain) {
    view.answer_width_px = 520 * view.scale;
    view.answer_height_px = 190 * view.scale;
  }
  return view;
}

/// Stages of one frame, drawn one after the other and put side by side with a line between.
class FrameDrawer {
 public:
  /// `foot_px`: what the line under all stages takes, which no seam crosses.
  FrameDrawer(Renderer& renderer, const FilmSettings& settings, const View& view, Quality quality,
              double foot_px)
      : renderer_(renderer),
        settings_(settings),
        view_(view),
        quality_(quality),
        seam_(static_cast<std::size_t>(std::max(0.0, settings.height - foot_px))) {}

  [[nodiscard]] std::vector<std::uint8_t> draw(const std::vector<Scene>& scenes) {
    if (scenes.size() == 1) return pixels(scenes[0]);
    const auto width = static_cast<std::size_t>(settings_.width),
               height = static_cast<std::size_t>(settings_.height);
    const auto part = static_cast<std::size_t>(view_.width_px);
    std::vector<std::uint8_t> frame(width * height * 4, 255);
    for (std::size_t i = 0; i < scenes.size(); ++i) {
      const std::vector<std::uint8_t> image = pixels(scenes[i]);
      for (std::size_t row = 0; row < height; ++row)
        std::copy_n(image.begin() + static_cast<std::ptrdiff_t>(4 * row * part), 4 * part,
                    frame.begin() + static_cast<std::ptrdiff_t>(4 * (row * width + i * part)));
    }
    const Color line = palette_of(view_.theme).dim;
    const auto byte = [](double share) { return static_cast<std::uint8_t>(std::lround(255 * share)); };
    const std::array<std::uint8_t, 4> color{byte(line.r), byte(line.g), byte(line.b), 255};
    for (std::size_t i = 1; i < scenes.size(); ++i) {
      for (std::size_t row = 0; row < seam_; ++row)
        std::copy(color.begin(), color.end(),
                  frame.begin() + static_cast<std::ptrdiff_t>(4 * (row * width + i * part)));
    }
    return frame;
  }

 private:
  std::vector<std::uint8_t> pixels(const Scene& scene) {
    renderer_.render(scene, view_.width_px, view_.height_px, quality_);
    return std::move(renderer_.read().rgba);
  }

  Renderer& renderer_;
  const FilmSettings& settings_;
  const View& view_;
  Quality quality_;
  std::size_t seam_;  // px from the top
};

Exit shoot(const FilmShots& film, const FilmSettings& settings, const View& view,
           const FilmOptions& options) {
  const auto context = OffscreenContext::create();
  if (!context) return report_no_output(context.problem());
  const auto renderer = Renderer::create(OffscreenContext::load_function(),
                                         {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return report_no_output(renderer.problem());
  const auto writer = FilmWriter::start(settings);
  if (!writer) return report_no_output(writer.problem());
  const auto frames = static_cast<std::size_t>(std::max(1.0, std::round(film.length() * settings.fps)));
  FrameDrawer drawer(**renderer, settings, view, options.quality == "draft" ? Quality::draft : Quality::full,
                     film.foot_px());
  const CancelWatch watch;
  Outcome problem;
  {
    FrameQueue queue(**writer);
    ProgressLine progress("film", "frame", frames, options.progress);
    for (std::size_t k = 0; k < frames && !watch.cancelled(); ++k) {
      if (!queue.push(drawer.draw(film.at(static_cast<double>(k) / settings.fps)))) break;
      progress.at(k + 1);
    }
    problem = queue.close();
  }
  if (problem) return report_no_output(*problem);
  if (watch.cancelled()) return report_no_output({settings.path, "", "cancelled; nothing was written"});
  if (const Outcome unfinished = (*writer)->finish()) return report_no_output(*unfinished);
  return Exit::done;
}

/// "axis", "sides", "forms", "next": the rung that the chosen one is put beside.
Result<FilmStage> stage_beside(const std::string& word, const FilmStage& stage, const PlanFlights& flights) {
  StageChoice choice;
  for (int k = 0; k < pairing_count; ++k) {
    if (pairing_word(static_cast<Pairing>(k)) == word) choice.pairing = static_cast<Pairing>(k);
  }
  const Library library{built_in_vocabulary(), built_in_difficulty()};
  Result<ComparedStage> other = stage_of(stage.ladder, stage.rung, choice, library);
  if (!other) return Problem{"", "--beside", other.problem().text};
  ToldFlight told = flights.tell(*other->ladder, other->rung);
  return FilmStage{other->ladder, other->rung, std::move(told.flight), std::move(told.told)};
}

Exit run_film(const FilmOptions& options) {
  const Result<LoadedPlan> plan = load_ladder(options.plan, options.demo);
  if (!plan) return report_bad_input(plan.problem());
  Ladder ladder = plan->ladder;
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

  Result<PlanFlights> made = PlanFlights::make(options.flights);
  if (!made) return report_bad_input(made.problem());
  PlanFlights flights = std::move(made).value();
  if (options.ladder && !options.walk) flights.fly_all(ladder);
  const auto shared = std::make_shared<const Ladder>(ladder);

  const int stages = options.beside.empty() ? 1 : 2;
  const View view = film_view(options, settings.width, settings.height, stages);
  FilmShots film(view, !options.plain);
  const std::size_t first = options.ladder ? 0 : chosen,
                    last = options.ladder ? ladder.rungs.size() - 1 : chosen;
  for (std::size_t k = first; k <= last; ++k) {
    const Rung& rung = ladder.rungs[k];
    if (options.walk) {
      const ShapeBook& shapes = *flights.flyer().shapes;
      const auto standing = shapes.find("standing");
      film.add({{{shared,
                  k,
                  floor_walk_flight(rung, standing != shapes.end() ? standing->second : Pose{}, walk_turn_s),
                  {}}},
                true,
                1});
      continue;
    }
    ToldFlight told = options.ladder ? flights.told_flight(ladder, k) : flights.tell(ladder, k);
    FilmShot shot{{{shared, k, std::move(told.flight), std::move(told.told)}}, false, *speed};
    if (!options.beside.empty()) {
      Result<FilmStage> beside = stage_beside(options.beside, shot.stages[0], flights);
      if (!beside) return report_bad_input(beside.problem());
      shot.stages.push_back(std::move(beside).value());
    }
    film.add(std::move(shot));
  }
  if (film.length() > greatest_length_s)
    return report_bad_input(
        {"", "--speed", fmt::format("makes a film of {:.0f} minutes; 60 is the most", film.length() / 60)});
  return shoot(film, settings, view, options);
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
  CLI::Option* walk = command->add_flag("--walk", o.walk, "The floor walk instead of the flight");
  command
      ->add_option(
          "--beside", o.beside,
          "Two stages: the same off the other axis, to the other side, the other form of a kick, or the "
          "next rung")
      ->check(CLI::IsMember({"axis", "sides", "forms", "next"}))
      ->excludes(walk);
  add_flight_options(*command, o.flights);
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
  command->add_flag("--progress", o.progress, "Tell how far it is, for programs: lines on standard error");
  command->add_flag("--no-captions", o.plain, "Without words but the line at the foot");
  command->add_option("-o,--output", o.output, "Film to write: .mp4, .webp or .gif")->required();
  command->callback([options, &chosen] { chosen = [options] { return run_film(*options); }; });
}

}  // namespace halfturn
