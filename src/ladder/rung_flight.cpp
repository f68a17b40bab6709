#include <algorithm>
#include <cmath>

#include "body/human.hpp"
#include "ladder/ladder.hpp"
#include "rotation/heading.hpp"
#include "rung_travel.hpp"

namespace halfturn {
namespace {

/// The body that a drawn flight shows: an adult of 1.70 m. Only where its feet are matters here.
const HumanBody& shown_body() {
  static const HumanBody body = [] {
    Athlete athlete;
    athlete.height_m = 1.70;
    return human_body(athlete);
  }();
  return body;
}

/// A named pose for the rung's side; the straight figure when the book has none by that name.
Pose pose_of(const ShapeBook& shapes, std::string_view name, Side side) {
  const auto found = shapes.find(name);
  const Pose pose = found == shapes.end() ? Pose{} : found->second;
  return side == Side::left ? pose : mirrored(pose);
}

/// Collects key poses at shares of the flight.
class TrackBuilder {
 public:
  TrackBuilder(const ShapeBook& shapes, Side side, double duration)
      : shapes_(shapes), side_(side), duration_(duration) {}
  void key(double share, std::string_view shape) {
    const double time = std::clamp(share, 0.0, 1.0) * duration_;
    keys_.push_back(
        {keys_.empty() ? time : std::max(time, keys_.back().time), pose_of(shapes_, shape, side_)});
  }
  [[nodiscard]] ShapeTrack track() { return ShapeTrack(std::move(keys_)); }

 private:
  const ShapeBook& shapes_;
  Side side_;
  double duration_;
  std::vector<ShapeTrack::Key> keys_;
};

/// What the body does in the air, for the eye: a drawn flight has no dynamics that would need it.
DrawnCourse course_of(const Rung& rung, const ShapeBook& shapes) {
  DrawnCourse course;
  course.duration = drawn_duration(rung);
  const Skill& skill = *rung.skill;
  const FlightValues& v = rung.values;
  const bool one_leg = rung.takeoff == "one leg swinging through";
  const bool twists = rung.air_turn_deg != 0;
  TrackBuilder build(shapes, rung.side, course.duration);
  const auto event = [&](EventKind kind, double share) {
    course.events.push_back({kind, std::clamp(share, 0.0, 1.0) * course.duration});
  };
  event(EventKind::takeoff, 0);
  if (rung.kick) {
    const double strike = rung.kick->strike_share.value_or(0.75);
    // Kick shapes are for the right leg; the other leg is their mirror image.
    const Side image = rung.kick->leg == "right" ? Side::left : Side::right;
    TrackBuilder kick(shapes, image, course.duration);
    kick.key(0.0, "set");
    kick.key(std::max(0.05, 0.35 * strike), "wrap");
    kick.key(std::max(0.1, strike - 0.18), "chamber");
    kick.key(strike, rung.kick->kind == "inside" ? "inside kick" : "outside kick");
    kick.key(std::min(1.0, strike + 0.06), rung.kick->kind == "inside" ? "inside kick" : "outside kick");
    kick.key(1.0, "landing");
    course.shape = kick.track();
    if (rung.kick->strike_share) event(EventKind::strike, strike);
  } else if (skill.rotation == Rotation::upright) {
    build.key(0.0, "set");
    build.key(0.25, twists ? "wrap" : "arms up");
    build.key(0.75, twists ? "wrap" : "arms up");
    build.key(1.0, "landing");
    course.shape = build.track();
    if (twists) event(EventKind::open, 0.75);
  } else {
    const bool butterfly = rung.shape == "open";
    build.key(0.0, one_leg ? "leg swing" : "set");
    if (twists) {
      const double open = std::min(0.92, v.twist_onset + 0.86 * (v.twist_end - v.twist_onset));
      build.key(v.twist_onset, butterfly ? "butterfly" : "layout");
      build.key(v.twist_onset + 0.25 * (v.twist_end - v.twist_onset), "wrap");
      build.key(open, "wrap");
      build.key(std::max(open, v.twist_end), "open");
      event(EventKind::arm_drop, v.twist_onset);
      event(EventKind::open, open);
    } else {
      const std::string_view middle = butterfly                  ? "butterfly"
                                      : rung.shape == "straight" ? "layout"
                                                                 : std::string_view(rung.shape);
      build.key(0.28, middle);
      build.key(0.66, middle);
      build.key(0.88, "open");
      event(EventKind::open, 0.66);
    }
    build.key(1.0, butterfly ? "open" : "landing");
    course.shape = build.track();
  }
  event(EventKind::landing, 1);
  return course;
}

}  // namespace

Vec3 travel_of(const Rung& rung) {
  const Skill& skill = *rung.skill;
  const double distance = skill.travel == "in place" ? 0 : skill.travel_m;
  const double heading =
      to_rad(rung.start.heading_deg + rung.floor_turn_deg + way_deg(skill.travel, rung.side));
  return {distance * std::cos(heading), 0, -distance * std::sin(heading)};
}

DrawnParameters drawn_parameters(const Rung& rung) {
  DrawnParameters p;
  p.side = sign_of(rung.side);
  p.start_heading_deg = rung.start.heading_deg;
  p.floor_turn_deg = rung.floor_turn_deg;
  p.air_turn_deg = rung.air_turn_deg;
  p.flips = rung.skill->rotation == Rotation::flip;
  p.flip_toward_deg = rung.flip_toward_deg;
  p.incline_deg = rung.values.incline_deg;
  p.lean_deg = rung.values.lean_deg;
  p.landing_lean_deg = rung.values.landing_lean_deg;
  p.takeoff_phase_deg = rung.values.takeoff_phase_deg;
  p.landing_phase_deg = rung.values.landing_phase_deg;
  p.twist_onset = rung.values.twist_onset;
  p.twist_end = rung.values.twist_end;
  p.mark_heading_deg = rung.mark_deg;
  return p;
}

double drawn_duration(const Rung& rung) {
  return rung.air_time_s.value_or(0.5 * (rung.values.air_time_low_s + rung.values.air_time_high_s));
}

Flight drawn_flight(const Rung& rung, const ShapeBook& shapes) {
  const DrawnParameters parameters = drawn_parameters(rung);
  const DrawnOrientation orientation(parameters);
  DrawnCourse course = course_of(rung, shapes);
  const auto com_height = [&](double share) {
    return com_above_lowest_point(shown_body(), course.shape.at(share * course.duration),
                                  orientation.at(share));
  };
  course.takeoff_com_m = com_height(0);
  course.landing_com_m = com_height(1);
  course.travel_W = travel_of(rung);
  return make_drawn_flight(parameters, std::move(course));
}

}  // namespace halfturn
