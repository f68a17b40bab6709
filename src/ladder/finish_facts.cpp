#include "finish_facts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double began_deg = 5;  // of twist: the turn has begun

}  // namespace

std::string rough_turn(double amount_deg) {
  const double amount = std::abs(amount_deg);
  const double quarter = 90 * std::round(amount / 90);
  if (quarter > 0 && std::abs(amount - quarter) < 4) {
    const std::string words = turn_words(quarter);
    return quarter == 90 || quarter == 180 || words.starts_with("full") ? "a " + words : words;
  }
  return fmt::format("about {:.0f} degrees", std::max(5.0, 5 * std::round(amount / 5)));
}

std::string exact_turn(double amount_deg) {
  const std::string words = turn_words(amount_deg);
  return words == "quarter" || words == "half" || words.starts_with("full") ? "a " + words : words;
}

std::string pace_words(double deg_per_s) {
  const double turns = std::round(std::abs(deg_per_s) / 36) / 10;
  if (turns < 0.1) return "almost nothing";
  if (turns == 0.5) return "half a turn a second";
  if (turns == 1) return "one turn a second";
  return fmt::format("{:.1f} turns a second", turns);
}

std::string finish_feet(const std::string& feet) {
  if (feet == "both") return "both feet";
  if (feet == "bed") return "both feet in the middle of the bed";
  const std::size_t comma = feet.find(", ");
  if (comma == std::string::npos) return fmt::format("the {} foot", feet);
  return fmt::format("the {}, then the {} foot", feet.substr(0, comma), feet.substr(comma + 2));
}

std::string way_word(double left_deg) {
  const double wrapped = wrap_deg(left_deg);
  if (std::abs(wrapped) <= 45) return "forward";
  if (std::abs(wrapped) >= 135) return "back";
  return wrapped > 0 ? "to the left" : "to the right";
}

std::string place_word(double left_deg) {
  const double wrapped = wrap_deg(left_deg);
  if (std::abs(wrapped) <= 45) return "in front of you";
  if (std::abs(wrapped) >= 135) return "behind you";
  return wrapped > 0 ? "to your left" : "to your right";
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

FinishFacts::FinishFacts(const Ladder& ladder, std::size_t rung, const Flight& flight)
    : ladder_(ladder),
      rung_(ladder.rungs[rung]),
      before_(rung > 0 ? &ladder.rungs[rung - 1] : nullptr),
      flight_(flight) {}

std::string FinishFacts::wall(double heading_deg) const {
  return "the " + facing_words(heading_deg, ladder_.plan.walls);
}

double FinishFacts::twisted_deg(double time) const {
  return sign_of(rung_.side) * to_deg(flight_.at(time).angles.twist);
}

double FinishFacts::turn_rate_deg_s(double time) const {
  return sign_of(rung_.side) * to_deg(flight_.at(time).omega_B.y);
}

std::optional<double> FinishFacts::event(EventKind kind) const {
  for (const FlightEvent& e : flight_.events()) {
    if (e.kind == kind) return e.time;
  }
  return std::nullopt;
}

double FinishFacts::twist_begins() const {
  double low = 0, high = end();
  if (twisted_deg(high) < began_deg) return high;
  for (int i = 0; i < 40; ++i) {
    const double middle = 0.5 * (low + high);
    (twisted_deg(middle) < began_deg ? low : high) = middle;
  }
  return high;
}

double FinishFacts::turn_starts() const {
  double first = std::min(twist_begins(), event(EventKind::arm_drop).value_or(end()));
  for (const ArmMove& move : flight_.arm_moves()) first = std::min(first, move.time);
  return first;
}

double FinishFacts::carry_deg(double twist_deg) const {
  return wrap_deg(rung_.flip_toward_deg - twist_deg);
}

}  // namespace halfturn
