// Records as text, row by row: nothing but the numbers is kept.
#include "format/recording_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <glm/geometric.hpp>
#include <variant>

#include "bvh_reader.hpp"
#include "flight/simulated.hpp"
#include "line_source.hpp"
#include "number_cell.hpp"
#include "recording_columns.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_columns = 4096;
constexpr double norm_tolerance = 0.02;  // of a quaternion; files round to three digits and less

/// The last column that is needed, so that the rest of a row is not looked at.
int last_of(const ColumnPlan& plan) {
  int last = std::max(plan.time, plan.height);
  for (const int column : plan.orientation) last = std::max(last, column);
  for (const auto* columns : {&plan.rate, &plan.force, &plan.place}) {
    for (const int column : *columns) last = std::max(last, column);
  }
  return last;
}

/// Takes a record line by line.
class RecordReader {
 public:
  RecordReader(std::string file, const ColumnAnswers& answers) : file_(std::move(file)), answers_(answers) {}

  /// A line without its end; the last one may have had none.
  Outcome take(std::string_view line, bool ended) {
    ++line_;
    if (line_ == 1 && line.starts_with("\xEF\xBB\xBF")) line.remove_prefix(3);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    for (std::size_t i = 0; i < line.size(); ++i) {
      const auto c = static_cast<unsigned char>(line[i]);
      if (c < 32 && c != '\t') {
        return wrong(line_, i + 1,
                     fmt::format("holds the byte {}: this is no text but a binary file; export the "
                                 "record as CSV",
                                 static_cast<int>(c)));
      }
    }
    if (line.empty() || line.front() == '#') return std::nullopt;
    if (!has_header_) return take_header(line);
    return take_row(line, ended);
  }

  Result<Recording> finish();
  /// Place of the line that comes next.
  [[nodiscard]] std::string next_line() const { return fmt::format("line {}", line_ + 1); }

 private:
  Problem wrong(int line, std::size_t character, std::string text) const {
    return {file_, fmt::format("line {}, column {}", line, character), std::move(text)};
  }
  /// A complaint about a cell: its line, the character it starts at and the name of its column.
  Problem wrong_cell(int column, std::string_view line, std::string text) const {
    const std::string_view cell = cells_[static_cast<std::size_t>(column)];
    return {file_,
            fmt::format("line {}, column {} ({})", line_, cell.data() - line.data() + 1,
                        header_[static_cast<std::size_t>(column)]),
            std::move(text)};
  }
  Outcome split(std::string_view line);
  Outcome take_header(std::string_view line);
  Outcome take_row(std::string_view line, bool ended);
  Outcome number(int column, std::string_view line, double& value) const;
  template <std::size_t N>
  Outcome reading(const std::array<int, N>& columns, std::string_view line, double* values) const {
    for (std::size_t k = 0; k < N; ++k) {
      if (Outcome problem = number(columns[k], line, values[k])) return problem;
    }
    return std::nullopt;
  }
  Outcome settle_time_unit();
  Outcome settle_force_unit();

  std::string file_;
  const ColumnAnswers& answers_;
  Recording recording_;
  ColumnPlan plan_;
  std::vector<std::string> header_;
  std::vector<std::string_view> cells_;  // of the line at hand
  int line_ = 0, last_column_ = 0;
  std::string first_time_, last_time_;  // as the file writes them
  std::optional<std::int64_t> first_whole_;
  char separator_ = ',';
  bool has_header_ = false, seen_row_ = false;
};

Outcome RecordReader::split(std::string_view line) {
  cells_.clear();
  std::size_t start = 0;
  for (;;) {
    const std::size_t end = line.find(separator_, start);
    cells_.push_back(trimmed(line.substr(start, end == std::string_view::npos ? end : end - start)));
    if (end == std::string_view::npos) return std::nullopt;
    if (cells_.size() >= most_columns)
      return wrong(line_, end + 1, fmt::format("more than {} columns", most_columns));
    start = end + 1;
  }
}

Outcome RecordReader::take_header(std::string_view line) {
  for (const char candidate : {',', ';', '\t'}) {
    if (line.find(candidate) == std::string_view::npos) continue;
    separator_ = candidate;
    break;
  }
  if (Outcome problem = split(line)) return problem;
  for (const std::string_view cell : cells_) header_.emplace_back(cell);
  if (is_number_cell(cells_[0])) {
    return wrong(line_, 1,
                 "numbers without a header: the first line must name the columns, for instance "
                 "time_s,qw,qx,qy,qz");
  }
  Result<ColumnPlan> plan = plan_columns(header_, answers_);
  if (!plan) {
    Problem problem = plan.problem();
    // A question about an option is not about a place in the file.
    if (!problem.place.starts_with("--")) {
      problem.place = fmt::format("line {}{}{}", line_, problem.place.empty() ? "" : ", ", problem.place);
    }
    problem.file = file_;
    return problem;
  }
  plan_ = *std::move(plan);
  last_column_ = last_of(plan_);
  has_header_ = true;
  return std::nullopt;
}

Outcome RecordReader::number(int column, std::string_view line, double& value) const {
  const std::string_view cell = cells_[static_cast<std::size_t>(column)];
  if (cell.empty())
    return wrong_cell(column, line, "is empty; every row needs this number, or none but the time");
  const char* first = cell.data() + (cell.front() == '+' ? 1 : 0);
  const char* last = cell.data() + cell.size();
  auto [end, error] = std::from_chars(first, last, value);
  std::string with_point;
  if (error == std::errc() && end != last && *end == ',' && separator_ != ',') {
    with_point = std::string(first, last);
    std::replace(with_point.begin(), with_point.end(), ',', '.');
    const auto again = std::from_chars(with_point.data(), with_point.data() + with_point.size(), value);
    error = again.ec;
    end = again.ptr == with_point.data() + with_point.size() ? last : first;
  }
  if (error != std::errc() || end != last) {
    return wrong_cell(column, line, fmt::format("\"{:.40}\" is not a number", cell));
  }
  if (!std::isfinite(value))
    return wrong_cell(column, line, fmt::format("is {}, a finite number is needed", cell));
  return std::nullopt;
}

Outcome RecordReader::take_row(std::string_view line, bool ended) {
  if (Outcome problem = split(line)) return problem;
  const bool too_short = static_cast<int>(cells_.size()) <= last_column_;
  if (too_short || (!ended && cells_.size() < header_.size())) {
    if (!ended) {
      return wrong(
          line_, line.size() + 1,
          "the file ends in the middle of a row: it was cut off; delete this line to measure what is there, "
          "or export the record anew");
    }
    return wrong(line_, line.size() + 1,
                 fmt::format("has {} cells where the header names {}", cells_.size(), header_.size()));
  }
  seen_row_ = true;
  double time = 0;
  if (Outcome problem = number(plan_.time, line, time)) return problem;
  const std::string_view time_cell = cells_[static_cast<std::size_t>(plan_.time)];
  const bool by_quaternion = plan_.orientation[0] >= 0;
  const auto empty = [&](const auto& columns) {
    return std::all_of(columns.begin(), columns.end(),
                       [&](int c) { return c < 0 || cells_[static_cast<std::size_t>(c)].empty(); });
  };
  if (empty(plan_.orientation) && empty(plan_.rate) && empty(plan_.force)) {
    ++recording_.empty_rows;
    return std::nullopt;
  }
  std::vector<double>& times = recording_.time;
  // Times count from the first row, in the file's own unit: clocks that run since 1970 would lose digits.
  const std::optional<std::int64_t> whole = whole_number_cell(time_cell);
  if (times.empty()) {
    recording_.clock_start = time;
    first_whole_ = whole;
    first_time_ = time_cell;
  }
  time = whole && first_whole_ ? static_cast<double>(*whole - *first_whole_) : time - recording_.clock_start;
  if (!times.empty() && time <= times.back()) {
    if (time == times.back()) {
      ++recording_.duplicates;
      return std::nullopt;
    }
    return wrong_cell(
        plan_.time, line,
        fmt::format("time runs backward: {} comes after {}; sort the rows, or cut the record where "
                    "the clock was set",
                    time_cell, last_time_));
  }
  if (times.size() >= most_record_rows) {
    return wrong(line_, 1,
                 fmt::format("more than {} rows: cut the record to the attempts", most_record_rows));
  }
  if (by_quaternion) {
    double q[4];
    if (Outcome problem = reading(plan_.orientation, line, q)) return problem;
    const double norm = std::sqrt(q[0] * q[0] + q[1] * q[1] + q[2] * q[2] + q[3] * q[3]);
    if (!(std::abs(norm - 1) <= norm_tolerance)) {
      return wrong_cell(plan_.orientation[0], line,
                        fmt::format("the quaternion has the length {:.4g}, an orientation has 1", norm));
    }
    recording_.norm_error = std::max(recording_.norm_error, std::abs(norm - 1));
    recording_.orientation.emplace_back(q[0] / norm, q[1] / norm, q[2] / norm, q[3] / norm);
  }
  const auto take_reading = [&](const std::array<int, 3>& columns, double unit,
                                std::vector<Reading>& into) -> Outcome {
    if (columns[0] < 0) return std::nullopt;
    double v[3];
    if (Outcome problem = reading(columns, line, v)) return problem;
    for (std::size_t k = 0; k < 3; ++k) {
      if (std::abs(v[k] * unit) > 1e6) {
        return wrong_cell(columns[k], line, fmt::format("is {:g}, more than any sensor reads", v[k]));
      }
    }
    into.emplace_back(v[0] * unit, v[1] * unit, v[2] * unit);
    return std::nullopt;
  };
  if (Outcome problem = take_reading(plan_.rate, plan_.rate_unit.value_or(1), recording_.rate))
    return problem;
  if (Outcome problem = take_reading(plan_.force, 1, recording_.force)) return problem;
  if (Outcome problem = take_reading(plan_.place, plan_.place_unit, recording_.place)) return problem;
  if (plan_.height >= 0) {
    double height = 0;
    if (Outcome problem = number(plan_.height, line, height)) return problem;
    recording_.height.push_back(static_cast<float>(height * plan_.height_unit));
  }
  times.push_back(time);
  last_time_ = time_cell;
  return std::nullopt;
}

/// The unit of the time column: named, given, or found, since sensors write 16 to 4000 rows a second.
Outcome RecordReader::settle_time_unit() {
  constexpr double shortest = 0.00024, longest = 0.065;  // s
  std::string how = answers_.time_unit_s ? "given"
                    : plan_.own_table    ? "Halfturn's own table"
                                         : "named in the header";
  note_steps(recording_);
  const double step = recording_.step;
  const auto name = [](double unit) {
    return unit == 1 ? "s" : unit == 1e-3 ? "ms" : unit == 1e-6 ? "us" : unit == 1e-9 ? "ns" : "?";
  };
  if (!plan_.time_unit) {
    for (const double unit : {1.0, 1e-3, 1e-6, 1e-9}) {
      if (step * unit < shortest || step * unit > longest) continue;
      plan_.time_unit = unit;
      how = fmt::format("found: so the rows are {:.0f} a second", 1 / (step * unit));
    }
    if (!plan_.time_unit) {
      return Problem{
          file_, "--time-unit",
          fmt::format("the header does not say the unit of the time and rows {:g} apart fit none: give "
                      "--time-unit s, ms, us or ns",
                      step)};
    }
  } else if (step * *plan_.time_unit > 0.5 || step * *plan_.time_unit < 2e-5) {
    return Problem{
        file_, "--time-unit",
        fmt::format("rows {:g} {} apart would be {:.3g} a second, which no sensor writes: the unit of the "
                    "time is wrong; give --time-unit s, ms, us or ns",
                    step, name(*plan_.time_unit), 1 / (step * *plan_.time_unit))};
  }
  const double unit = *plan_.time_unit;
  for (double& time : recording_.time) time *= unit;
  note_steps(recording_);
  recording_.conventions.push_back({"time", name(unit), how});
  if (recording_.clock_start != 0) {
    recording_.conventions.push_back(
        {"second 0", "the first row", fmt::format("the file's own clock says {} there", first_time_)});
  }
  recording_.clock_start *= unit;
  return std::nullopt;
}

/// The unit of the accelerometer: most of a record it reads about gravity, which tells g from m/s2.
Outcome RecordReader::settle_force_unit() {
  if (recording_.force.empty()) return std::nullopt;
  std::vector<float> sizes;
  sizes.reserve(recording_.force.size());
  for (const Reading& force : recording_.force) sizes.push_back(glm::length(force));
  const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
  std::nth_element(sizes.begin(), middle, sizes.end());
  const double usual = static_cast<double>(*middle);
  std::string how = answers_.force_unit_m_s2 ? "given" : "named in the header";
  struct Candidate {
    const char* name;
    double si;
  };
  constexpr Candidate candidates[] = {{"m/s2", 1}, {"g", standard_gravity}, {"mg", standard_gravity * 1e-3}};
  // Within a factor of 2.5: jumping and falling count too, and the units lie a factor of 10 apart or more.
  const auto fits = [&](double unit) {
    return usual * unit > standard_gravity / 2.5 && usual * unit < standard_gravity * 2.5;
  };
  if (!plan_.force_unit) {
    for (const Candidate& candidate : candidates) {
      if (!fits(candidate.si)) continue;
      plan_.force_unit = candidate.si;
      how = fmt::format("found: it usually reads {:.3g}", usual);
    }
    if (!plan_.force_unit) {
      return Problem{file_, "--force-unit",
                     fmt::format("the accelerometer usually reads {:.3g}, which is gravity in no unit: give "
                                 "--force-unit m/s2 or g, and columns with gravity in them",
                                 usual)};
    }
  } else if (!fits(*plan_.force_unit)) {
    return Problem{
        file_, "--force-unit",
        fmt::format("in the unit of the header the accelerometer usually reads {:.3g} m/s2 instead of "
                    "gravity, 9.8: the unit is wrong, or gravity was taken out",
                    usual * *plan_.force_unit)};
  }
  const auto unit = static_cast<float>(*plan_.force_unit);
  for (Reading& force : recording_.force) force *= unit;
  const char* name = "";
  for (const Candidate& candidate : candidates) {
    if (candidate.si == *plan_.force_unit) name = candidate.name;
  }
  recording_.conventions.push_back({"accelerometer", name, how});
  return std::nullopt;
}

Result<Recording> RecordReader::finish() {
  if (!has_header_)
    return Problem{file_, "line 1", "is empty: a record needs a header line and rows of numbers"};
  if (!seen_row_) return Problem{file_, fmt::format("line {}", line_), "has a header but no rows"};
  if (recording_.size() < 8) {
    return Problem{file_, fmt::format("line {}", line_),
                   fmt::format("has {} rows with numbers, too few to measure anything", recording_.size())};
  }
  recording_.own_table = plan_.own_table;
  if (Outcome problem = settle_time_unit()) return *problem;
  if (Outcome problem = settle_force_unit()) return *problem;
  if (!recording_.rate.empty()) {
    recording_.conventions.push_back({"gyroscope", *plan_.rate_unit == 1 ? "rad/s" : "deg/s",
                                      answers_.rate_unit_rad_s ? "given" : "named in the header"});
  }
  if (plan_.orientation[0] >= 0) {
    const std::string first = header_[static_cast<std::size_t>(plan_.orientation[0])];
    recording_.conventions.push_back(
        {"scalar part of the quaternion", first,
         first.back() == '0' ? "assumed: numbered from 0, the usual order" : "named in the header"});
  }
  if (!plan_.set.empty()) {
    recording_.conventions.push_back(
        {"columns", plan_.set, answers_.segment.empty() ? "the only set in the header" : "given"});
  }
  return std::move(recording_);
}

}  // namespace

Result<Recording> read_recording(std::string_view text, const std::string& file,
                                 const ColumnAnswers& answers) {
  const auto read = [&](auto reader) -> Result<Recording> {
    if (Outcome problem = take_lines(text, file, reader)) return *problem;
    return reader.finish();
  };
  return looks_like_bvh(text) ? read(BvhReader(file, answers)) : read(RecordReader(file, answers));
}

Result<Recording> load_recording(const std::string& path, const ColumnAnswers& answers) {
  std::variant<std::monostate, RecordReader, BvhReader> reader;
  const Outcome problem = take_lines_of_file(path, [&](std::string_view start) -> TakeLine {
    if (looks_like_bvh(start))
      return [&bvh = reader.emplace<BvhReader>(path, answers)](auto... line) { return bvh.take(line...); };
    return [&csv = reader.emplace<RecordReader>(path, answers)](auto... line) { return csv.take(line...); };
  });
  if (problem) return *problem;
  if (BvhReader* bvh = std::get_if<BvhReader>(&reader)) return bvh->finish();
  return std::get<RecordReader>(reader).finish();
}

}  // namespace halfturn
