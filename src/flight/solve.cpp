#include "flight/solve.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "base/expect.hpp"
#include "flight/simulated.hpp"
#include "solve_answer.hpp"

namespace halfturn {
namespace {

constexpr double shortest_air_time = 0.3, longest_air_time = 2.5;  // s

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

class FlightSolver::Memory {
 public:
  explicit Memory(const SolveRequest& request)
      : mirror_(request.plan.side < 0), request_(solve::left_sided(request)) {}

  SolvedFlight solve(double air_time);
  std::optional<double> least_air_time();
  std::vector<std::string> tight_limits(double air_time) {
    return solve::tight_limits(setting(air_time), searched(air_time));
  }

 private:
  /// The search from many starts.
  const solve::Found& searched(double air_time) {
    const auto known = searched_.find(air_time);
    if (known != searched_.end()) return known->second;
    return searched_.emplace(air_time, solve::search(setting(air_time))).first->second;
  }
  solve::Setting setting(double air_time) const {
    SolveRequest request = request_;
    request.air_time = air_time;
    return solve::Setting(request);
  }
  /// Whether a controlled flight is found from anywhere, and nothing but the feet meets the floor first.
  bool lands(double air_time) {
    const solve::Setting setting = this->setting(air_time);
    const solve::Found& found = searched(air_time);
    return solve::controlled(setting, found) &&
           solve::build_flight(setting, found.controls, false).has_value();
  }

  bool mirror_;
  SolveRequest request_;  // left-sided
  std::map<double, solve::Found> searched_;
};

SolvedFlight FlightSolver::Memory::solve(double air_time) {
  const solve::Setting setting = this->setting(air_time);
  const solve::Found& found = searched(air_time);
  SolvedFlight solved;
  solved.feasibility = solve::judge(setting, found);
  solved.finish = solve::finish_words(setting, found.controls, mirror_);
  SolvedNumbers& numbers = solved.numbers;
  numbers.momentum = found.controls.momentum;
  numbers.momentum_limit = solve::momentum_limit(setting.request());
  numbers.flip_error_deg = to_deg(found.flip_error);
  numbers.twist_error_deg = to_deg(found.twist_error);
  if (solve::meets_target(setting, found)) {
    if (const std::optional<Flight> left = solve::build_flight(setting, found.controls, false)) {
      numbers = solve::measure(setting, found, *left);
      solved.flight = mirror_ ? solve::build_flight(setting, found.controls, true) : left;
    } else {
      solved.feasibility.feasible = false;
      solved.feasibility.shortfalls.emplace_back("another part of the body meets the floor before the feet");
    }
  }
  if (mirror_) {
    for (double* turned :
         {&numbers.landing_twist_rate_deg, &numbers.heading_error_deg, &numbers.twist_error_deg}) {
      *turned = -*turned;
    }
  }
  return solved;
}

std::optional<double> FlightSolver::Memory::least_air_time() {
  // Up or down from the air time at hand in strides, then halving, each time from the last controlled flight;
  // a search from many starts only where that leads nowhere.
  constexpr double stride_down = 1.08, stride_up = 1.2, fine = 0.003;
  struct Known {
    double air_time;
    solve::Controls controls;
  };
  std::optional<Known> known;
  int fresh_left = 2;
  const auto possible = [&](double air_time) {
    const solve::Setting setting = this->setting(air_time);
    const auto accept = [&](const solve::Found& found) {
      const bool good = solve::controlled(setting, found);
      if (good) known = {air_time, found.controls};
      return good;
    };
    if (known) {
      const solve::Controls start = solve::rescaled(known->controls, air_time / known->air_time);
      if (accept(solve::search_near(setting, start))) return true;
    }
    if (known && fresh_left-- <= 0) return false;
    const auto searched = searched_.find(air_time);
    return accept(searched != searched_.end() ? searched->second : solve::search_once(setting));
  };
  const double first = std::clamp(request_.air_time, shortest_air_time, longest_air_time);
  double low = first, high = first;
  (void)searched(first);  // whose flight will most likely be wanted, too
  if (possible(high)) {
    do {
      high = low;
      low = high / stride_down;
    } while (low >= shortest_air_time && possible(low));
  } else {
    do {
      low = high;
      high = low * stride_up;
    } while (high <= longest_air_time && !possible(high));
    if (high > longest_air_time) return std::nullopt;
  }
  while (high - low > fine) {
    const double middle = 0.5 * (low + high);
    (possible(middle) ? high : low) = middle;
  }
  // What was reached from close by shall be found from anywhere, and the feet meet the floor first. At the
  // air time at hand that is known already.
  const double known_to_land = lands(first) ? first : longest_air_time;
  constexpr double longest_step = 0.02;
  for (double step = fine; high < known_to_land && !lands(high); step = std::min(1.5 * step, longest_step))
    high += step;
  if (high < known_to_land) return high;
  return known_to_land < longest_air_time ? std::optional<double>(known_to_land) : std::nullopt;
}

FlightSolver::FlightSolver(const SolveRequest& request) : memory_(std::make_unique<Memory>(request)) {}
FlightSolver::~FlightSolver() = default;
SolvedFlight FlightSolver::solve(double air_time) {
  return memory_->solve(air_time);
}
std::optional<double> FlightSolver::least_air_time() {
  return memory_->least_air_time();
}

std::vector<std::string> FlightSolver::tight_limits(double air_time) {
  return memory_->tight_limits(air_time);
}

SolvedFlight solve_flight(const SolveRequest& request) {
  return FlightSolver(request).solve(request.air_time);
}

std::optional<double> least_air_time(const SolveRequest& request) {
  return FlightSolver(request).least_air_time();
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
