#include "measure/measure_record.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

constexpr double longest_flight = 3.0;  // s; the longest of a trampoline is near 2.2
constexpr double sure_twist_deg = 45;   // so much is no wobble

/// Whether something beside habit tells the hand of the axes, and with it left from right.
bool side_known(const std::vector<Convention>& conventions) {
  return std::none_of(conventions.begin(), conventions.end(), [](const Convention& c) {
    return c.what == "hand of the axes" && c.how.starts_with("assumed");
  });
}

Outcome check_span(const Recording& recording, const std::optional<Span>& span, const char* option) {
  if (!span) return std::nullopt;
  const double first = recording.time.front(), last = recording.time.back();
  if (span->from < span->to && first <= span->from && span->to <= last) return std::nullopt;
  return Problem{"", option,
                 fmt::format("{:g},{:g} is no stretch of this record, which runs from {:g} to {:g} s",
                             span->from, span->to, first, last)};
}

std::string list_of(const std::vector<FoundFlight>& flights) {
  std::string text;
  for (std::size_t k = 0; k < flights.size(); ++k) {
    text += fmt::format("{}{}: {:.2f} to {:.2f} s", k > 0 ? ", " : "", k + 1, flights[k].takeoff,
                        flights[k].landing);
  }
  return text;
}

/// Flights and how they were found.
struct Search {
  std::vector<FoundFlight> flights;
  std::string how;
};

Search search(const Recording& recording) {
  if (!recording.height.empty()) {
    return {flights_by_height(recording.time, recording.height), "found: the centre of mass falls freely"};
  }
  if (!recording.force.empty()) {
    return {flights_by_force(recording), "found: the accelerometer reads free fall"};
  }
  if (!recording.place.empty()) {
    std::vector<float> height;
    height.reserve(recording.size());
    for (const Reading& place : recording.place) height.push_back(place.y);
    Search found{flights_by_height(recording.time, height),
                 "found: the path falls freely; an estimate, since it is not the centre of mass"};
    for (FoundFlight& flight : found.flights) {
      flight.takeoff_uncertainty = flight.landing_uncertainty = 0.02;
    }
    return found;
  }
  // Halfturn's own tables hold a flight from its first row to its last and nothing else.
  const double length = recording.time.back() - recording.time.front();
  if (recording.own_table && recording.clock_start == 0 && recording.time.front() == 0 &&
      length <= longest_flight && still_spans(recording).empty()) {
    return {{{recording.time.front(), recording.time.back(), 0, 0}},
            "named in the header: Halfturn's own table, which holds one flight from end to end"};
  }
  return {};
}

/// The flight a person marked by hand; one end may be left to what was found.
Result<FoundFlight> flight_by_hand(const Recording& recording, const MeasureRequest& request,
                                   const std::vector<FoundFlight>& found) {
  FoundFlight flight;
  const double marked = std::max(0.003, recording.step / std::sqrt(12.0));  // people mark to the row at best
  const auto near = [&](double time, bool takeoff) -> const FoundFlight* {
    for (const FoundFlight& each : found) {
      if (takeoff ? each.landing > time : each.takeoff < time) {
        if (takeoff) return &each;
      }
    }
    for (auto each = found.rbegin(); each != found.rend(); ++each) {
      if (!takeoff && each->takeoff < time) return &*each;
    }
    return nullptr;
  };
  if (request.takeoff_s) {
    flight.takeoff = *request.takeoff_s;
    flight.takeoff_uncertainty = marked;
  } else if (const FoundFlight* other = near(*request.landing_s, false)) {
    flight.takeoff = other->takeoff;
    flight.takeoff_uncertainty = other->takeoff_uncertainty;
  } else {
    return Problem{"", "--takeoff", "is needed beside --landing: no flight was found in this record"};
  }
  if (request.landing_s) {
    flight.landing = *request.landing_s;
    flight.landing_uncertainty = marked;
  } else if (const FoundFlight* other = near(*request.takeoff_s, true)) {
    flight.landing = other->landing;
    flight.landing_uncertainty = other->landing_uncertainty;
  } else {
    return Problem{"", "--landing", "is needed beside --takeoff: no flight was found in this record"};
  }
  const double first = recording.time.front(), last = recording.time.back();
  if (!(first <= flight.takeoff && flight.takeoff + 0.05 <= flight.landing && flight.landing <= last)) {
    return Problem{"", "--takeoff, --landing",
                   fmt::format("{:g} to {:g} s is no flight in this record, which runs from {:g} to {:g} s",
                               flight.takeoff, flight.landing, first, last)};
  }
  return flight;
}

}  // namespace

Result<SettledRecord> settle_record(Recording recording, const FrameAnswers& given) {
  SettledRecord settled{std::move(recording), given, {}, {}};
  Recording& record = settled.recording;
  FrameAnswers& answers = settled.answers;
  if (Outcome problem = check_span(record, answers.still, "--still")) return *problem;
  if (Outcome problem = check_span(record, answers.bow, "--bow")) return *problem;
  if (answers.turn) {
    if (Outcome problem = check_span(record, answers.turn->span, "--turn")) return *problem;
  }
  if (record.orientation.empty()) {
    if (Outcome problem = orient_by_rate(record, answers)) return *problem;
  }
  if (Outcome problem = settle_world(record, answers)) return *problem;
  Search found = search(record);
  settled.flights = std::move(found.flights);
  settled.how = std::move(found.how);
  return settled;
}

Result<MeasuredRecord> measure_settled(const SettledRecord& settled, const MeasureRequest& request) {
  const Recording& recording = settled.recording;
  MeasuredRecord measured;
  measured.flights = settled.flights;
  std::string how = settled.how;
  FoundFlight& flight = measured.flight;
  if (request.takeoff_s || request.landing_s) {
    const Result<FoundFlight> marked = flight_by_hand(recording, request, measured.flights);
    if (!marked) return marked.problem();
    flight = *marked;
    how = request.takeoff_s && request.landing_s ? "given" : "one end given, the other " + how;
    // Where the accelerometer sees another flight at the same time, the marks are far off.
    const auto overlap = std::find_if(
        measured.flights.begin(), measured.flights.end(),
        [&](const FoundFlight& f) { return f.takeoff < flight.landing && flight.takeoff < f.landing; });
    if (overlap == measured.flights.end()) {
      measured.flights = {flight};
    } else {
      measured.chosen = static_cast<std::size_t>(overlap - measured.flights.begin());
      const double off =
          std::max(std::abs(overlap->takeoff - flight.takeoff), std::abs(overlap->landing - flight.landing));
      if (off > 0.1) {
        measured.measures.cautions.push_back(fmt::format(
            "The marks lie up to {:.2f} s from the flight that the record shows, {:.2f} to {:.2f} s.", off,
            overlap->takeoff, overlap->landing));
      }
    }
  } else {
    if (measured.flights.empty()) {
      const bool could = !recording.force.empty() || !recording.place.empty() || !recording.height.empty();
      return Problem{
          "", "--takeoff, --landing",
          could ? "no flight was found in this record: mark it by hand, in seconds from its first row"
                : "orientations alone do not tell when the feet left: mark takeoff and landing by hand, in "
                  "seconds from its first row, or record an accelerometer too"};
    }
    if (request.flight) {
      if (*request.flight < 1 || static_cast<std::size_t>(*request.flight) > measured.flights.size()) {
        return Problem{"", "--flight",
                       fmt::format("{} is none of the {} flights of this record ({})", *request.flight,
                                   measured.flights.size(), list_of(measured.flights))};
      }
      measured.chosen = static_cast<std::size_t>(*request.flight) - 1;
    } else if (measured.flights.size() > 1) {
      return Problem{"", "--flight",
                     fmt::format("the record has {} flights: {}. Which one?", measured.flights.size(),
                                 list_of(measured.flights))};
    }
    flight = measured.flights[measured.chosen];
  }
  if (flight.landing - flight.takeoff > longest_flight) {
    return Problem{
        "", "--time-unit",
        fmt::format("from {:g} to {:g} s would be {:.1f} s in the air, longer than anybody is: give "
                    "the unit of the time, s, ms, us or ns, or mark takeoff and landing anew",
                    flight.takeoff, flight.landing, flight.landing - flight.takeoff)};
  }
  const bool whole_table = recording.own_table && flight.takeoff == recording.time.front();
  if (!whole_table && (flight.takeoff <= recording.time.front() || flight.landing >= recording.time.back())) {
    return Problem{
        "", flight.takeoff <= recording.time.front() ? "--takeoff" : "--landing",
        fmt::format("the flight from {:.2f} to {:.2f} s touches the end of the record, so it is cut: record "
                    "from before takeoff to after landing, or mark both moments by hand",
                    flight.takeoff, flight.landing)};
  }
  // Axes may have been mirrored since they were answered; what is only about the body may be asked anew.
  FrameAnswers answers = settled.answers;
  answers.planned_flip_toward_deg = request.frame.planned_flip_toward_deg;
  Result<Alignment> alignment = align(recording, answers, flight);
  if (!alignment) return alignment.problem();
  Result<AttemptMeasures> measures = measure_attempt(recording, *alignment, flight);
  if (!measures) return measures.problem();
  std::vector<std::string> cautions = std::move(measured.measures.cautions);
  measured.measures = *std::move(measures);
  measured.measures.cautions.insert(measured.measures.cautions.begin(), cautions.begin(), cautions.end());
  measured.conventions = recording.conventions;
  measured.conventions.push_back(
      {"flight", fmt::format("{:.3f} to {:.3f} s", flight.takeoff, flight.landing), how});
  measured.conventions.insert(measured.conventions.end(), alignment->conventions.begin(),
                              alignment->conventions.end());
  measured.alignment = *std::move(alignment);
  for (const Convention& c : measured.conventions) {
    if (c.what != "orientation" || !c.how.starts_with("assumed")) continue;
    measured.measures.cautions.emplace_back(
        "That the orientations map the sensor to the world is the usual order, which nothing in the record "
        "confirms: if it is the other way, say --orientation world-to-body, or every turn here is wrong.");
  }
  const double twist = measured.measures.flight.twist_deg.value_or(0);
  if (std::abs(twist) > sure_twist_deg && !side_known(measured.conventions)) {
    measured.measures.cautions.emplace_back(
        "That this twist goes to the left or to the right rests on right-handed axes, which nothing in the "
        "record confirms: a known turn, --turn FROM,TO,left90, would.");
  }
  return measured;
}

Flight flight_of(const SettledRecord& record, const MeasuredRecord& measured) {
  return recorded_flight(record.recording, measured.alignment, measured.flight);
}

Outcome side_question(const MeasuredRecord& measured, double side) {
  const double twist = measured.measures.flight.twist_deg.value_or(0);
  if (side * twist > -sure_twist_deg || side_known(measured.conventions)) return std::nullopt;
  return Problem{"", "--hand",
                 fmt::format("the record turns {:.0f} degrees to the {}, the plan the other way, and nothing "
                             "in the record tells left from right: give --hand left if its axes are "
                             "left-handed, --hand right if the athlete really turned that way, or mark a "
                             "known turn with --turn FROM,TO,left90",
                             std::abs(twist), twist < 0 ? "right" : "left")};
}

Result<MeasuredRecord> measure_record(Recording& recording, const MeasureRequest& request) {
  Result<SettledRecord> settling = settle_record(std::move(recording), request.frame);
  if (!settling) return settling.problem();
  SettledRecord settled = std::move(settling).value();
  Result<MeasuredRecord> measured = measure_settled(settled, request);
  recording = std::move(settled.recording);
  return measured;
}

}  // namespace halfturn
