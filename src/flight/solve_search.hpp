#pragma once

#include "solve_controls.hpp"

namespace halfturn::solve {

/// Best controls found and how far they are from the target.
struct Found {
  Controls controls;
  PathEnd end;
  double cost = 0;                                         ///< sum of squared residuals
  double flip_error = 0, tilt_error = 0, twist_error = 0;  ///< at landing against the target, rad
};

/// Least squares (Levenberg-Marquardt) from several starts: target met first, then least twist left and an
/// unhurried timing. `start` replaces the first guesses, for a warm start.
[[nodiscard]] Found search(const Setting& setting, const Controls* start = nullptr);

}  // namespace halfturn::solve
