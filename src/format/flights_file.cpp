#include "format/flights_file.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <glm/gtc/quaternion.hpp>

#include "flight/sampled.hpp"
#include "format/json_reader.hpp"
#include "json_vectors.hpp"

namespace halfturn {
namespace {

constexpr std::array<const char*, 3> axes{"x", "y", "z"};
constexpr std::size_t most_samples = 4000;  // far more than any flight here needs
constexpr double longest_flight_s = 10, most_rate = 1e3, most_angle = 1e3, most_metres = 100;

constexpr std::array kinds{EventKind::takeoff, EventKind::arm_drop,         EventKind::open,
                           EventKind::strike,  EventKind::landing_in_sight, EventKind::landing};

// ---- out

double rounded(double value, double unit) {
  const double whole = std::round(value / unit);
  // Divided, not multiplied, so that the text is short; and no negative zero.
  return whole == 0 ? 0 : whole / std::round(1.0 / unit);
}

Json vector_json(const Vec3& v, double unit) {
  return {rounded(v.x, unit), rounded(v.y, unit), rounded(v.z, unit)};
}

/// A joint angle that never changes is one number, any other a list.
Json joints_json(const std::vector<FlightSample>& samples) {
  Json joints = Json::object();
  for (std::size_t s = 1; s < segment_count; ++s) {
    for (int axis = 0; axis < 3; ++axis) {
      Json column = Json::array();
      bool moves = false;
      for (const FlightSample& sample : samples) {
        column.push_back(rounded(sample.pose.angles[s][axis], 1e-5));
        moves = moves || column.back() != column.front();
      }
      if (!moves && column.front() == 0) continue;
      Json& joint = joints[std::string(segment_name(static_cast<Segment>(s)))];
      joint[axes[static_cast<std::size_t>(axis)]] = moves ? column : column.front();
    }
  }
  return joints;
}

Json flight_json(const Flight& flight, double hz) {
  const std::vector<FlightSample> samples = samples_of(flight, hz);
  Json events = Json::array(), moves = Json::array();
  for (const FlightEvent& event : flight.events())
    events.push_back({{"kind", event_word(event.kind)}, {"time_s", rounded(event.time, 1e-6)}});
  for (const ArmMove& move : flight.arm_moves()) {
    moves.push_back({{"time_s", rounded(move.time, 1e-6)},
                     {"arm", move.left ? "left" : "right"},
                     {"goes", move.in ? "in" : "out"}});
  }
  Json orientation = Json::array(), rate = Json::array(), path = Json::array(), turns = Json::array();
  const auto add = [](Json& list, std::initializer_list<double> values, double unit) {
    for (const double value : values) list.push_back(rounded(value, unit));
  };
  for (const FlightSample& s : samples) {
    add(orientation, {s.q_WB.w, s.q_WB.x, s.q_WB.y, s.q_WB.z}, 1e-6);
    add(rate, {s.omega_B.x, s.omega_B.y, s.omega_B.z}, 1e-4);
    add(path, {s.com_W.x, s.com_W.y, s.com_W.z}, 1e-5);
    add(turns, {s.angles.flip, s.angles.lean, s.angles.twist}, 1e-5);
  }
  return {{"duration_s", rounded(flight.duration(), 1e-6)},
          {"samples", samples.size()},
          {"flip_axis", vector_json(flight.flip_axis_W(), 1e-9)},
          {"events", std::move(events)},
          {"arm_moves", std::move(moves)},
          {"orientation", std::move(orientation)},
          {"angular_velocity", std::move(rate)},
          {"centre_of_mass", std::move(path)},
          {"flip_lean_twist", std::move(turns)},
          {"joints", joints_json(samples)}};
}

// ---- in

/// `width` numbers for every sample, one after the other.
std::vector<double> read_table(const JsonReader& reader, std::size_t samples, std::size_t width,
                               double most) {
  std::vector<double> values;
  const std::vector<JsonReader> elements = reader.elements();
  if (reader.failed()) return values;
  if (elements.size() != samples * width) {
    reader.complain(fmt::format("has {} numbers, {} are needed: {} for each of {} samples", elements.size(),
                                samples * width, width, samples));
    return values;
  }
  values.reserve(elements.size());
  for (const JsonReader& element : elements) values.push_back(element.number(-most, most));
  return values;
}

Vec3 vector_at(const std::vector<double>& values, std::size_t k) {
  return {values[3 * k], values[3 * k + 1], values[3 * k + 2]};
}

void read_orientations(const JsonReader& reader, std::vector<FlightSample>& samples) {
  const std::vector<double> q = read_table(reader, samples.size(), 4, 1.001);
  if (reader.failed()) return;
  const std::vector<JsonReader> elements = reader.elements();
  for (std::size_t k = 0; k < samples.size(); ++k) {
    const Quat read(q[4 * k], q[4 * k + 1], q[4 * k + 2], q[4 * k + 3]);
    const double length = glm::length(read);
    if (!(std::abs(length - 1) < 1e-3))
      return elements[4 * k].complain(fmt::format(
          "begins a quaternion (w, x, y, z) of length {:.4g}, an orientation has length 1", length));
    samples[k].q_WB = read / length;
    if (k == 0) continue;
    const double turned = angle_between(samples[k - 1].q_WB, samples[k].q_WB);
    if (turned > most_turn_between_samples)
      return elements[4 * k].complain(
          fmt::format("is turned {:.0f} degrees from the sample before, at most {:.0f} can be followed",
                      to_deg(turned), to_deg(most_turn_between_samples)));
  }
}

void read_joints(const JsonReader& reader, std::vector<FlightSample>& samples) {
  for (const auto& [name, joint] : reader.members()) {
    std::size_t segment = 1;
    while (segment < segment_count && segment_name(static_cast<Segment>(segment)) != name) ++segment;
    if (segment == segment_count) return joint.complain("no joint of that name");
    joint.expect_keys({"x", "y", "z"});
    for (int axis = 0; axis < 3; ++axis) {
      const auto angle = joint.find(axes[static_cast<std::size_t>(axis)]);
      if (!angle) continue;
      const bool moves = angle->is_array();
      const std::vector<double> column = moves ? read_table(*angle, samples.size(), 1, most_angle)
                                               : std::vector<double>{angle->number(-most_angle, most_angle)};
      if (reader.failed()) return;
      for (std::size_t k = 0; k < samples.size(); ++k)
        samples[k].pose.angles[segment][axis] = column[moves ? k : 0];
    }
  }
}

std::optional<Flight> read_flight(const JsonReader& reader) {
  reader.expect_keys({"duration_s", "samples", "flip_axis", "events", "arm_moves", "orientation",
                      "angular_velocity", "centre_of_mass", "flip_lean_twist", "joints"});
  const double duration = reader.at("duration_s").number(1e-3, longest_flight_s);
  const int count = reader.at("samples").integer(2, most_samples);
  if (reader.failed()) return std::nullopt;
  std::vector<FlightSample> samples(static_cast<std::size_t>(count));
  for (std::size_t k = 0; k < samples.size(); ++k)
    samples[k].time = duration * (static_cast<double>(k) / static_cast<double>(samples.size() - 1));
  samples.back().time = duration;

  const Vec3 axis = read_vector(reader.at("flip_axis"));
  std::vector<FlightEvent> events;
  for (const JsonReader& one : reader.at("events").elements()) {
    one.expect_keys({"kind", "time_s"});
    std::vector<std::string> words;
    for (const EventKind kind : kinds) words.emplace_back(event_word(kind));
    const std::string word = one.at("kind").one_of(words);
    const double time = one.at("time_s").number(0, duration);
    for (const EventKind kind : kinds) {
      if (event_word(kind) == word) events.push_back({kind, time});
    }
  }
  std::vector<ArmMove> moves;
  for (const JsonReader& one : reader.at("arm_moves").elements()) {
    one.expect_keys({"time_s", "arm", "goes"});
    moves.push_back({one.at("time_s").number(0, duration), one.at("arm").one_of({"left", "right"}) == "left",
                     one.at("goes").one_of({"in", "out"}) == "in"});
  }

  read_orientations(reader.at("orientation"), samples);
  const auto table = [&](const char* key, double most) {
    return read_table(reader.at(key), samples.size(), 3, most);
  };
  const std::vector<double> rate = table("angular_velocity", most_rate),
                            path = table("centre_of_mass", most_metres),
                            turns = table("flip_lean_twist", most_angle);
  if (reader.failed()) return std::nullopt;
  for (std::size_t k = 0; k < samples.size(); ++k) {
    samples[k].omega_B = vector_at(rate, k);
    samples[k].com_W = vector_at(path, k);
    const Vec3 turned = vector_at(turns, k);
    samples[k].angles = {turned.x, turned.y, turned.z};
  }
  read_joints(reader.at("joints"), samples);
  if (reader.failed()) return std::nullopt;
  return sampled_flight(std::move(samples), Provenance::simulated, std::move(events), axis, std::move(moves));
}

}  // namespace

Result<FlownPlan> read_flights(std::string_view text, const std::string& file) {
  const Result<Json> json = parse_json(text, file);
  if (!json) return json.problem();
  JsonReader::Log log{file, std::nullopt};
  const JsonReader root(&json.value(), "", &log);
  root.expect_keys({"format", "version", "whose", "rungs"});
  root.expect_format("halfturn-flights", 1);
  FlownPlan plan;
  plan.whose = root.at("whose").string();
  for (const JsonReader& reader : root.at("rungs").elements()) {
    if (log.problem) break;
    reader.expect_keys({"flight", "why_drawn", "air_time_needed_s", "air_time_margin_s"});
    FlownRung rung;
    rung.air_time_needed_s = reader.optional_number("air_time_needed_s", 0, longest_flight_s);
    rung.air_time_margin_s = reader.optional_number("air_time_margin_s", -longest_flight_s, longest_flight_s);
    if (const auto flight = reader.find("flight")) {
      if (reader.has("why_drawn"))
        reader.at("why_drawn").complain("cannot be given together with flight: leave one out");
      rung.flight = read_flight(*flight);
    } else {
      rung.why_drawn = reader.at("why_drawn").string();
    }
    plan.rungs.push_back(std::move(rung));
  }
  if (log.problem) return *log.problem;
  return plan;
}

std::string write_flights(const FlownPlan& plan, double hz) {
  Json rungs = Json::array();
  for (const FlownRung& rung : plan.rungs) {
    Json json = Json::object();
    if (rung.air_time_needed_s) json["air_time_needed_s"] = rounded(*rung.air_time_needed_s, 1e-4);
    if (rung.air_time_margin_s) json["air_time_margin_s"] = rounded(*rung.air_time_margin_s, 1e-4);
    if (rung.flight) {
      json["flight"] = flight_json(*rung.flight, hz);
    } else {
      json["why_drawn"] = rung.why_drawn;
    }
    rungs.push_back(std::move(json));
  }
  const Json json{
      {"format", "halfturn-flights"}, {"version", 1}, {"whose", plan.whose}, {"rungs", std::move(rungs)}};
  return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace halfturn
