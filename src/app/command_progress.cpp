#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <memory>

#include "command.hpp"
#include "format/csv.hpp"
#include "format/file.hpp"
#include "format/progress_chart.hpp"
#include "ladder/progress.hpp"
#include "logbook_options.hpp"
#include "report.hpp"

namespace halfturn {
namespace {

struct ProgressOptions : LogbookOptions, RungOptions {
  std::string name, csv, chart;
  bool intervals = false, with_name = false;
};

/// A rung's progress with its name and, on a ladder, its gate.
struct ProgressLine {
  std::optional<int> rung;
  std::string title;
  RungProgress progress;
  std::optional<Gate> gate;
};

/// Whether two keys are one rung; used to gather attempts without a plan.
std::vector<ProgressLine> free_lines(const std::vector<AttemptEntry>& attempts) {
  std::vector<std::pair<RungKey, std::vector<JudgedAttempt>>> groups;
  for (const AttemptEntry& entry : attempts) {
    auto group = std::find_if(groups.begin(), groups.end(),
                              [&](const auto& g) { return g.first == entry.record.rung; });
    if (group == groups.end()) {
      groups.emplace_back(entry.record.rung, std::vector<JudgedAttempt>());
      group = groups.end() - 1;
    }
    // Without a plan there is no step: every heading is held to the greatest error, the trunk to nothing.
    GateDemand demand;
    demand.greatest_angle_deg = 180;
    group->second.push_back({entry.record, entry.session, judge(entry.record, demand)});
  }
  std::vector<ProgressLine> lines;
  for (const auto& [key, judged] : groups)
    lines.push_back({std::nullopt, rung_words(key), rung_progress(judged), {}});
  return lines;
}

std::vector<ProgressLine> ladder_lines(const Ladder& ladder, const std::vector<AttemptEntry>& attempts,
                                       const std::vector<Gate>& gates) {
  std::vector<AttemptRecord> records;
  std::vector<std::string> sessions;
  for (const AttemptEntry& entry : attempts) {
    records.push_back(entry.record);
    sessions.push_back(entry.session);
  }
  const auto judged = judged_by_rung(ladder, records, sessions);
  std::vector<ProgressLine> lines;
  for (std::size_t k = 0; k < judged.size(); ++k) {
    RungProgress progress = rung_progress(judged[k]);
    progress.rung = rung_key(ladder, k);
    lines.push_back({static_cast<int>(k), ladder.rungs[k].title, std::move(progress), gates[k]});
  }
  return lines;
}

Json spread_json(const Spread& spread) {
  return {{"count", spread.count},
          {"mean", spread.count > 0 ? Json(spread.mean) : Json(nullptr)},
          {"deviation", spread.deviation ? Json(*spread.deviation) : Json(nullptr)}};
}

Json line_json(const ProgressLine& line) {
  const RungProgress& p = line.progress;
  Json json;
  json["rung"] = line.rung ? Json(*line.rung) : Json(nullptr);
  json["title"] = line.title;
  json["skill"] = p.rung.skill;
  json["twist_deg"] = p.rung.twist_deg;
  json["side"] = word(p.rung.side);
  json["takeoff"] = p.rung.takeoff;
  json["surface"] = p.rung.surface;
  json["attempts"] = p.attempts;
  json["controlled"] = p.controlled;
  json["rate"] = p.attempts > 0 ? Json(static_cast<double>(p.controlled) / p.attempts) : Json(nullptr);
  json["rate_interval_95"] = {p.interval.low, p.interval.high};
  json["short"] = p.short_count;
  json["long"] = p.long_count;
  json["crashes"] = p.crashes;
  json["heading_error_deg"] = spread_json(p.heading_error_deg);
  json["air_time_s"] = spread_json(p.air_time_s);
  json["sessions"] = Json::array();
  for (const SessionProgress& s : p.sessions) {
    json["sessions"].push_back({{"session", s.session},
                                {"attempts", s.attempts},
                                {"controlled", s.controlled},
                                {"crashes", s.crashes}});
  }
  json["gate"] = line.gate ? gate_json(*line.gate) : Json(nullptr);
  return json;
}

std::string lines_text(const std::vector<ProgressLine>& lines, bool intervals) {
  std::size_t width = 5;
  for (const ProgressLine& line : lines) width = std::max(width, line.title.size());
  std::string text = fmt::format("{:>4}  {:<{}}  {:<12}  {}short  long  {:<14}  gate\n", "rung", "skill",
                                 width, "in hand", intervals ? "95 percent    " : "", "air time");
  const auto out = std::back_inserter(text);
  for (auto line = lines.rbegin(); line != lines.rend(); ++line) {
    const RungProgress& p = line->progress;
    const std::string air = p.air_time_s.count == 0  ? "-"
                            : p.air_time_s.deviation ? fmt::format("{:.2f} +- {:.2f} s", p.air_time_s.mean,
                                                                   *p.air_time_s.deviation)
                                                     : fmt::format("{:.2f} s", p.air_time_s.mean);
    const std::string range =
        intervals ? fmt::format("{:<14}", fmt::format("{:.0f} to {:.0f} %", 100 * p.interval.low,
                                                      100 * p.interval.high))
                  : "";
    fmt::format_to(out, "{:>4}  {:<{}}  {:<12}  {}{:>5}  {:>4}  {:<14}  {}\n",
                   line->rung ? (*line->rung == 0 ? "base" : fmt::format("{}", *line->rung)) : "",
                   line->title, width, fmt::format("{} of {}", p.controlled, p.attempts), range,
                   p.short_count, p.long_count, air, line->gate ? line->gate->reason : "");
  }
  return text;
}

std::string lines_csv(const std::vector<ProgressLine>& lines, const std::string& athlete) {
  std::string text = "athlete,rung,title,session,attempts,controlled,crashes\r\n";
  for (const ProgressLine& line : lines) {
    for (const SessionProgress& s : line.progress.sessions) {
      text += fmt::format("{},{},{},{},{},{},{}\r\n", csv_text_cell(athlete),
                          line.rung ? fmt::format("{}", *line.rung) : "", csv_text_cell(line.title),
                          csv_text_cell(s.session), s.attempts, s.controlled, s.crashes);
    }
  }
  return text;
}

Exit run_progress(const ProgressOptions& o) {
  const Result<Logbook> logbook = open_logbook(o, Logbook::Mode::read);
  if (!logbook) return report_logbook(logbook.problem());
  const Result<AthleteEntry> athlete = logbook->athlete(o.name);
  if (!athlete) return report_logbook(athlete.problem());
  const Result<std::vector<AttemptEntry>> attempts = logbook->attempts({.athlete_id = athlete->id});
  if (!attempts) return report_logbook(attempts.problem());
  const Result<std::optional<ChosenLadder>> chosen = choose_ladder(o, *logbook, *athlete);
  if (!chosen) return report_bad_input(chosen.problem());
  std::vector<ProgressLine> lines;
  std::optional<std::size_t> suggested;
  std::optional<std::size_t> asked;
  if (*chosen) {
    const Result<std::vector<Gate>> gates = gates_of(*logbook, *athlete, (*chosen)->ladder);
    if (!gates) return report_logbook(gates.problem());
    if (!o.rung.empty() || !o.base.empty()) {
      const Result<std::size_t> rung = choose_rung(o, (*chosen)->ladder);
      if (!rung) return report_bad_input(rung.problem());
      asked = *rung;
    }
    lines = ladder_lines((*chosen)->ladder, *attempts, *gates);
    suggested = suggested_rung(*gates);
  } else {
    if (!o.rung.empty()) {
      return report_bad_input(
          {"", "--rung", "needs a plan: give --plan FILE, or keep one with \"halfturn athlete change\""});
    }
    lines = free_lines(*attempts);
  }
  // Exit 1: the gate of the rung that was asked for is not passed.
  const bool not_passed = asked && !lines[*asked].gate->passed;
  if (asked) lines = {lines[*asked]};
  int crashes = 0;
  for (const ProgressLine& line : lines) crashes += line.progress.crashes;
  const std::string& name = athlete->profile.name;
  const std::string handed_over = o.with_name ? name : initials(name);
  if (!o.csv.empty()) {
    if (const Outcome problem = write_file(o.csv, lines_csv(lines, handed_over)))
      return report_no_output(*problem);
  }
  if (!o.chart.empty()) {
    std::vector<ChartLine> chart;
    for (const ProgressLine& line : lines) {
      const RungProgress& p = line.progress;
      std::string note = fmt::format("{} short, {} long", p.short_count, p.long_count);
      if (p.air_time_s.count > 0) note += fmt::format(", air {:.2f} s", p.air_time_s.mean);
      chart.push_back({line.title, p.attempts > 0 ? note : "", p.sessions, line.gate && line.gate->passed});
    }
    if (const Outcome problem = write_file(o.chart, progress_chart_svg(handed_over, chart)))
      return report_no_output(*problem);
  }
  std::string text;
  if (o.json) {
    Json json;
    json["athlete"] = name;
    json["crashes"] = crashes;
    json["suggested_rung"] = suggested ? Json(*suggested) : Json(nullptr);
    json["rungs"] = Json::array();
    for (const ProgressLine& line : lines) json["rungs"].push_back(line_json(line));
    text = json_text(json);
  } else {
    text = fmt::format("{}, {} attempts, crashes {} (the aim is 0)\n\n{}", name, athlete->attempts, crashes,
                       lines_text(lines, o.intervals));
    if (suggested && !asked) {
      std::vector<Gate> told;
      for (const ProgressLine& line : lines) told.push_back(*line.gate);
      text +=
          fmt::format("\n{}\na suggestion, the coach decides\n", suggestion_words((*chosen)->ladder, told));
    }
  }
  const Exit printed = print(text);
  if (printed != Exit::done) return printed;
  return not_passed ? Exit::no : Exit::done;
}

}  // namespace

void add_progress_command(CLI::App& program, Command& chosen) {
  auto options = std::make_shared<ProgressOptions>();
  ProgressOptions& o = *options;
  CLI::App* command = program.add_subcommand("progress", "How an athlete gets on, rung by rung");
  add_logbook_options(*command, o);
  command->add_option("name", o.name, "Athlete")->required();
  add_rung_options(*command, o, true);
  command->add_flag("--intervals", o.intervals, "The instructor's view: 95 percent intervals of the rates");
  command->add_option("--csv", o.csv, "Write attempts and controlled landings per session to this file");
  command->add_flag("--with-name", o.with_name, "In these files, the name instead of initials");
  command->add_option("--chart", o.chart, "Write a chart for the wall to this SVG file");
  command->callback([options, &chosen] { chosen = [options] { return run_progress(*options); }; });
}

}  // namespace halfturn
