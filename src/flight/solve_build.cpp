#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <utility>
#include <vector>

#include "flight/simulated.hpp"
#include "rotation/heading.hpp"
#include "solve_answer.hpp"

namespace halfturn::solve {
namespace {

constexpr double angle_step = 0.008;      // s, between stored angles
constexpr double flight_accuracy = 1e-6;  // rad

/// Mirror image of a momentum, a rate or an axis.
Vec3 mirrored_axial(const Vec3& v) {
  return {-v.x, -v.y, v.z};
}

/// A simulated flight told in the angles of its own flip axis, and mirrored if asked for.
class SolvedMaker final : public Flight::Maker {
 public:
  SolvedMaker(Flight flight, const FlipFrame& frame, bool mirror)
      : flight_(std::move(flight)), frame_(frame), mirror_(mirror) {
    const int steps = static_cast<int>(std::ceil(flight_.duration() / angle_step));
    step_ = flight_.duration() / steps;
    angles_.push_back(angles_of(flight_.orientation(0), frame_));
    for (int i = 1; i <= steps; ++i) {
      const PathAngles now = angles_of(flight_.orientation(i * step_), frame_);
      angles_.push_back(continued(angles_.back(), now, frame_.flips));
    }
  }

  [[nodiscard]] FlightSample sample(double time) const override {
    FlightSample sample = flight_.at(time);
    const auto before = static_cast<std::size_t>(std::clamp(time / step_, 0.0, double(angles_.size() - 1)));
    const PathAngles now = continued(angles_[before], angles_of(sample.q_WB, frame_), frame_.flips);
    sample.angles.flip = frame_.flips ? now.flip : 0.0;
    sample.angles.lean = frame_.flips ? now.tilt : angle_from_vertical(sample.q_WB);
    sample.angles.twist = now.twist - angles_.front().twist;
    if (!mirror_) return sample;
    sample.q_WB = mirrored(sample.q_WB);
    sample.com_W.z = -sample.com_W.z;
    sample.omega_B = mirrored_axial(sample.omega_B);
    sample.pose = mirrored(sample.pose);
    sample.angles.twist = -sample.angles.twist;
    return sample;
  }
  [[nodiscard]] Quat orientation(double time) const override {
    const Quat q_WB = flight_.orientation(time);
    return mirror_ ? mirrored(q_WB) : q_WB;
  }

 private:
  Flight flight_;
  FlipFrame frame_;
  bool mirror_;
  double step_ = 0;
  std::vector<PathAngles> angles_;  // at multiples of step_
};

std::vector<FlightEvent> events_of(const Setting& setting, const Controls& controls) {
  const SolveRequest& request = setting.request();
  if (request.strike) return {{EventKind::strike, request.strike->share * request.air_time}};
  const std::vector<ArmMove> arms = arm_moves(setting, controls);
  if (arms.empty()) return {{EventKind::open, std::clamp(controls.open, 0.0, request.air_time)}};
  const auto first = [&](bool in) {
    return std::find_if(arms.begin(), arms.end(), [&](const ArmMove& m) { return m.in == in; })->time;
  };
  return {{EventKind::arm_drop, first(true)}, {EventKind::open, first(false)}};
}

}  // namespace

std::optional<Flight> build_flight(const Setting& setting, const Controls& controls, bool mirror) {
  const SolveRequest& request = setting.request();
  const double T = request.air_time;
  const ShapeTrack shape = setting.track(controls);
  SimulatedTakeoff takeoff;
  takeoff.spin = setting.spin(controls);
  const Result<SimulatedRotation> rotation =
      SimulatedRotation::make(std::make_shared<const MovingBody>(setting.tree(), joint_tracks(shape), T),
                              takeoff.spin, flight_accuracy);
  if (!rotation) return std::nullopt;
  // The centre of mass leaves and comes down where the lowest point of the body touches the floor.
  const double leaves = com_above_lowest_point(*request.body, shape.at(0), takeoff.spin.q_WB);
  const double lands = com_above_lowest_point(*request.body, shape.at(T), rotation->orientation(T));
  takeoff.com_W = {0, leaves, 0};
  takeoff.com_velocity_W = request.travel_W / T;
  takeoff.com_velocity_W.y = (lands - leaves) / T + 0.5 * standard_gravity * T;
  std::vector<TreeContact> contacts;
  for (const ContactPoint& contact : request.body->contacts) {
    contacts.push_back({static_cast<std::size_t>(contact.segment), contact.point});
  }
  Result<Flight> flight = make_simulated_flight(setting.tree(), contacts, shape, takeoff,
                                                events_of(setting, controls), flight_accuracy);
  if (!flight) return std::nullopt;
  constexpr double same_landing = 0.01;  // s
  if (std::abs(flight->duration() - T) > same_landing) return std::nullopt;
  Vec3 axis = request.plan.flips ? setting.flip_axis_W() : Vec3(0);
  Vec3 momentum = takeoff.spin.angular_momentum_W;
  if (mirror) {
    axis = mirrored_axial(axis);
    momentum = mirrored_axial(momentum);
  }
  const double duration = flight->duration();
  std::vector<FlightEvent> events = flight->events();
  std::vector<ArmMove> arms = arm_moves(setting, controls);
  for (ArmMove& move : arms) move.left = move.left != mirror;
  return Flight(std::make_shared<const SolvedMaker>(std::move(flight).value(), setting.frame(), mirror),
                Provenance::simulated, duration, std::move(events), axis, momentum, std::move(arms));
}

SolvedNumbers measure(const Setting& setting, const Found& found, const Flight& flight) {
  const Controls& c = found.controls;
  const bool flips = setting.request().plan.flips;
  SolvedNumbers n;
  n.momentum = c.momentum;
  n.momentum_limit = momentum_limit(setting.request());
  const Vec3 momentum_W = setting.spin(c).angular_momentum_W;
  const Vec3 along = c.momentum > 0 ? glm::normalize(momentum_W) : Vec3(0, 1, 0);
  const auto angle_over = [](double sine) { return to_deg(std::asin(std::clamp(sine, -1.0, 1.0))); };
  const auto tilt_of = [&](const Quat& q) { return angle_over(glm::dot(q * Vec3(0, 1, 0), along)); };
  n.contact_twist_deg = setting.off_axis() ? 0 : to_deg(c.incline);
  n.incline_deg = flips ? angle_over(along.y) : 90 - angle_over(along.y);
  n.flip_error_deg = flips ? to_deg(found.flip_error) : 0;
  n.twist_error_deg = to_deg(found.twist_error);
  n.open_time = flips && setting.twists() ? c.open - 0.5 * std::abs(c.stagger) : c.open;
  FlightSample before = flight.at(0);
  n.takeoff_lean_deg = to_deg(angle_from_vertical(before.q_WB));
  const int steps = static_cast<int>(std::ceil(flight.duration() / angle_step));
  for (int i = 1; i <= steps; ++i) {
    const FlightSample now = flight.at(flight.duration() * i / steps);
    const double turns_per_angle = 1 / ((now.time - before.time) * 2 * pi);
    n.peak_flip_rate = std::max(n.peak_flip_rate, (now.angles.flip - before.angles.flip) * turns_per_angle);
    n.peak_twist_rate =
        std::max(n.peak_twist_rate, std::abs(now.angles.twist - before.angles.twist) * turns_per_angle);
    if (flips) n.greatest_tilt_deg = std::max(n.greatest_tilt_deg, std::abs(tilt_of(now.q_WB)));
    before = now;
  }
  n.landing_tilt_deg = flips ? tilt_of(before.q_WB) : 0;
  n.landing_twist_rate_deg = to_deg(before.omega_B.y);
  n.landing_angle_deg = to_deg(angle_from_vertical(before.q_WB));
  n.planned_landing_angle_deg = to_deg(angle_from_vertical(setting.target()));
  const std::optional<double> planned = heading(setting.target()), reached = heading(before.q_WB);
  if (planned && reached) n.heading_error_deg = to_deg(wrap_rad(*reached - *planned));
  return n;
}

}  // namespace halfturn::solve
