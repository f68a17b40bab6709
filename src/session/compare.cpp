#include "session/compare.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

/// Air times that are told apart, s.
constexpr double air_apart_s = 0.005;

std::string feet_words(const std::string& feet) {
  if (feet == "both") return "off two feet";
  if (feet == "bed") return "off the bed";
  return "off the " + feet + " foot";
}

std::string wall_of(const Rung& rung, const Walls& walls) {
  return facing_words(rung.landing.heading_deg, walls);
}

bool off_axis(const Rung& rung) {
  return rung.values.incline_deg != 0;
}

/// Whether any of the stages differs from the first in what `value` tells of its rung.
template <class F>
bool any_differs(std::span<const StageFacts> stages, F&& value) {
  return std::any_of(stages.begin() + 1, stages.end(), [&](const StageFacts& stage) {
    return value(stage.rung) != value(stages.front().rung);
  });
}

}  // namespace

std::string stage_words(const Rung& rung) {
  const std::string feet = feet_words(rung.takeoff_feet);
  if (rung.flip_deg == 0) return fmt::format("{}, {}", rung.start.stance, feet);
  return fmt::format("{}, {}", off_axis(rung) ? "off-axis" : "on-axis", feet);
}

std::string stage_name(std::size_t stage, std::span<const ComparedStage> stages) {
  const ComparedStage& own = stages[stage];
  std::string name = own.now().title;
  bool side = false, takeoff = false, source = false;
  for (const ComparedStage& other : stages) {
    if (other.now().title != name) continue;
    if (other.now().side != own.now().side) {
      side = true;
    } else if (other.now().takeoff != own.now().takeoff) {
      takeoff = true;
    } else if (other.source != own.source) {
      source = true;
    }
  }
  if (side) name += fmt::format(", {}", word(own.now().side));
  if (takeoff) name += ", " + feet_words(own.now().takeoff_feet);
  if (source) name += fmt::format(", {}", flight_source_word(own.source));
  return name;
}

std::string made_words(const ComparedStage& stage, const Flight& flight) {
  if (flight.provenance() == Provenance::recorded) return "recorded turn, drawn limbs";
  if (stage.source == FlightSource::recorded) return "marked by eye, drawn";
  return std::string(provenance_word(flight.provenance()));
}

CompareWords compare_words(std::span<const StageFacts> stages, const Walls& walls) {
  CompareWords words;
  std::vector<std::string> faced;
  for (const StageFacts& stage : stages) {
    const std::string wall = wall_of(stage.rung, walls);
    if (std::find(faced.begin(), faced.end(), wall) == faced.end()) faced.push_back(wall);
  }
  words.same_wall = faced.size() == 1;
  words.lead = !words.same_wall     ? "they land facing"
               : stages.size() == 2 ? "both land facing"
                                    : "all land facing";
  words.wall = faced.size() == 2 ? faced[0] + " and " + faced[1] : fmt::format("{}", fmt::join(faced, ", "));
  const Rung& first = stages.front().rung;
  std::vector<std::string> parts;
  if (std::all_of(stages.begin(), stages.end(), [](const StageFacts& s) { return s.rung.flip_deg != 0; }) &&
      any_differs(stages, off_axis))
    parts.emplace_back("axis");
  const bool sides = any_differs(stages, [](const Rung& rung) { return rung.side; });
  if (sides) parts.emplace_back("side");
  double turn = 0;
  for (const StageFacts& stage : stages)
    turn = std::max(turn, std::abs(std::abs(stage.rung.turn_deg) - std::abs(first.turn_deg)));
  if (turn > 0) parts.push_back(turn_words(turn) + " of turn");
  if (any_differs(stages, [](const Rung& rung) { return rung.takeoff; }) ||
      (!sides && any_differs(stages, [](const Rung& rung) { return rung.takeoff_feet; })))
    parts.emplace_back("takeoff");
  if (!sides && any_differs(stages, [](const Rung& rung) { return rung.start.stance; }))
    parts.emplace_back("stance");
  const auto air = [](const StageFacts& a, const StageFacts& b) {
    return a.facts.air_time_s < b.facts.air_time_s;
  };
  const auto [least, most] = std::minmax_element(stages.begin(), stages.end(), air);
  const double more = most->facts.air_time_s - least->facts.air_time_s;
  if (more >= air_apart_s) parts.push_back(fmt::format("{:.2f} s of air", more));
  // Not of the skills: one was flown by a body, another drawn.
  const auto flown = [](const StageFacts& s) { return s.facts.momentum.has_value(); };
  if (std::any_of(stages.begin(), stages.end(), flown) && !std::all_of(stages.begin(), stages.end(), flown))
    parts.emplace_back("one drawn, one simulated");
  words.differs = parts.empty() ? "no difference" : fmt::format("differs: {}", fmt::join(parts, ", "));
  return words;
}

bool CompareRow::differs() const {
  return std::any_of(values.begin(), values.end(),
                     [&](const std::string& value) { return value != values.front(); });
}

std::vector<CompareRow> compare_table(std::span<const StageFacts> stages, const Walls& walls) {
  std::vector<CompareRow> rows;
  const auto row = [&](const char* caption, auto&& words) {
    CompareRow& added = rows.emplace_back();
    added.caption = caption;
    for (const StageFacts& stage : stages) added.values.push_back(words(stage));
  };
  const auto whole = [](double value) { return std::round(value) + 0.0; };
  row("lands facing", [&](const StageFacts& s) { return wall_of(s.rung, walls); });
  row("air time", [](const StageFacts& s) { return fmt::format("{:.2f} s", s.facts.air_time_s); });
  row("momentum |H|", [&](const StageFacts& s) {
    return s.facts.momentum ? fmt::format("{:.1f} kg m\u00b2/s", *s.facts.momentum)
                            : std::string("not simulated");
  });
  row("most tilt",
      [&](const StageFacts& s) { return fmt::format("{:.0f}\u00b0", whole(s.facts.greatest_lean_deg)); });
  row("fastest twist", [&](const StageFacts& s) {
    return fmt::format("{:.0f}\u00b0/s", whole(s.facts.peak_twist_rate_deg_s));
  });
  row("twist left", [&](const StageFacts& s) {
    return fmt::format("{:.0f}\u00b0", whole(s.facts.turn_left_at_landing_deg));
  });
  row("upside down", [](const StageFacts& s) { return fmt::format("{:.2f} s", s.facts.upside_down_s); });
  row("sees landing", [](const StageFacts& s) {
    return s.facts.floor_seen_from_s ? fmt::format("from {:.2f} s", *s.facts.floor_seen_from_s)
                                     : std::string("not seen");
  });
  return rows;
}

}  // namespace halfturn
