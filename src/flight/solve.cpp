#include "flight/solve.hpp"

#include <algorithm>
#include <cmath>

#include "base/expect.hpp"
#include "flight/simulated.hpp"
#include "solve_answer.hpp"

namespace halfturn {
namespace {

constexpr double shortest_air_time = 0.3, longest_air_time = 2.5;  // s

/// Controls for one air time as the first guess for another: H T and the shares of the flight stay.
solve::Controls rescaled(solve::Controls c, double ratio) {
  c.momentum /= ratio;
  for (double* time : {&c.drop, &c.second_drop, &c.open, &c.stagger}) *time *= ratio;
  return c;
}

/// Tries air times near each other, each from the last that came down as planned, afresh where there is none.
class AirTimes {
 public:
  explicit AirTimes(SolveRequest request) : request_(std::move(request)) {}

  bool possible(double air_time) {
    request_.air_time = air_time;
    const solve::Setting setting(request_);
    if (known_time_ > 0) {
      const solve::Controls start = rescaled(known_, air_time / known_time_);
      if (accept(setting, solve::search(setting, &start))) return true;
    }
    return fresh_left_-- > 0 && accept(setting, solve::search(setting));
  }

 private:
  bool accept(const solve::Setting& setting, const solve::Found& found) {
    if (solve::meets_target(setting, found)) {
      known_ = found.controls;
      known_time_ = request_.air_time;
    }
    return solve::controlled(setting, found);
  }
  SolveRequest request_;
  solve::Controls known_;
  double known_time_ = 0;  // s; 0: none yet
  int fresh_left_ = 3;     // searches afresh are dear
};

}  // namespace

double believable_momentum(const HumanBody& body, TakeoffEffort effort, FlightShape shape) {
  // Adults: single back somersaults 30 to 70 kg m2/s (typical magnitudes, common practice); for 75 kg and
  // 1.76 m the upper end is 0.30 of mass x height^2 a second: what folded flips are given. Straight ones: a
  // layout in 0.80 s, the shortest usual out of a round-off (common practice), takes 0.39, a twist up to 19 %
  // more (Sanders and Wilson 1987), which makes 0.46. Spins: 2 rev/s with the arms half wide, 2.5 kg m2, is
  // 0.14. Aerials and butterflies swing the whole body round the standing leg: the upper end of what adults
  // are said to reach, 130 kg m2/s, is 0.56. What takeoffs give is hardly published, so all five are this
  // project's choice.
  const double scale = body.mass * body.height * body.height;
  switch (shape) {
    case FlightShape::upright:
      return 0.14 * scale;
    case FlightShape::tuck:
    case FlightShape::pike:
      return 0.30 * scale;
    case FlightShape::butterfly:
    case FlightShape::split:
      return 0.56 * scale;
    case FlightShape::straight:
      break;
  }
  return (effort == TakeoffEffort::standing ? 0.30 : 0.46) * scale;
}

SolvedFlight solve_flight(const SolveRequest& request) {
  const bool mirror = request.plan.side < 0;
  const solve::Setting setting(solve::left_sided(request));
  const solve::Found found = solve::search(setting);
  SolvedFlight solved;
  solved.feasibility = solve::judge(setting, found);
  solved.finish = solve::finish_words(setting, found.controls, mirror);
  SolvedNumbers& numbers = solved.numbers;
  numbers.momentum = found.controls.momentum;
  numbers.momentum_limit = solve::momentum_limit(request);
  numbers.flip_error_deg = to_deg(found.flip_error);
  numbers.twist_error_deg = to_deg(found.twist_error);
  if (solve::meets_target(setting, found)) {
    if (const std::optional<Flight> left = solve::build_flight(setting, found.controls, false)) {
      numbers = solve::measure(setting, found, *left);
      solved.flight = mirror ? solve::build_flight(setting, found.controls, true) : left;
    } else {
      solved.feasibility.feasible = false;
      solved.feasibility.shortfalls.emplace_back("another part of the body meets the floor before the feet");
    }
  }
  if (mirror) {
    for (double* turned :
         {&numbers.landing_twist_rate_deg, &numbers.heading_error_deg, &numbers.twist_error_deg}) {
      *turned = -*turned;
    }
  }
  return solved;
}

std::optional<double> least_air_time(const SolveRequest& request) {
  AirTimes times(solve::left_sided(request));
  // Up or down from the air time at hand in strides, then halving.
  constexpr double stride = 1.08, fine = 0.008;
  double high = std::clamp(request.air_time, shortest_air_time, longest_air_time);
  double low = high;
  if (times.possible(high)) {
    do {
      high = low;
      low = high / stride;
    } while (low >= shortest_air_time && times.possible(low));
  } else {
    do {
      low = high;
      high = low * stride;
    } while (high <= longest_air_time && !times.possible(high));
    if (high > longest_air_time) return std::nullopt;
  }
  while (high - low > fine) {
    const double middle = 0.5 * (low + high);
    (times.possible(middle) ? high : low) = middle;
  }
  return high;
}

double air_time_of_rise(double rise_m) {
  return std::sqrt(8 * rise_m / standard_gravity);
}
double rise_of_air_time(double air_time_s) {
  return standard_gravity * air_time_s * air_time_s / 8;
}
double air_time_of_frames(int frames, double frames_per_second) {
  HT_EXPECT(frames_per_second > 0);
  return frames / frames_per_second;
}

}  // namespace halfturn
