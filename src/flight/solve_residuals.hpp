#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "solve_arms.hpp"

namespace halfturn::solve {

/// One free number of the controls.
struct Knob {
  double Controls::*member;
  double scale;      // one unit of the solver's variable
  double preferred;  // where it goes when nothing pulls
  double softness;   // how far off costs one; 0: free
  double low, high;  // beyond costs one per `edge`
  double edge;
};

/// Least stay of an arm between the start of its way in and the start of its way out, s.
inline constexpr double order_gap = 0.20;

/// Residuals as a function of the knobs, in the form Eigen::LevenbergMarquardt calls.
class Residuals {
 public:
  /// `sharpness`: error of flip and twist that costs one, rad. `arms`, which outlives this, flies a flip that
  /// twists; others fly without it. `limited`: what breaks the limits of a controlled landing costs, too.
  Residuals(const Setting& setting, const Controls& guess, double sharpness, const ArmFlights* arms,
            bool limited);

  [[nodiscard]] int inputs() const { return static_cast<int>(knobs_.size()); }
  [[nodiscard]] int values() const { return 8 + 2 * inputs(); }
  [[nodiscard]] Eigen::VectorXd variables(const Controls& controls) const;
  [[nodiscard]] Controls controls(const Eigen::VectorXd& x) const;
  [[nodiscard]] Eigen::VectorXd residuals(const Controls& controls, const PathEnd& end) const;
  /// How one flight ends.
  [[nodiscard]] PathEnd end(const Controls& controls) const;
  [[nodiscard]] PathEnd end(const Eigen::VectorXd& x) const;

  int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& r);
  int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian);

 private:
  [[nodiscard]] const Knob& knob(int k) const { return knobs_[static_cast<std::size_t>(k)]; }
  const Setting& setting_;
  Controls base_;
  std::vector<Knob> knobs_;
  double sharpness_, planned_angle_;
  bool limited_;
  const ArmFlights* arms_;
  std::optional<ShapeTable> table_;  // without arms: no knob changes the shape
  // What was computed last: the derivatives are mostly asked for where the residuals were.
  Eigen::VectorXd last_x_;
  Eigen::MatrixXd last_jacobian_;
  PathEnd last_end_;
};

}  // namespace halfturn::solve
