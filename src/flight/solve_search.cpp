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

Found improve(const Setting& setting, const Controls& guess, const Controls& start, double sharpness,
              int evaluations) {
  Residuals residuals(setting, guess, sharpness);
  Eigen::VectorXd x = residuals.variables(start);
  Eigen::LevenbergMarquardt<Residuals> solver(residuals);
  solver.parameters.maxfev = evaluations;
  solver.parameters.ftol = 1e-4;
  solver.parameters.xtol = 1e-5;
  solver.parameters.factor = 1;
  solver.minimize(x);
  Found found;
  found.controls = residuals.controls(x);
  found.end = residuals.end(found.controls, residuals.table(found.controls));
  found.cost = residuals.residuals(found.controls, found.end).squaredNorm();
  const PathAngles& target = setting.target_angles();
  found.flip_error = found.end.angles.flip - target.flip;
  found.tilt_error = found.end.angles.tilt - target.tilt;
  found.twist_error = found.end.angles.twist - target.twist;
  return found;
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

/// Timings of the arms to start from, the most promising first. An arm moved a quarter twist from the start
/// or the end turns the body about the flip axis and leaves the tilt alone; moved at a half twist it changes
/// the tilt the other way round. So the arms come in at 0 and a quarter (or, for more tilt, a half) and open
/// a quarter (or a half) before the end and at the end. After whole twists the arm that came in first opens
/// last, after odd half twists first.
std::vector<Found> arm_plans(const Setting& setting, const Controls& guess) {
  const Residuals residuals(setting, guess, rough);
  const double T = setting.request().air_time;
  const double last = std::max(0.0, T - Setting::arm_time);
  const PathAngles& first = setting.start_angles();
  const PathAngles& target = setting.target_angles();
  std::vector<Found> plans;
  const auto consider = [&](Controls c) {
    const ShapeTable shape = residuals.table(c);
    PathEnd end = residuals.end(c, shape);
    // The momentum is easily put right and costs no new shape.
    for (int i = 0; i < 2; ++i) {
      const double made = std::max(0.5, end.angles.flip - first.flip);
      c.momentum *= std::clamp((target.flip - first.flip) / made, 0.6, 1.6);
      end = residuals.end(c, shape);
    }
    plans.push_back({c, end, residuals.residuals(c, end).squaredNorm(), 0, 0, 0});
  };
  for (const double second : {0.03, 0.08, 0.14, 0.22, 0.32, 0.44}) {
    Controls in = guess;
    in.second_drop = second;
    in.open = 2 * T;
    const ShapeTable probe = residuals.table(in);
    const std::vector<PathAngles> path = angles_over_time(probe, setting.spin(in), setting.frame());
    const double late = time_at_twist(probe.times(), path, target.twist - to_rad(35));
    for (const double before_deg : {80.0, 170.0}) {
      const double early = time_at_twist(probe.times(), path, target.twist - to_rad(before_deg));
      for (const double order : {-1.0, 1.0}) {
        Controls c = in;
        c.open =
            std::min(last, std::max(in.drop + order_gap, 0.5 * (early + late) - 0.5 * Setting::arm_time));
        c.stagger = order * std::clamp(late - early, 0.0, 0.35);
        consider(c);
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
        consider(c);
      }
    }
  }
  std::stable_sort(plans.begin(), plans.end(),
                   [](const Found& a, const Found& b) { return a.cost < b.cost; });
  return plans;
}

}  // namespace

Found search(const Setting& setting, const Controls* start) {
  const Controls guess = setting.first_guess();
  if (start != nullptr) return improve(setting, guess, *start, sharp, 16);
  if (!setting.request().plan.flips || !setting.twists()) return improve(setting, guess, guess, sharp, 40);
  const std::vector<Found> plans = arm_plans(setting, guess);
  Found best;
  best.cost = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < 4; ++i) {
    const Found found = improve(setting, guess, plans[i].controls, loose, 24);
    if (found.cost < best.cost) best = found;
  }
  return improve(setting, guess, best.controls, sharp, 30);
}

}  // namespace halfturn::solve
