#include "solve_search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <unsupported/Eigen/NonLinearOptimization>
#include <vector>

#include "solve_residuals.hpp"

namespace halfturn::solve {
namespace {

// How sharply flip and twist must be met: loosely first, so that the solver does not creep along a narrow
// valley, then well below a degree.
constexpr double rough = to_rad(20), loose = to_rad(2), sharp = to_rad(0.1);

// Steps while searching and in the end, s: within a degree or two, and within a tenth.
constexpr double coarse_step = 0.05, fine_step = 0.0125;

/// Where controls lead.
Found found_at(const Setting& setting, const Residuals& residuals, const Controls& controls) {
  Found found;
  found.controls = controls;
  found.end = residuals.end(controls);
  found.cost = residuals.residuals(controls, found.end).squaredNorm();
  const PathAngles& target = setting.target_angles();
  found.flip_error = found.end.angles.flip - target.flip;
  found.tilt_error = found.end.angles.tilt - target.tilt;
  found.twist_error = found.end.angles.twist - target.twist;
  return found;
}

Found improve(const Setting& setting, const ArmFlights* arms, const Controls& guess, const Controls& start,
              double sharpness, int evaluations) {
  Residuals residuals(setting, guess, sharpness, arms);
  Eigen::VectorXd x = residuals.variables(start);
  Eigen::LevenbergMarquardt<Residuals> solver(residuals);
  solver.parameters.maxfev = evaluations;
  solver.parameters.ftol = 1e-4;
  solver.parameters.xtol = 1e-5;
  solver.parameters.factor = 1;
  solver.minimize(x);
  return found_at(setting, residuals, residuals.controls(x));
}

/// Time at which the twist first passes an angle; the last time if it never does.
double time_at_twist(const std::vector<double>& times, const std::vector<PathAngles>& path, double twist) {
  for (std::size_t k = 1; k < path.size(); ++k) {
    if (path[k].twist < twist) continue;
    const double span = path[k].twist - path[k - 1].twist;
    const double share = span > 0 ? (twist - path[k - 1].twist) / span : 1;
    return times[k - 1] + std::clamp(share, 0.0, 1.0) * (times[k] - times[k - 1]);
  }
  return times.back();
}

/// Timings of the arms to start from, the most promising of each kind, the best first. An arm moved a quarter
/// twist from the start or the end turns the body about the flip axis and leaves the tilt alone; moved at a
/// half twist it changes the tilt the other way round. So the arms come in at 0 and a quarter (or, for more
/// tilt, a half) and open a quarter (or a half) before the end and at the end. After whole twists the arm
/// that came in first opens last, after odd half twists first; between them either may be better, so each
/// order is tried with the second arm soon and late and with the opening soon and late.
std::vector<Found> arm_plans(const Setting& setting, const ArmFlights& arms, const Controls& guess) {
  const Residuals residuals(setting, guess, rough, &arms);
  const double T = setting.request().air_time;
  const double last = std::max(0.0, T - Setting::arm_time);
  const PathAngles& first = setting.start_angles();
  const PathAngles& target = setting.target_angles();
  std::vector<Found> plans(16);
  for (Found& plan : plans) plan.cost = std::numeric_limits<double>::infinity();
  const auto consider = [&](Controls c, std::size_t kind) {
    PathEnd end = residuals.end(c);
    // The momentum is easily put right.
    for (int i = 0; i < 2; ++i) {
      const double made = std::max(0.5, end.angles.flip - first.flip);
      c.momentum *= std::clamp((target.flip - first.flip) / made, 0.6, 1.6);
      end = residuals.end(c);
    }
    const double cost = residuals.residuals(c, end).squaredNorm();
    if (cost < plans[kind].cost) plans[kind] = {c, end, cost, 0, 0, 0};
  };
  const std::vector<double> times = arms.times();
  for (const double second : {0.03, 0.08, 0.14, 0.22, 0.32, 0.44}) {
    Controls in = guess;
    in.second_drop = second;
    in.open = 2 * T;
    const std::vector<PathAngles> path = arms.path(in);
    const double late = time_at_twist(times, path, target.twist - to_rad(35));
    for (const bool soon : {false, true}) {
      const double early = time_at_twist(times, path, target.twist - to_rad(soon ? 170 : 80));
      for (const bool dropped_first : {false, true}) {
        Controls c = in;
        c.open =
            std::min(last, std::max(in.drop + order_gap, 0.5 * (early + late) - 0.5 * Setting::arm_time));
        c.stagger = (dropped_first ? 1 : -1) * std::clamp(late - early, 0.0, 0.35);
        consider(c, (second > 0.18 ? 4U : 0U) + (soon ? 2U : 0U) + (dropped_first ? 1U : 0U));
      }
    }
  }
  for (const double second : {0.05, 0.13, 0.25}) {
    for (const double open : {0.75, 0.95}) {
      for (const double order : {-0.15, 0.15}) {
        Controls c = guess;
        c.second_drop = second;
        c.open = open * last;
        c.stagger = order;
        consider(c, order > 0 ? 9 : 8);
      }
    }
  }
  // Twist begun at the takeoff itself and gathered late, or long drawn out: what odd quarters come to.
  std::size_t kind = 10;
  for (const double drop : {0.05, 0.2, 0.33}) {
    for (const double order : {-0.25, 0.25}) {
      for (const double open : {0.75, 0.95}) {
        Controls c = guess;
        c.incline = setting.off_axis() ? 0.0 : 0.1;
        c.drop = std::min(drop, 0.4 * T);
        c.second_drop = drop < 0.1 ? 0.4 : 0.2;
        c.open = std::max(open * last, c.drop + c.second_drop);
        c.stagger = order;
        consider(c, kind);
      }
      ++kind;
    }
  }
  std::stable_sort(plans.begin(), plans.end(),
                   [](const Found& a, const Found& b) { return a.cost < b.cost; });
  return plans;
}

/// The `many` best of what each start comes to.
std::vector<Found> improve_all(const Setting& setting, const ArmFlights& arms, const Controls& guess,
                               const std::vector<Found>& starts, double sharpness, int evaluations,
                               std::size_t many) {
  std::vector<Found> ends;
  for (const Found& start : starts)
    ends.push_back(improve(setting, &arms, guess, start.controls, sharpness, evaluations));
  std::stable_sort(ends.begin(), ends.end(), [](const Found& a, const Found& b) { return a.cost < b.cost; });
  ends.resize(std::min(ends.size(), many));
  return ends;
}

}  // namespace

Found search(const Setting& setting, const Controls* start) {
  const Controls guess = setting.first_guess();
  if (!setting.request().plan.flips && !setting.twists())
    return found_at(setting, Residuals(setting, guess, sharp, nullptr), guess);  // a straight jump
  if (!setting.request().plan.flips || !setting.twists())
    return improve(setting, nullptr, guess, start != nullptr ? *start : guess, sharp, 40);
  const ArmFlights fine(setting, fine_step);
  if (start != nullptr) return improve(setting, &fine, guess, *start, sharp, 12);
  // A little of all, more of the better ones.
  const ArmFlights coarse(setting, coarse_step);
  std::vector<Found> found =
      improve_all(setting, coarse, guess, arm_plans(setting, coarse, guess), loose, 4, 6);
  found = improve_all(setting, coarse, guess, found, loose, 10, 2);
  found = improve_all(setting, coarse, guess, found, loose, 16, 1);
  return improve(setting, &fine, guess, found.front().controls, sharp, 24);
}

}  // namespace halfturn::solve
