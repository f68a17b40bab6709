#pragma once

#include <vector>

#include "base/result.hpp"
#include "measure/recording.hpp"

namespace halfturn {

/// One flight in a record: from the moment the last foot leaves to first contact.
struct FoundFlight {
  double takeoff = 0, landing = 0;                          ///< s in the record's time
  double takeoff_uncertainty = 0, landing_uncertainty = 0;  ///< s, about one standard deviation
};

/// Flights found in the accelerometer: stretches in which it reads nothing but what the turning of a sensor
/// off the centre of mass makes of free fall. Ascending. Orientations must map sensor -> world by now.
[[nodiscard]] std::vector<FoundFlight> flights_by_force(const Recording& recording);

/// Flights found in the height of the centre of mass, m, + up, one for each time: stretches in which it falls
/// freely.
[[nodiscard]] std::vector<FoundFlight> flights_by_height(const std::vector<double>& time,
                                                         const std::vector<float>& height);

}  // namespace halfturn
