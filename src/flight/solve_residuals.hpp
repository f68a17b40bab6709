#pragma once

#include <Eigen/Core>
#include <optional>
#include <vector>

#include "solve_controls.hpp"

namespace halfturn::solve {

/// One free number of the controls.
struct Knob {
  double Controls::*member;
  double scale;      // one unit of the solver's variable
  double preferred;  // where it goes when nothing pulls
  double softness;   // how far off costs one; 0: free
  double low, high;  // beyond costs one per `edge`
  double edge;
  bool shapes;  // changes the shape, not only the takeoff
};

/// Least stay of an arm between the start of its way in and the start of its way out, s.
inline constexpr double order_gap = 0.20;

/// Accuracies of flights, rad: one step for each movement while searching, a thousandth in the end.
inline constexpr double search_accuracy = 0.06, end_accuracy = 1e-3;

/// Residuals as a function of the knobs, in the form Eigen::LevenbergMarquardt calls.
class Residuals {
 public:
  /// `sharpness`: error of flip and twist that costs one; `accuracy` of the flights; both rad.
  Residuals(const Setting& setting, const Controls& guess, double sharpness, double accuracy);

  [[nodiscard]] int inputs() const { return static_cast<int>(knobs_.size()); }
  [[nodiscard]] int values() const { return 6 + 2 * inputs(); }
  [[nodiscard]] Eigen::VectorXd variables(const Controls& controls) const;
  [[nodiscard]] Controls controls(const Eigen::VectorXd& x) const;
  [[nodiscard]] ShapeTable table(const Controls& controls) const;
  [[nodiscard]] PathEnd end(const Controls& controls, const ShapeTable& shape) const;
  [[nodiscard]] Eigen::VectorXd residuals(const Controls& controls, const PathEnd& end) const;

  int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& r);
  int df(const Eigen::VectorXd& x, Eigen::MatrixXd& jacobian);

 private:
  [[nodiscard]] const Knob& knob(int k) const { return knobs_[static_cast<std::size_t>(k)]; }
  const Setting& setting_;
  Controls base_;
  std::vector<Knob> knobs_;
  double sharpness_, accuracy_;
  // What was computed last: the derivatives are mostly asked for where the residuals were.
  Eigen::VectorXd last_x_, last_r_;
  std::optional<ShapeTable> last_table_;
};

}  // namespace halfturn::solve
