#include "measured_attempt.hpp"

#include <fmt/format.h>

#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn {

Outcome take_measured(AttemptRecord& record, const MeasuredLanding& landing, const Rung& rung) {
  const double planned = rung.floor_turn_deg + rung.air_turn_deg;
  if (landing.turn_deg && std::abs(*landing.turn_deg - planned) > 180) {
    return Problem{
        "", "turn",
        fmt::format("the record turned {:.0f} degrees by first contact, this rung {:.0f}: log it at the rung "
                    "it was",
                    *landing.turn_deg, planned)};
  }
  if (landing.contact_turn_deg) {
    record.heading_error_deg = heading_error_deg(rung, rung.start.heading_deg + *landing.contact_turn_deg);
  }
  record.heading_measured = record.upright_measured = true;
  record.upright_deg = landing.landing_angle_deg;
  record.air_time_s = landing.air_time_s;
  return std::nullopt;
}

MeasuredLanding landing_of(const AttemptMeasures& measures) {
  MeasuredLanding landing;
  landing.air_time_s = measures.flight.air_time_s;
  landing.landing_angle_deg = measures.flight.landing_angle_deg;
  if (measures.start_heading_deg && measures.flight.landing_heading_deg)
    landing.contact_turn_deg = wrap_deg(*measures.flight.landing_heading_deg - *measures.start_heading_deg);
  if (measures.flight.twist_deg)
    landing.turn_deg = measures.floor_turn_deg.value_or(0) + *measures.flight.twist_deg;
  return landing;
}

}  // namespace halfturn
