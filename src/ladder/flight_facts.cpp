#include "ladder/flight_facts.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>

#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr int looks = 480;  // over a flight
constexpr double half_turn_over = pi / 2;

/// Where f changes sign between two times, s.
template <class F>
double crossing(double low, double high, F&& f) {
  const bool low_sign = f(low) > 0;
  for (int i = 0; i < 24; ++i) {
    const double middle = 0.5 * (low + high);
    ((f(middle) > 0) == low_sign ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

double flip_at(const Flight& flight, double time) {
  return flight.at(time).angles.flip;
}

/// Whether the flip grows enough over a flight to tell moments apart by it.
bool flips(const Flight& flight) {
  return flip_at(flight, flight.duration()) - flip_at(flight, 0) > 0.1;
}

}  // namespace

FlightFacts flight_facts(const Rung& rung, const Flight& flight, const std::vector<SightSpan>& sight) {
  FlightFacts facts;
  const double end = flight.duration();
  facts.air_time_s = end;
  if (flight.angular_momentum_W()) facts.momentum = glm::length(*flight.angular_momentum_W());
  const auto low_head = [&](double time) {
    return angle_from_vertical(flight.orientation(time)) - half_turn_over;
  };
  double before = low_head(0), time_before = 0;
  for (int k = 0; k <= looks; ++k) {
    const double time = end * k / looks;
    const FlightSample now = flight.at(time);
    facts.greatest_lean_deg = std::max(facts.greatest_lean_deg, std::abs(to_deg(now.angles.lean)));
    facts.peak_twist_rate_deg_s = std::max(facts.peak_twist_rate_deg_s, std::abs(to_deg(now.omega_B.y)));
    if (k == 0) continue;
    const double after = low_head(time);
    if (before > 0 && after > 0) {
      facts.upside_down_s += time - time_before;
    } else if ((before > 0) != (after > 0)) {
      const double at = crossing(time_before, time, low_head);
      facts.upside_down_s += before > 0 ? at - time_before : time - at;
    }
    before = after;
    time_before = time;
  }
  const double made =
      std::abs(rung.floor_turn_deg) + sign_of(rung.side) * to_deg(flight.at(end).angles.twist);
  facts.turn_left_at_landing_deg = std::abs(rung.turn_deg) - made;
  facts.floor_seen_from_s = landing_seen_from(sight, end);
  return facts;
}

std::string_view lock_word(Lock lock) {
  switch (lock) {
    case Lock::time:
      return "time";
    case Lock::share:
      return "share";
    case Lock::flip_angle:
      return "flip angle";
  }
  return "";
}

double locked_time(double t, const Flight& lead, const Flight& stage, Lock lock) {
  const double end = stage.duration();
  if (lock == Lock::time) return std::clamp(t, 0.0, end);
  const double share = std::clamp(t / lead.duration(), 0.0, 1.0);
  if (lock == Lock::share || !flips(lead) || !flips(stage)) return share * end;
  const double wanted = flip_at(lead, t);
  if (wanted <= flip_at(stage, 0)) return 0;
  if (wanted >= flip_at(stage, end)) return end;
  // The flip never goes back, so halving finds the one moment.
  double low = 0, high = end;
  for (int i = 0; i < 52; ++i) {
    const double middle = 0.5 * (low + high);
    (flip_at(stage, middle) < wanted ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

}  // namespace halfturn
