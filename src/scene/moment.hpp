#pragma once

#include "figure.hpp"
#include "flight/flight.hpp"
#include "ladder/ladder.hpp"

namespace halfturn {

/// The athlete at one moment, in the coordinates of the picture: the dial's centre is the origin, on the
/// floor under the middle of the flight.
struct Moment {
  FlightSample sample;
  PlacedBody body;
  double turned_deg = 0;  ///< so far, from the start heading, signed
  bool airborne = false;
};

/// Before takeoff the athlete stands at the start heading and gets into the takeoff within the last part of a
/// second; after the landing they stand up and finish the turn on their feet.
[[nodiscard]] Moment moment_at(const HumanBody& body, const Rung& rung, const Flight& flight, double time);

}  // namespace halfturn
