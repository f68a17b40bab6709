#pragma once

#include <optional>

#include "rotation/quaternion.hpp"

namespace halfturn {

/// Angle in degrees wrapped to (-180, 180]; whole degrees stay exactly whole.
[[nodiscard]] double wrap_deg(double angle_deg);
/// Angle in radians wrapped to (-pi, pi].
[[nodiscard]] double wrap_rad(double angle);

/// Heading of q_WB about world up by swing-twist, 2 atan2(q.y, q.w): rad in (-pi, pi], + to the left.
/// Empty within 1 degree of exactly upside down. For an upright body: the compass direction of the chest.
[[nodiscard]] std::optional<double> heading(const Quat& q_WB);

/// Angle of the body's long axis (+Y) from vertical, rad in [0, pi].
[[nodiscard]] double angle_from_vertical(const Quat& q_WB);

/// Minimum-jerk blend 10 s^3 - 15 s^4 + 6 s^5, s clamped to [0, 1] (Flash and Hogan 1985).
[[nodiscard]] double minimum_jerk(double s);
/// Its derivative with respect to s; 0 outside (0, 1).
[[nodiscard]] double minimum_jerk_rate(double s);
/// Its inverse on [0, 1]: the s at which minimum_jerk(s) = value.
[[nodiscard]] double minimum_jerk_inverse(double value);

}  // namespace halfturn
