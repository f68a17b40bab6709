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

/// Controls as the first guess for an air time `ratio` times as long: H T and the shares of the flight stay.
[[nodiscard]] Controls rescaled(Controls controls, double ratio);

/// Least squares (Levenberg-Marquardt) from many starts: target met first, then within the limits of a
/// controlled landing, then least twist left and an unhurried timing. The same setting gives the same answer.
[[nodiscard]] Found search(const Setting& setting);
/// The same with half the starts, and no flight worth telling where no controlled one is found.
[[nodiscard]] Found search_once(const Setting& setting);
/// The same from one start: the answer of an air time close by. A tenth of the work; may miss the best.
[[nodiscard]] Found search_near(const Setting& setting, const Controls& start);

}  // namespace halfturn::solve
