#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/measure_json.hpp"
#include "format/recording_file.hpp"
#include "format/shape_file.hpp"
#include "ladder/gate.hpp"
#include "logbook_options.hpp"
#include "measure/frame_marks.hpp"
#include "measure_options.hpp"
#include "plan_input.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

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

Exit run_frames(const MeasureOptions& o) {
  if (!o.record.empty())
    return report_bad_input({"", "--frames", "measures a video: give it or a record, not both"});
  if (!o.plan.empty())
    return report_bad_input({"", "--frames, --plan", "do not go together: by eye it is too coarse"});
  const Result<FrameMarks> marks = frame_marks(o);
  if (!marks) return report_bad_input(marks.problem());
  const Result<FrameMeasures> measured = measure_frames(*marks);
  if (!measured) return report_bad_input(measured.problem());
  const FrameMeasures& m = *measured;
  if (o.json) return print(json_text(frame_measures_json(m)));
  std::string text =
      fmt::format("air time {:.3f} s, give or take {:.3f}\n", m.air_time_s, m.air_time_doubt_s);
  if (m.mean_rate_deg_s) {
    text += fmt::format("turned {} deg/s on the way, fastest {} deg/s between two marks\n",
                        left_or_right(*m.mean_rate_deg_s), left_or_right(*m.fastest_rate_deg_s));
  }
  if (m.fit) {
    text += fmt::format(
        "best-fitting drawn twist: {} degrees from {:.2f} to {:.2f} of the flight, {:.0f} off at the marks\n",
        left_or_right(m.fit->air_turn_deg), m.fit->onset, m.fit->end, m.fit->error_deg);
  }
  return print(text + "by eye: an estimate\n");
}

Exit run_measure(const MeasureOptions& o) {
  if (!o.strip.empty()) return run_strip(o);
  if (!o.frames.empty()) return run_frames(o);
  if (o.record.empty()) {
    return report_bad_input(
        {"", "record", "is missing: give a CSV or BVH file, or --frames for the marks of a video"});
  }
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
  const Result<ColumnAnswers> columns = column_answers(o);
  if (!columns) return report_bad_input(columns.problem());
  Result<Recording> recording = load_recording(o.record, *columns);
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
    if (const Outcome question = side_question(*measured, sign_of(plan->ladder.rungs[rung].side))) {
      Problem problem = *question;
      problem.file = o.record;
      return report_bad_input(problem);
    }
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
  const Exit printed = print(o.json ? json_text(json) : text);
  return printed != Exit::done ? printed : is_short ? Exit::no : Exit::done;
}

}  // namespace

void add_measure_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<MeasureOptions>();
  MeasureOptions& o = *options;
  CLI::App* command = program.add_subcommand(
      "measure",
      "Measure a recorded flight, or one marked in a video: air time, somersault, twist, headings.\n"
      "A record is a CSV file with a header line, a time column and, of a sensor on "
      "the trunk, the quaternion or the\n"
      "gyroscope and accelerometer (of the pelvis in motion capture), or a BVH file. Takeoff and "
      "landing are found where\n"
      "it has an accelerometer or a path. What the record does not say is asked for, and every "
      "result lists what was\n"
      "taken for granted. Of a video --strip makes a sheet of numbered pictures to mark by eye.\n"
      "Exit code 1: short of the rung by more than counts.");
  add_measure_options(*command, o);
  command->callback([options, &chosen] { chosen = [options] { return run_measure(*options); }; });
}

}  // namespace halfturn
