#include "flight/flight.hpp"

#include <algorithm>
#include <utility>

#include "base/expect.hpp"

namespace halfturn {

std::string_view provenance_word(Provenance provenance) {
  switch (provenance) {
    case Provenance::drawn:
      return "drawn";
    case Provenance::simulated:
      return "simulated";
    case Provenance::recorded:
      return "recorded";
  }
  return "";
}

std::string_view event_word(EventKind kind) {
  switch (kind) {
    case EventKind::takeoff:
      return "takeoff";
    case EventKind::arm_drop:
      return "arm drop";
    case EventKind::open:
      return "open";
    case EventKind::strike:
      return "strike";
    case EventKind::landing_in_sight:
      return "landing in sight";
    case EventKind::landing:
      return "landing";
  }
  return "";
}

Flight::Flight(std::shared_ptr<const Maker> maker, Provenance provenance, double duration,
               std::vector<FlightEvent> events, const Vec3& flip_axis_W,
               const std::optional<Vec3>& angular_momentum_W, std::vector<ArmMove> arm_moves) {
  HT_EXPECT(maker != nullptr && duration > 0);
  std::stable_sort(events.begin(), events.end(),
                   [](const FlightEvent& a, const FlightEvent& b) { return a.time < b.time; });
  std::stable_sort(arm_moves.begin(), arm_moves.end(),
                   [](const ArmMove& a, const ArmMove& b) { return a.time < b.time; });
  data_ = std::make_shared<const Data>(Data{std::move(maker), provenance, duration, std::move(events),
                                            flip_axis_W, angular_momentum_W, std::move(arm_moves)});
}

std::vector<FlightEvent> Flight::events(double t0, double t1) const {
  std::vector<FlightEvent> found;
  for (const FlightEvent& event : data_->events) {
    if (t0 < event.time && event.time <= t1) found.push_back(event);
  }
  return found;
}

FlightSample Flight::at(double time) const {
  return data_->maker->sample(std::clamp(time, 0.0, duration()));
}
Quat Flight::orientation(double time) const {
  return data_->maker->orientation(std::clamp(time, 0.0, duration()));
}

}  // namespace halfturn
