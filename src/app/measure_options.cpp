#include "measure_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "flight/simulated.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

/// "1.2,2.5" as a stretch of time.
Outcome set_span(std::optional<Span>& span, const std::string& text, const char* option) {
  if (text.empty()) return std::nullopt;
  const std::size_t comma = text.find(',');
  const Problem wrong{"", option, fmt::format("\"{}\" is no stretch of time; give FROM,TO in seconds", text)};
  if (comma == std::string::npos) return wrong;
  const Result<double> from = parse_number(text.substr(0, comma), option);
  const Result<double> to = parse_number(text.substr(comma + 1), option);
  if (!from || !to || !(*from < *to)) return wrong;
  span = Span{*from, *to};
  return std::nullopt;
}

/// "1.2,2.5,left90" as a known turn.
Outcome set_turn(std::optional<KnownTurn>& turn, const std::string& text) {
  if (text.empty()) return std::nullopt;
  const Problem wrong{"", "--turn",
                      fmt::format("\"{}\" is no turn; give FROM,TO,left90 or FROM,TO,right180", text)};
  const std::size_t comma = text.rfind(',');
  if (comma == std::string::npos) return wrong;
  std::string words = text.substr(comma + 1);
  const double side = words.starts_with("left") ? 1 : words.starts_with("right") ? -1 : 0;
  if (side == 0) return wrong;
  words.erase(0, side > 0 ? 4 : 5);
  const Result<double> degrees = parse_number(words, "--turn");
  std::optional<Span> span;
  if (Outcome problem = set_span(span, text.substr(0, comma), "--turn")) return wrong;
  if (!degrees || !span || !(*degrees >= 30 && *degrees <= 3600)) return wrong;
  turn = KnownTurn{*span, side * *degrees};
  return std::nullopt;
}

/// "forward=z,up=-y" as sensor axes.
Outcome set_axes(FrameAnswers& answers, const std::string& text) {
  if (text.empty()) return std::nullopt;
  const Problem wrong{
      "", "--axes",
      fmt::format("\"{}\" names no axes of the sensor; give forward=x,up=y, or forward=-z alone", text)};
  std::size_t start = 0;
  while (start <= text.size()) {
    const std::size_t end = std::min(text.find(',', start), text.size());
    const std::string part = text.substr(start, end - start);
    const std::size_t equals = part.find('=');
    if (equals == std::string::npos) return wrong;
    const auto axis = signed_axis(part.substr(equals + 1));
    const std::string which = part.substr(0, equals);
    if (!axis || (which != "forward" && which != "up")) return wrong;
    (which == "up" ? answers.up : answers.forward) = axis;
    start = end + 1;
  }
  if (!answers.forward) return wrong;
  return std::nullopt;
}

Outcome set_axis(std::optional<SignedAxis>& axis, const std::string& text, const char* option) {
  if (text.empty()) return std::nullopt;
  axis = signed_axis(text);
  if (!axis) return Problem{"", option, fmt::format("\"{}\" is no axis; give x, y, z, -x, -y or -z", text)};
  return std::nullopt;
}

Outcome set_toward(std::optional<double>& toward, const std::string& text) {
  if (text.empty()) return std::nullopt;
  for (const auto& [word, degrees] : {std::pair{"front", 0.0}, std::pair{"back", 180.0},
                                      std::pair{"left", 90.0}, std::pair{"right", -90.0}}) {
    if (text == word) {
      toward = degrees;
      return std::nullopt;
    }
  }
  return set_number(toward, text, "--flip-toward");
}

Outcome set_length_unit(ColumnAnswers& answers, const MeasureOptions& o) {
  if (o.length_unit.empty()) return std::nullopt;
  for (const auto& [word, metres] : {std::pair{"m", 1.0}, std::pair{"cm", 0.01}, std::pair{"mm", 0.001},
                                     std::pair{"in", 0.0254}, std::pair{"ft", 0.3048}}) {
    if (o.length_unit == word) answers.length_unit_m = metres;
  }
  if (answers.length_unit_m) return std::nullopt;
  const Result<double> metres = parse_number(o.length_unit, "--length-unit");
  if (!metres || !(*metres > 0 && *metres <= 1000)) {
    return Problem{
        "", "--length-unit",
        fmt::format("\"{}\" is no unit of length; give m, cm, mm, in, ft, or the metres of one unit",
                    o.length_unit)};
  }
  answers.length_unit_m = *metres;
  return std::nullopt;
}

}  // namespace

Result<ColumnAnswers> column_answers(const MeasureOptions& o) {
  ColumnAnswers answers;
  if (const Outcome problem = set_length_unit(answers, o)) return *problem;
  if (o.time_unit == "s") answers.time_unit_s = 1;
  if (o.time_unit == "ms") answers.time_unit_s = 1e-3;
  if (o.time_unit == "us") answers.time_unit_s = 1e-6;
  if (o.time_unit == "ns") answers.time_unit_s = 1e-9;
  if (o.rate_unit == "rad/s") answers.rate_unit_rad_s = 1;
  if (o.rate_unit == "deg/s") answers.rate_unit_rad_s = to_rad(1);
  if (o.force_unit == "m/s2") answers.force_unit_m_s2 = 1;
  if (o.force_unit == "g") answers.force_unit_m_s2 = standard_gravity;
  if (o.force_unit == "mg") answers.force_unit_m_s2 = standard_gravity * 1e-3;
  answers.segment = o.segment;
  answers.needs_path = o.takeoff.empty() || o.landing.empty();
  return answers;
}

Result<MeasureRequest> request_of(const MeasureOptions& o) {
  MeasureRequest request;
  FrameAnswers& frame = request.frame;
  for (Outcome problem : {set_axis(frame.world_up, o.up, "--up"), set_axes(frame, o.axes),
                          set_span(frame.still, o.still, "--still"), set_span(frame.bow, o.bow, "--bow"),
                          set_turn(frame.turn, o.turn), set_toward(frame.flip_toward_deg, o.flip_toward),
                          set_number(frame.start_heading_deg, o.start_heading, "--start-heading"),
                          set_number(request.takeoff_s, o.takeoff, "--takeoff"),
                          set_number(request.landing_s, o.landing, "--landing")}) {
    if (problem) return *problem;
  }
  if (!o.orientation.empty()) frame.world_to_sensor = o.orientation == "world-to-body";
  if (!o.hand.empty()) frame.left_handed = o.hand == "left";
  if (!o.rest.empty()) frame.rest_reads_down = o.rest == "down";
  if (!o.flight.empty()) {
    const Result<double> number = parse_number(o.flight, "--flight");
    if (!number || *number != std::floor(*number) || *number < 1 || *number > 1e6) {
      return Problem{"", "--flight",
                     fmt::format("\"{}\" is no number of a flight; give 1, 2 and so on", o.flight)};
    }
    request.flight = static_cast<int>(*number);
  }
  return request;
}

/// The marks of a video from the options.
Result<FrameMarks> frame_marks(const MeasureOptions& o) {
  FrameMarks marks;
  std::optional<Span> air;
  if (Outcome problem = set_span(air, o.frames, "--frames")) {
    problem->text =
        fmt::format("\"{}\" is no pair of frames; give TAKEOFF,LANDING, for instance 120,168", o.frames);
    return *problem;
  }
  marks.takeoff = air->from;
  marks.landing = air->to;
  const Result<double> fps = parse_number(o.fps, "--fps");
  if (!fps) return Problem{"", "--fps", "is needed beside --frames: the frames a second of the camera"};
  marks.frames_per_second = *fps;
  for (std::size_t start = 0; !o.turned.empty() && start <= o.turned.size();) {
    const std::size_t end = std::min(o.turned.find(',', start), o.turned.size());
    const std::string part = o.turned.substr(start, end - start);
    const std::size_t colon = part.find(':');
    const Result<double> frame = parse_number(part.substr(0, colon), "--turned");
    const Result<double> degrees =
        parse_number(colon == std::string::npos ? "" : part.substr(colon + 1), "--turned");
    if (!frame || !degrees) {
      return Problem{
          "", "--turned",
          fmt::format("\"{}\" is no mark; give FRAME:DEGREES, for instance 120:0,140:180,165:360", part)};
    }
    marks.turned.push_back({*frame, *degrees});
    start = end + 1;
  }
  return marks;
}

namespace {

/// An option and what it is kept in.
struct AnswerOption {
  const char* name;
  std::string MeasureOptions::*answer;
  const char* what;
  std::vector<std::string> words;  ///< the only ones; empty: any
};

const std::vector<AnswerOption>& answer_options() {
  using O = MeasureOptions;
  static const std::vector<AnswerOption> all{
      {"--flight", &O::flight, "Which flight of several, from 1", {}},
      {"--takeoff",
       &O::takeoff,
       "Moment the last foot leaves, by hand, s from the first row of the record",
       {}},
      {"--landing", &O::landing, "Moment of first contact, by hand, s from the first row of the record", {}},
      {"--still", &O::still, "FROM,TO: standing upright and still before takeoff, s from the first row", {}},
      {"--turn", &O::turn, "FROM,TO,left90: a known turn on the spot; settles left and right", {}},
      {"--bow", &O::bow, "FROM,TO: a bow forward from the still stance; settles front and back", {}},
      {"--flip-toward", &O::flip_toward, "front, back, left, right or degrees to the left of the chest", {}},
      {"--start-heading", &O::start_heading, "Where the chest faces in the still stance, degrees", {}},
      {"--axes", &O::axes, "Sensor axes on the body: forward=x,up=y, or forward=-z alone", {}},
      {"--up", &O::up, "Axis of the record's world that points up: y, z, -z ...", {}},
      {"--orientation", &O::orientation, "Which way the quaternion maps", {"body-to-world", "world-to-body"}},
      {"--hand", &O::hand, "Hand of the record's axes", {"right", "left"}},
      {"--rest", &O::rest, "What the accelerometer reads at rest", {"up", "down"}},
      {"--time-unit", &O::time_unit, "Unit of the time column", {"s", "ms", "us", "ns"}},
      {"--rate-unit", &O::rate_unit, "Unit of the gyroscope", {"rad/s", "deg/s"}},
      {"--force-unit", &O::force_unit, "Unit of the accelerometer", {"m/s2", "g", "mg"}},
      {"--length-unit",
       &O::length_unit,
       "Unit of a skeleton's lengths: m, cm, mm, in, ft or the metres of one unit",
       {}},
      {"--segment",
       &O::segment,
       "Which of several sets of columns (what stands before qw), or the joint that is the trunk",
       {}},
      {"--frames",
       &O::frames,
       "TAKEOFF,LANDING of a video instead of a record: first frame in the air, first of contact",
       {}},
      {"--fps", &O::fps, "Frames a second of the camera", {}},
      {"--turned", &O::turned, "FRAME:DEGREES,...: how far the chest has turned by then, left positive", {}},
  };
  return all;
}

}  // namespace

std::string* answer_to(MeasureOptions& o, const std::string& option) {
  for (const AnswerOption& known : answer_options()) {
    if (option == known.name) return &(o.*known.answer);
  }
  return nullptr;
}

void add_answer_options(CLI::App& command, MeasureOptions& o, const char* group, const char* marks) {
  for (const AnswerOption& known : answer_options()) {
    const char* name = known.answer == &MeasureOptions::frames ? marks : known.name;
    CLI::Option* option = command.add_option(name, o.*known.answer, known.what)->group(group);
    if (!known.words.empty()) option->check(CLI::IsMember(known.words));
  }
}

void add_measure_options(CLI::App& command, MeasureOptions& o) {
  command.add_option("record", o.record, "CSV or BVH file");
  command.add_option("--plan", o.plan, "Plan to hold the flight against");
  command.add_option("--rung", o.rung, "Rung of the plan");
  add_answer_options(command, o, "Options", "--frames");
  command
      .add_option(
          "--strip", o.strip,
          "Picture (PNG) to write of the frames of a video, numbered, to mark them by eye; needs ffmpeg")
      ->type_name("FILE");
  command.add_option("--from", o.from, "Second of the video that a strip begins at");
  command.add_option("--to", o.to, "Second of the video that a strip ends at");
  command.add_option("--pictures", o.pictures, "Most pictures of a strip")->default_val("48");
  command.add_flag("--json", o.json, "Print one JSON object");
}

}  // namespace halfturn
