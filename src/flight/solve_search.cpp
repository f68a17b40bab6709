#include "solve_search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <unsupported/Eigen/NonLinearOptimization>
#include <vector>

#include "solve_answer.hpp"
#include "solve_residuals.hpp"

namespace halfturn::solve {
namespace {

// How sharply flip and twist must be met: loosely first, so that the solver does not creep along a narrow
// valley, then well below a degree.
constexpr double rough = to_rad(20), loose = to_rad(2), sharp = to_rad(0.1);
// Steps while searching and in the end, s: within a degree or two, and within a tenth.
constexpr double coarse_step = 0.03, fine_step = 0.0125;

// From this cost on, a controlled landing is too far off to look for it again.
constexpr double hopeless = 800;

/// Where controls lead.
Found found_at(const Setting& setting, const Residuals& residuals, const Eigen::VectorXd& x) {
  Found found;
  found.controls = residuals.controls(x);
  found.end = residuals.end(x);
  found.cost = residuals.residuals(found.controls, found.end).squaredNorm();
  const PathAngles& target = setting.target_angles();
  found.flip_error = found.end.angles.flip - target.flip;
  found.tilt_error = found.end.angles.tilt - target.tilt;
  found.twist_error = found.end.angles.twist - target.twist;
  return found;
}

Found improve(const Setting& setting, const ArmFlights* arms, const Controls& guess, const Controls& start,
              double sharpness, int evaluations, bool limited = true) {
  Residuals residuals(setting, guess, sharpness, arms, limited);
  Eigen::VectorXd x = residuals.variables(start);
  Eigen::LevenbergMarquardt<Residuals> solver(residuals);
  solver.parameters.maxfev = evaluations;
  solver.parameters.ftol = 1e-4;
  solver.parameters.xtol = 1e-5;
  solver.parameters.factor = 1;
  solver.minimize(x);
  return found_at(setting, residuals, x);
}

/// The `number`th of an evenly spread sequence on [0, 1): the digits in a prime base, the other way round
/// behind the point (J. H. Halton 1960, Numer. Math. 2, 84).
double spread_evenly(unsigned number, unsigned base) {
  double share = 0, digit = 1;
  for (; number > 0; number /= base) {
    digit /= base;
    share += digit * (number % base);
  }
  return share;
}

/// Takeoffs and timings of the arms to start from, all over what is possible: which arm opens first, how late
/// the second one comes in and when they open decide between half a dozen ways to fly, and which is the best
/// changes from rung to rung. About one start in five leads to the best (measured on 15 rungs), so what
/// matters is that there are many and that none is favoured. The `many` best by where they end; other ones
/// each round.
std::vector<Found> first_starts(const Setting& setting, const ArmFlights& arms, const Controls& guess,
                                std::size_t many, unsigned round) {
  constexpr unsigned scanned = 192;
  const Residuals residuals(setting, guess, rough, &arms, true);
  const double T = setting.request().air_time;
  const double last = std::max(0.0, T - Setting::arm_time);
  const double turned = setting.target_angles().flip - setting.start_angles().flip;
  std::vector<Found> found(scanned);
  for (unsigned i = 0; i < scanned; ++i) {
    const unsigned n = round * scanned + i + 1;
    const auto around = [&](unsigned base) { return 2 * spread_evenly(n, base) - 1; };
    Controls& c = found[i].controls;
    c = guess;
    c.drop = std::min(setting.earliest_arm() + 0.4 * T * std::pow(spread_evenly(n, 2), 2), last);
    c.second_drop = -0.05 + 0.5 * spread_evenly(n, 3);
    const double earliest = c.drop + order_gap;
    c.open = std::min(last, earliest + (last - earliest) * std::sqrt(spread_evenly(n, 5)));
    c.stagger = 0.35 * around(7);
    c.incline += (setting.off_axis() ? 0.2 : 0.1) * around(11);
    if (setting.off_axis()) c.tilt += 0.2 * around(13);
  }
  std::array<Controls, ArmFlights::at_once> eight;
  std::array<PathEnd, ArmFlights::at_once> ends;
  static_assert(scanned % ArmFlights::at_once == 0);
  for (std::size_t first = 0; first < found.size(); first += eight.size()) {
    for (std::size_t i = 0; i < eight.size(); ++i) eight[i] = found[first + i].controls;
    arms.fly(eight, ends);
    // The momentum is easily put right.
    for (int again = 0; again < 2; ++again) {
      for (std::size_t i = 0; i < eight.size(); ++i) {
        const double made = std::max(0.5, ends[i].angles.flip - setting.start_angles().flip);
        eight[i].momentum *= std::clamp(turned / made, 0.6, 1.6);
      }
      arms.fly(eight, ends);
    }
    for (std::size_t i = 0; i < eight.size(); ++i)
      found[first + i] = {eight[i], ends[i], residuals.residuals(eight[i], ends[i]).squaredNorm(), 0, 0, 0};
  }
  std::stable_sort(found.begin(), found.end(),
                   [](const Found& a, const Found& b) { return a.cost < b.cost; });
  found.resize(many);
  return found;
}

/// The `many` best of what each start comes to: controlled landings before others, then by cost.
std::vector<Found> improve_all(const Setting& setting, const ArmFlights& arms, const Controls& guess,
                               const std::vector<Found>& starts, double sharpness, int evaluations,
                               std::size_t many) {
  struct Ranked {
    bool controlled;
    Found found;
  };
  std::vector<Ranked> ends;
  for (const Found& start : starts) {
    const Found end = improve(setting, &arms, guess, start.controls, sharpness, evaluations);
    ends.push_back({sharpness == sharp && controlled(setting, end), end});
  }
  std::stable_sort(ends.begin(), ends.end(), [](const Ranked& a, const Ranked& b) {
    return a.controlled != b.controlled ? a.controlled : a.found.cost < b.found.cost;
  });
  std::vector<Found> best;
  for (std::size_t i = 0; i < std::min(ends.size(), many); ++i) best.push_back(ends[i].found);
  return best;
}

/// One search from many starts, the two best: a little of many, more of the better ones. The best is rarely
/// in sight before ten evaluations and rarely reached before thirty.
std::vector<Found> search_round(const Setting& setting, const ArmFlights& coarse, const ArmFlights& fine,
                                const Controls& guess, unsigned round) {
  std::vector<Found> found = first_starts(setting, coarse, guess, 24, round);
  found = improve_all(setting, coarse, guess, found, loose, 4, 8);
  found = improve_all(setting, coarse, guess, found, loose, 8, 5);
  found = improve_all(setting, coarse, guess, found, loose, 30, 2);
  return improve_all(setting, fine, guess, found, sharp, 30, 2);
}

bool has_arms(const Setting& setting) {
  return setting.request().plan.flips && setting.twists();
}

}  // namespace

Controls rescaled(Controls controls, double ratio) {
  controls.momentum /= ratio;
  for (double* time : {&controls.drop, &controls.second_drop, &controls.open, &controls.stagger})
    *time *= ratio;
  return controls;
}

Found search(const Setting& setting) {
  const Controls guess = setting.first_guess();
  if (!setting.request().plan.flips && !setting.twists()) {
    const Residuals residuals(setting, guess, sharp, nullptr, true);
    return found_at(setting, residuals, residuals.variables(guess));  // a straight jump
  }
  if (!has_arms(setting)) {
    const Found found = improve(setting, nullptr, guess, guess, sharp, 40);
    return controlled(setting, found) ? found : improve(setting, nullptr, guess, guess, sharp, 40, false);
  }
  const ArmFlights coarse(setting, coarse_step), fine(setting, fine_step);
  std::vector<Found> all = search_round(setting, coarse, fine, guess, 0);
  if (controlled(setting, all.front())) return all.front();
  if (all.front().cost < hopeless) {
    // Once more with other starts, where it is easier: in more air.
    constexpr double more = 1.08;
    SolveRequest request = setting.request();
    request.air_time *= more;
    const Setting easier(request);
    const ArmFlights easier_coarse(easier, coarse_step), easier_fine(easier, fine_step);
    for (const Found& start : search_round(easier, easier_coarse, easier_fine, easier.first_guess(), 1)) {
      const Found found = search_near(setting, rescaled(start.controls, 1 / more));
      if (controlled(setting, found)) return found;
      all.push_back(found);
    }
  }
  // Not to be had. What is short is told of the flight that keeps to no limit.
  Found best = all.front();
  best.cost = std::numeric_limits<double>::infinity();
  for (const Found& start : all) {
    const Found near = improve(setting, &coarse, guess, start.controls, loose, 20, false);
    const Found end = improve(setting, &fine, guess, near.controls, sharp, 20, false);
    if (end.cost < best.cost) best = end;
  }
  return best;
}

Found search_once(const Setting& setting) {
  if (!has_arms(setting)) return search(setting);
  const ArmFlights coarse(setting, coarse_step), fine(setting, fine_step);
  return search_round(setting, coarse, fine, setting.first_guess(), 0).front();
}

Found search_near(const Setting& setting, const Controls& start) {
  if (!has_arms(setting)) return search(setting);
  const Controls guess = setting.first_guess();
  const ArmFlights coarse(setting, coarse_step), fine(setting, fine_step);
  const Found near = improve(setting, &coarse, guess, start, loose, 16);
  return improve(setting, &fine, guess, near.controls, sharp, 16);
}

}  // namespace halfturn::solve
