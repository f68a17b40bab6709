#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "flight/simulated.hpp"
#include "format/measure_json.hpp"
#include "format/recording_file.hpp"
#include "format/shape_file.hpp"
#include "ladder/gate.hpp"
#include "plan_input.hpp"
#include "report.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

struct MeasureOptions {
  std::string record, plan, rung, takeoff, landing, flight;
  std::string time_unit, rate_unit, force_unit, segment;
  std::string up, orientation, hand, rest, axes, still, turn, bow, flip_toward, start_heading;
  bool json = false;
};

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

ColumnAnswers column_answers(const MeasureOptions& o) {
  ColumnAnswers answers;
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

std::string degrees_or_dash(const std::optional<double>& value, const char* after = "") {
  return value ? fmt::format("{:.1f}{}", *value, after) : std::string("not known");
}

std::string left_or_right(double degrees) {
  return fmt::format("{:.1f} {}", std::abs(degrees), degrees < 0 ? "right" : "left");
}

std::string human_text(const MeasureOptions& o, const MeasuredRecord& measured) {
  const AttemptMeasures& m = measured.measures;
  const FlightMeasures& f = m.flight;
  std::string text;
  const auto out = std::back_inserter(text);
  const auto row = [&](const char* name, const std::string& value) {
    fmt::format_to(out, "  {:<26} {}\n", name, value);
  };
  fmt::format_to(out, "{}: flight {} of {}, {:.3f} to {:.3f} s\n", o.record, measured.chosen + 1,
                 measured.flights.size(), m.takeoff_s, m.landing_s);
  row("air time", fmt::format("{:.3f} s, give or take {:.3f}", f.air_time_s, m.doubt.air_time_s));
  if (f.flips) {
    row("somersault in the air",
        f.somersault_deg ? fmt::format("{:.1f} {}, give or take {:.0f}", std::abs(*f.somersault_deg),
                                       *f.somersault_deg < 0 ? "forward" : "backward or sideways",
                                       std::ceil(m.doubt.somersault_deg))
                         : "not known");
    row("flips toward", degrees_or_dash(f.flip_toward_deg, " from the chest (0 front, 180 back, 90 left)"));
  }
  row("twist in the air", f.twist_deg ? fmt::format("{}, give or take {:.0f}", left_or_right(*f.twist_deg),
                                                    std::ceil(m.doubt.twist_deg))
                                      : "not known");
  if (f.twist_onset_s) row("twist begins", fmt::format("{:.2f} s after takeoff", *f.twist_onset_s));
  if (m.floor_turn_deg) row("turned on the floor before", left_or_right(*m.floor_turn_deg));
  if (m.turn_deg) row("whole turn, stood to stood", left_or_right(*m.turn_deg));
  row("start heading", degrees_or_dash(m.start_heading_deg));
  row("heading at first contact", degrees_or_dash(f.landing_heading_deg));
  row("heading stood up", degrees_or_dash(m.stood_heading_deg));
  row("upright at first contact", fmt::format("{:.1f} from vertical", f.landing_angle_deg));
  row("tilt, greatest and landing", fmt::format("{:.1f}, {:.1f}", f.greatest_tilt_deg, f.landing_tilt_deg));
  row("twist rate, peak", fmt::format("{:.0f} deg/s", f.peak_twist_rate_deg_s));
  row("twist rate left at landing", fmt::format("{:.0f} deg/s", f.landing_twist_rate_deg_s));
  row("somersault rate, peak", fmt::format("{:.0f} deg/s", f.peak_somersault_rate_deg_s));
  text += "taken for granted:\n";
  for (const Convention& c : measured.conventions)
    fmt::format_to(out, "  {}: {} ({})\n", c.what, c.value, c.how);
  for (const std::string& caution : m.cautions) fmt::format_to(out, "note: {}\n", caution);
  return text;
}

/// What a rung of a plan adds: the comparison, and whether the attempt is short.
struct Judged {  // NOLINT(bugprone-exception-escape): the library's move of a JSON value does not throw
  Json json;
  std::string text;
  bool is_short = false;
};

Result<Judged> judge_by_plan(const AttemptMeasures& measures, const Ladder& ladder, std::size_t index) {
  const Rung& rung = ladder.rungs[index];
  const FlightMeasures planned = measure_flight(drawn_flight(rung, embedded_shapes()));
  const double side = sign_of(rung.side);
  const auto against = against_plan(measures, planned, side, rung.floor_turn_deg, rung.start.heading_deg);
  if (!against) {
    return Problem{"", "--rung",
                   "the twist of this flight could not be told, so it cannot be held against the rung"};
  }
  const double tolerance = gate_demands(ladder)[index].tolerance_deg;
  Judged judged;
  judged.is_short = against->turn_error_deg < -tolerance;
  judged.json = against_plan_json(*against);
  judged.json["rung"] = index;
  judged.json["title"] = rung.title;
  judged.json["tolerance_deg"] = tolerance;
  judged.json["short"] = judged.is_short;
  const double error = against->turn_error_deg;
  judged.text =
      fmt::format("against rung {}, {}: {:.1f} degrees {} at first contact, {} the {:g} that count\n", index,
                  rung.title, std::abs(error), error < 0 ? "short" : "long",
                  std::abs(error) > tolerance ? "outside" : "within", tolerance);
  if (against->somersault_error_deg && planned.flips) {
    judged.text +=
        fmt::format("  somersault {:.1f} {} than planned\n", std::abs(*against->somersault_error_deg),
                    *against->somersault_error_deg < 0 ? "less" : "more");
  }
  return judged;
}

Exit run_measure(const MeasureOptions& o) {
  Result<MeasureRequest> parsed = request_of(o);
  if (!parsed) return report_bad_input(parsed.problem());
  MeasureRequest request = *std::move(parsed);
  if (o.plan.empty() != o.rung.empty()) {
    return report_bad_input({"", "--plan, --rung", "belong together: give both or none"});
  }
  std::optional<LoadedPlan> plan;
  std::size_t rung = 0;
  if (!o.plan.empty()) {
    Result<LoadedPlan> loaded = load_ladder(o.plan, false);
    if (!loaded) return report_bad_input(loaded.problem());
    plan = *std::move(loaded);
    const Result<std::size_t> number = parse_rung_number(o.rung, plan->ladder);
    if (!number) return report_bad_input(number.problem());
    rung = *number;
    request.frame.planned_flip_toward_deg = plan->ladder.rungs[rung].flip_toward_deg;
  }
  Result<Recording> recording = load_recording(o.record, column_answers(o));
  if (!recording) return report_bad_input(recording.problem());
  Recording record = *std::move(recording);
  const Result<MeasuredRecord> measured = measure_record(record, request);
  if (!measured) {
    Problem problem = measured.problem();
    problem.file = o.record;
    return report_bad_input(problem);
  }
  Json json = measure_json(*measured, record);
  std::string text = human_text(o, *measured);
  bool is_short = false;
  if (plan) {
    const Result<Judged> judged = judge_by_plan(measured->measures, plan->ladder, rung);
    if (!judged) return report_bad_input(judged.problem());
    json["plan"] = judged->json;
    text += judged->text;
    is_short = judged->is_short;
  }
  if (o.json) {
    for (const Convention& c : measured->conventions) {
      if (c.how.starts_with("assumed")) report_warning(fmt::format("{}: {} ({})", c.what, c.value, c.how));
    }
  }
  const Exit printed = print(o.json ? json.dump() + "\n" : text);
  return printed != Exit::done ? printed : is_short ? Exit::no : Exit::done;
}

}  // namespace

void add_measure_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<MeasureOptions>();
  MeasureOptions& o = *options;
  CLI::App* command =
      program.add_subcommand("measure",
                             "Measure a recorded flight: air time, somersault, twist, headings.\n"
                             "A record is a CSV file with a header line, a time column and, of a sensor on "
                             "the trunk, the quaternion or the\n"
                             "gyroscope and accelerometer (of the pelvis in motion capture). Takeoff and "
                             "landing are found where it has an\n"
                             "accelerometer or a path. What the record does not say is asked for, and every "
                             "result lists what was taken for\n"
                             "granted.\n"
                             "Exit code 1: short of the rung by more than counts.");
  command->add_option("record", o.record, "CSV file")->required();
  command->add_option("--plan", o.plan, "Plan to hold the flight against");
  command->add_option("--rung", o.rung, "Rung of the plan");
  command->add_option("--flight", o.flight, "Which flight of several, from 1");
  command->add_option("--takeoff", o.takeoff, "Moment the last foot leaves, by hand, s of the record");
  command->add_option("--landing", o.landing, "Moment of first contact, by hand, s of the record");
  command->add_option("--still", o.still, "FROM,TO: standing upright and still before takeoff");
  command->add_option("--turn", o.turn, "FROM,TO,left90: a known turn on the spot; settles left and right");
  command->add_option("--bow", o.bow, "FROM,TO: a bow forward from the still stance; settles front and back");
  command->add_option("--flip-toward", o.flip_toward,
                      "front, back, left, right or degrees to the left of the chest");
  command->add_option("--start-heading", o.start_heading,
                      "Where the chest faces in the still stance, degrees");
  command->add_option("--axes", o.axes, "Sensor axes on the body: forward=x,up=y, or forward=-z alone");
  command->add_option("--up", o.up, "Axis of the record's world that points up: y, z, -z ...");
  command->add_option("--orientation", o.orientation, "Which way the quaternion maps")
      ->check(CLI::IsMember({"body-to-world", "world-to-body"}));
  command->add_option("--hand", o.hand, "Hand of the record's axes")->check(CLI::IsMember({"right", "left"}));
  command->add_option("--rest", o.rest, "What the accelerometer reads at rest")
      ->check(CLI::IsMember({"up", "down"}));
  command->add_option("--time-unit", o.time_unit, "Unit of the time column")
      ->check(CLI::IsMember({"s", "ms", "us", "ns"}));
  command->add_option("--rate-unit", o.rate_unit, "Unit of the gyroscope")
      ->check(CLI::IsMember({"rad/s", "deg/s"}));
  command->add_option("--force-unit", o.force_unit, "Unit of the accelerometer")
      ->check(CLI::IsMember({"m/s2", "g", "mg"}));
  command->add_option("--segment", o.segment, "Which of several sets of columns: what stands before qw");
  command->add_flag("--json", o.json, "Print one JSON object");
  command->callback([options, &chosen] { chosen = [options] { return run_measure(*options); }; });
}

}  // namespace halfturn
