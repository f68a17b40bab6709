// A strip of pictures of the coach's own video, to mark takeoff, landing and facing by eye.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "format/file.hpp"
#include "handout/video_strip.hpp"
#include "logbook_options.hpp"
#include "measure_options.hpp"
#include "panels/fonts.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

constexpr double most_pictures = 240;
constexpr int picture_height = 200;  // px

Result<double> number_in(const std::string& text, const char* option, double least, double most) {
  const Result<double> number = parse_number(text, option);
  if (!number) return number;
  if (*number >= least && *number <= most) return number;
  return Problem{"", option, fmt::format("is {}, must be {:g} to {:g}", text, least, most)};
}

/// Which frames are shown.
struct Shown {
  std::int64_t first = 0, last = 0, step = 1;
};

Result<Shown> shown_frames(const MeasureOptions& o, const VideoFacts& facts) {
  const double length = static_cast<double>(facts.frames) / facts.frames_per_second;
  const Result<double> from = number_in(o.from.empty() ? "0" : o.from, "--from", 0, length);
  if (!from) return from.problem();
  const Result<double> to = number_in(o.to.empty() ? fmt::format("{:.6f}", length) : o.to, "--to", 0, length);
  if (!to) return to.problem();
  const Result<double> count = number_in(o.pictures, "--pictures", 2, most_pictures);
  if (!count) return count.problem();
  Shown shown;
  const auto frame_at = [&](double seconds) {
    return std::min(facts.frames - 1,
                    static_cast<std::int64_t>(std::llround(seconds * facts.frames_per_second)));
  };
  shown.first = frame_at(*from);
  shown.last = frame_at(*to);
  if (shown.first >= shown.last)
    return Problem{"", "--from, --to", fmt::format("{} to {} s has no two frames", o.from, o.to)};
  const std::int64_t frames = shown.last - shown.first + 1;
  const auto most = static_cast<std::int64_t>(*count);
  shown.step = (frames + most - 1) / most;
  return shown;
}

}  // namespace

Exit run_strip(const MeasureOptions& o) {
  if (o.record.empty()) return report_bad_input({"", "record", "is missing: give the video for --strip"});
  if (!o.strip.ends_with(".png") && !o.strip.ends_with(".PNG"))
    return report_bad_input({"", "--strip", "\"" + o.strip + "\": a strip is written as .png"});
  const Result<VideoFacts> facts = video_facts(o.record);
  if (!facts) {
    return facts.problem().place == "--strip" ? report_no_output(facts.problem())
                                              : report_bad_input(facts.problem());
  }
  const Result<Shown> shown = shown_frames(o, *facts);
  if (!shown) return report_bad_input(shown.problem());
  const Result<std::vector<VideoPicture>> pictures =
      video_pictures(o.record, shown->first, shown->last, shown->step, picture_height);
  if (!pictures) return report_bad_input(pictures.problem());
  const std::string bytes =
      video_strip_png(*pictures, *facts,
                      {medium_font_file(), bold_font_file(), heavy_font_file(), other_letters_font_file()});
  if (bytes.empty()) return report_no_output({o.strip, "", "the strip cannot be packed as PNG"});
  if (const Outcome problem = write_file(o.strip, bytes)) return report_no_output(*problem);
  if (!facts->even)
    report_warning("the camera took its frames at uneven times: times between marks are estimates");
  const double fps = facts->frames_per_second;
  if (o.json) {
    Json frames = Json::array();
    for (const VideoPicture& picture : *pictures) frames.push_back(picture.frame);
    return print(json_text({{"frames_per_second", fps},
                            {"even", facts->even},
                            {"frames_in_video", facts->frames},
                            {"step", shown->step},
                            {"frames", std::move(frames)}}));
  }
  std::string text =
      fmt::format("{}: frames {} to {} of {}, {}; {:.6g} a second\n", o.strip, pictures->front().frame,
                  pictures->back().frame, facts->frames,
                  shown->step == 1 ? std::string("every one") : fmt::format("one of {}", shown->step), fps);
  if (shown->step > 1) text += "for every frame of the flight, give its seconds: --from 1.5 --to 3\n";
  text += fmt::format(
      "mark by eye: halfturn measure --frames TAKEOFF,LANDING --fps {:.6g} --turned FRAME:DEGREES,...\n"
      "(first frame in the air, first of contact; how far the chest has turned, left positive)\n"
      "a slow-motion film may count fewer a second than the camera took: --fps is the camera's\n",
      fps);
  return print(text);
}

}  // namespace halfturn
