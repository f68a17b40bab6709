#include "moment.hpp"

#include <algorithm>

#include "rotation/heading.hpp"
#include "scene/compose.hpp"

namespace halfturn {
namespace {

constexpr double rise_s = 0.3;    // from standing into the takeoff
constexpr double settle_s = 0.4;  // from the landing to standing

FlightSample shifted(FlightSample sample, const Vec3& middle) {
  sample.com_W.x -= middle.x;
  sample.com_W.z -= middle.z;
  return sample;
}

/// Height of the centre of mass when the body's lowest point is on the floor.
double floor_com(const HumanBody& body, const Pose& pose, const Quat& q_WB) {
  const PlacedBody placed = place_on_floor(body, pose, q_WB, 0, 0);
  return (placed.origin_W + q_WB * centre_of_mass(body, placed.places)).y;
}

Quat towards_upright(const Quat& q_WB, double heading_rad, double share) {
  Quat rest = rotation_y(-heading_rad) * q_WB;
  if (rest.w < 0) rest = -rest;
  return slerp(rest, Quat(1, 0, 0, 0), share);
}

}  // namespace

Vec3 flight_middle_W(const Flight& flight) {
  const Vec3 middle = 0.5 * (flight.at(0).com_W + flight.at(flight.duration()).com_W);
  return {middle.x, 0, middle.z};
}

Moment moment_at(const HumanBody& body, const Rung& rung, const Flight& flight, double time) {
  const Vec3 middle = flight_middle_W(flight);
  const double end = flight.duration();
  Moment moment;
  FlightSample& s = moment.sample;
  s = shifted(flight.at(time), middle);
  moment.airborne = time >= 0 && time <= end;
  moment.turned_deg = rung.floor_turn_deg + to_deg(s.angles.twist);
  const double start = to_rad(rung.start.heading_deg);
  const double landing = to_rad(rung.landing.heading_deg);
  if (time < 0) {
    const double u = minimum_jerk(1 + time / rise_s);
    const double floor_turn = to_rad(rung.floor_turn_deg);
    const Quat lean = towards_upright(s.q_WB, start + floor_turn, 1 - u);
    const double takeoff_height = s.com_W.y;
    s.q_WB = rotation_y(start + u * floor_turn) * lean;
    s.pose = blend(standing_pose(), s.pose, u);
    const double height = floor_com(body, s.pose, s.q_WB);
    s.com_W.y = height + u * (takeoff_height - height);
    s.omega_B = Vec3(0);
    s.angles.flip *= u;
    moment.turned_deg = u * rung.floor_turn_deg;
  } else if (time > end) {
    const double u = minimum_jerk((time - end) / settle_s);
    const double foot_turn = to_rad(rung.foot_turn_deg);
    const Quat lean = towards_upright(s.q_WB, landing - foot_turn, u);
    const double contact_height = s.com_W.y;
    s.q_WB = rotation_y(landing - (1 - u) * foot_turn) * lean;
    s.pose = blend(s.pose, standing_pose(), u);
    const double height = floor_com(body, s.pose, s.q_WB);
    s.com_W.y = contact_height + u * (height - contact_height);
    s.omega_B = Vec3(0);
    moment.turned_deg += u * rung.foot_turn_deg;
  }
  s.time = time;
  moment.body = lifted_to_floor(body, place_by_com(body, s.pose, s.q_WB, s.com_W));
  return moment;
}

FlightSample sample_in_picture(const Rung& rung, const Flight& flight, double time) {
  return moment_at(human_body(Athlete{}), rung, flight, time).sample;
}

}  // namespace halfturn
