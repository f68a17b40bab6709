#include "format/measure_json.hpp"

#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// To 0.0001: finer than any record knows.
double rounded(double value) {
  return std::round(value * 1e4) / 1e4 + 0.0;
}
Json rounded(const std::optional<double>& value) {
  return value ? Json(rounded(*value)) : Json(nullptr);
}

/// Null where the orientations were recorded.
Json gyroscope_json(const Recording& recording) {
  if (!recording.gyroscope) return nullptr;
  const Gyroscope& gyroscope = *recording.gyroscope;
  Json clips = Json::array();
  for (const ClippedSpan& clip : gyroscope.clips) {
    clips.push_back({{"from_s", rounded(clip.span.from)},
                     {"to_s", rounded(clip.span.to)},
                     {"axis", std::string(1, "xyz"[clip.axis])},
                     {"bridged_deg", rounded(to_deg(clip.added))}});
  }
  const Vec3& bias = gyroscope.bias;
  return {{"bias_deg_s", {rounded(to_deg(bias.x)), rounded(to_deg(bias.y)), rounded(to_deg(bias.z))}},
          {"bias_change_deg_s", rounded(to_deg(gyroscope.bias_change))},
          {"bias_uncertainty_deg_s", rounded(to_deg(gyroscope.bias_doubt))},
          {"tilt_drift_deg", rounded(to_deg(gyroscope.tilt_drift))},
          {"limit_deg_s", gyroscope.limit > 0 ? Json(rounded(to_deg(gyroscope.limit))) : Json(nullptr)},
          {"clipped", std::move(clips)}};
}

}  // namespace

Json measure_json(const MeasuredRecord& measured, const Recording& recording) {
  const AttemptMeasures& m = measured.measures;
  const FlightMeasures& f = m.flight;
  Json flights = Json::array();
  for (const FoundFlight& flight : measured.flights) {
    flights.push_back({{"takeoff_s", rounded(flight.takeoff)}, {"landing_s", rounded(flight.landing)}});
  }
  Json conventions = Json::array();
  for (const Convention& convention : measured.conventions) {
    conventions.push_back({{"what", convention.what}, {"value", convention.value}, {"how", convention.how}});
  }
  Json json{{"format", "halfturn-measures"},
            {"version", 1},
            {"air_time_s", rounded(f.air_time_s)},
            {"somersault_deg", rounded(f.somersault_deg)},
            {"twist_deg", rounded(f.twist_deg)},
            {"start_heading_deg", rounded(m.start_heading_deg)},
            {"landing_heading_deg", rounded(f.landing_heading_deg)},
            {"stood_heading_deg", rounded(m.stood_heading_deg)},
            {"flip_toward_deg", rounded(f.flip_toward_deg)},
            {"twist_onset_s", rounded(f.twist_onset_s)},
            {"floor_turn_deg", rounded(m.floor_turn_deg)},
            {"turn_deg", rounded(m.turn_deg)},
            {"takeoff_heading_deg", rounded(f.takeoff_heading_deg)},
            {"takeoff_angle_deg", rounded(f.takeoff_angle_deg)},
            {"landing_angle_deg", rounded(f.landing_angle_deg)},
            {"greatest_tilt_deg", rounded(f.greatest_tilt_deg)},
            {"landing_tilt_deg", rounded(f.landing_tilt_deg)},
            {"peak_somersault_rate_deg_s", rounded(f.peak_somersault_rate_deg_s)},
            {"peak_twist_rate_deg_s", rounded(f.peak_twist_rate_deg_s)},
            {"landing_somersault_rate_deg_s", rounded(f.landing_somersault_rate_deg_s)},
            {"landing_twist_rate_deg_s", rounded(f.landing_twist_rate_deg_s)},
            {"stood_after_s", rounded(m.stood_after_s)},
            {"takeoff_s", rounded(m.takeoff_s)},
            {"landing_s", rounded(m.landing_s)},
            {"uncertainty",
             {{"air_time_s", rounded(m.doubt.air_time_s)},
              {"somersault_deg", rounded(m.doubt.somersault_deg)},
              {"twist_deg", rounded(m.doubt.twist_deg)},
              {"heading_deg", rounded(m.doubt.heading_deg)},
              {"note", "an estimate of one standard deviation"}}},
            {"flight", measured.chosen + 1},
            {"flights", std::move(flights)},
            {"record",
             {{"rows", recording.size()},
              {"rows_per_s", rounded(1 / recording.step)},
              {"duplicates", recording.duplicates},
              {"empty_rows", recording.empty_rows},
              {"longest_gap_s", rounded(recording.longest_step)},
              {"longest_gap_at_s", rounded(recording.longest_step_at)},
              {"quaternion_length_error", rounded(recording.norm_error)}}},
            {"gyroscope", gyroscope_json(recording)},
            {"conventions", std::move(conventions)},
            {"cautions", m.cautions}};
  return json;
}

Json frame_measures_json(const FrameMeasures& measures) {
  Json fit = nullptr;
  if (measures.fit) {
    fit = {{"air_turn_deg", rounded(measures.fit->air_turn_deg)},
           {"twist_onset", rounded(measures.fit->onset)},
           {"twist_end", rounded(measures.fit->end)},
           {"error_deg", rounded(measures.fit->error_deg)}};
  }
  return {{"air_time_s", rounded(measures.air_time_s)},
          {"air_time_uncertainty_s", rounded(measures.air_time_doubt_s)},
          {"mean_turn_rate_deg_s", rounded(measures.mean_rate_deg_s)},
          {"fastest_turn_rate_deg_s", rounded(measures.fastest_rate_deg_s)},
          {"drawn_twist", std::move(fit)},
          {"note", "by eye: an estimate"}};
}

Result<MeasuredLanding> read_measured_landing(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader root(&json.value(), "", &log);
  root.expect_format("halfturn-measures", 1);
  MeasuredLanding landing;
  landing.air_time_s = root.at("air_time_s").number(0.05, 5);
  landing.landing_angle_deg = root.at("landing_angle_deg").number(0, 180);
  const auto start = root.optional_number("start_heading_deg", -180, 180);
  const auto contact = root.optional_number("landing_heading_deg", -180, 180);
  if (start && contact) landing.contact_turn_deg = wrap_deg(*contact - *start);
  const auto floor = root.optional_number("floor_turn_deg"), twist = root.optional_number("twist_deg");
  if (twist) landing.turn_deg = floor.value_or(0) + *twist;
  if (log.problem) return *log.problem;
  return landing;
}

Json against_plan_json(const AgainstPlan& against) {
  return {{"turn_error_deg", rounded(against.turn_error_deg)},
          {"heading_error_deg", rounded(against.heading_error_deg)},
          {"somersault_error_deg", rounded(against.somersault_error_deg)},
          {"landing_angle_error_deg", rounded(against.uprightness_error_deg)},
          {"air_time_error_s", rounded(against.air_time_error_s)}};
}

}  // namespace halfturn
