#pragma once

#include <vector>

#include "flight/flight.hpp"

namespace halfturn {

/// Samples of a flight at equal steps of at most 1 / hz s, takeoff and landing included: at least 2.
[[nodiscard]] std::vector<FlightSample> samples_of(const Flight& flight, double hz);

/// Most that two samples beside each other may be turned apart, rad: beyond that nothing says which way
/// round.
inline constexpr double most_turn_between_samples = 2.0;

/// A flight that is read from samples, for where the one they were taken of cannot be made. `samples`: 2 or
/// more, equal steps from time 0, none turned further from the one before than most_turn_between_samples.
/// At a sample's time it gives that sample, bit for bit. Between two it is a cubic of the rotation vector
/// from the first that keeps both angular velocities, so that the error falls with the fourth power of the
/// step; joint angles, path and maker angles are cubics through the samples about them (error: third power;
/// none on a parabola). Of simulated flights at 60 Hz the orientation stays within 2e-4 rad, a joint angle
/// within 0.005 rad and the path within 1e-9 m (held by tests/flight/sampled_test.cpp).
[[nodiscard]] Flight sampled_flight(std::vector<FlightSample> samples, Provenance provenance,
                                    std::vector<FlightEvent> events, const Vec3& flip_axis_W,
                                    std::vector<ArmMove> arm_moves);

}  // namespace halfturn
