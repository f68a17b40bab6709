#include "rotation/heading.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

double wrap(double angle, double turn) {
  double wrapped = std::fmod(angle, turn);
  if (wrapped > 0.5 * turn) wrapped -= turn;
  if (wrapped <= -0.5 * turn) wrapped += turn;
  return wrapped + 0.0;  // never -0
}

}  // namespace

double wrap_deg(double angle_deg) {
  return wrap(angle_deg, 360.0);
}
double wrap_rad(double angle) {
  return wrap(angle, 2.0 * pi);
}

std::optional<double> heading(const Quat& q_WB) {
  // The swing takes +Y to the body's long axis; cos(swing / 2) = |(w, y)|. Upside down: swing = 180 degrees.
  constexpr double limit = 0.008726535498373935;  // sin of half a degree
  if (q_WB.w * q_WB.w + q_WB.y * q_WB.y <= limit * limit) return std::nullopt;
  double angle = 2.0 * std::atan2(q_WB.y, q_WB.w);
  if (angle > pi) angle -= 2.0 * pi;
  if (angle <= -pi) angle += 2.0 * pi;
  return angle;
}

double angle_from_vertical(const Quat& q_WB) {
  return 2.0 * std::atan2(std::hypot(q_WB.x, q_WB.z), std::hypot(q_WB.w, q_WB.y));
}

double minimum_jerk(double s) {
  s = std::clamp(s, 0.0, 1.0);
  return s * s * s * (10.0 + s * (-15.0 + 6.0 * s));
}

double minimum_jerk_rate(double s) {
  if (!(s > 0.0 && s < 1.0)) return 0.0;
  return 30.0 * s * s * (1.0 - s) * (1.0 - s);
}

double minimum_jerk_inverse(double value) {
  if (value <= 0.0) return 0.0;
  if (value >= 1.0) return 1.0;
  // Monotone on [0, 1]: bisection, finished by Newton steps.
  double low = 0.0;
  double high = 1.0;
  for (int i = 0; i < 30; ++i) {
    const double middle = 0.5 * (low + high);
    (minimum_jerk(middle) < value ? low : high) = middle;
  }
  double s = 0.5 * (low + high);
  for (int i = 0; i < 3; ++i) {
    const double rate = minimum_jerk_rate(s);
    if (rate > 0.0) s = std::clamp(s - (minimum_jerk(s) - value) / rate, 0.0, 1.0);
  }
  return s;
}

}  // namespace halfturn
