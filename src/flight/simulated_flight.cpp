#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <limits>
#include <utility>

#include "flight/simulated.hpp"
#include "rotation/angle_split.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// What the sample at one time needs beside the rotation.
struct Course {
  SimulatedTakeoff takeoff;
  ShapeTrack shape;

  [[nodiscard]] Vec3 com_W(double time) const {
    Vec3 com = takeoff.com_W + time * takeoff.com_velocity_W;
    com.y -= 0.5 * standard_gravity * time * time;
    return com;
  }
};

/// Somersault and twist, unwrapped.
struct Turns {
  double somersault = 0, twist = 0;
};

/// The branch of a split nearest to known turns. Where the split is ill-conditioned the known turns stand.
Turns nearest_turns(const AngleSplit& split, const Turns& known) {
  if (split.ill_conditioned) return known;
  return {known.somersault + wrap_rad(split.somersault - known.somersault),
          known.twist + wrap_rad(split.twist - known.twist)};
}

class SimulatedMaker final : public Flight::Maker {
 public:
  SimulatedMaker(SimulatedRotation rotation, Course course)
      : rotation_(std::move(rotation)), course_(std::move(course)) {
    Turns turns;
    turns_.reserve(rotation_.times().size());
    for (const Quat& q : rotation_.orientations())
      turns_.push_back(turns = nearest_turns(split_angles(q, course_.takeoff.split_heading), turns));
  }

  [[nodiscard]] FlightSample sample(double time) const override {
    FlightSample sample;
    sample.time = time;
    sample.q_WB = rotation_.orientation(time);
    sample.omega_B = rotation_.rate(time, sample.q_WB);
    sample.com_W = course_.com_W(time);
    sample.pose = course_.shape.at(time);
    const AngleSplit split = split_angles(sample.q_WB, course_.takeoff.split_heading);
    const Turns turns = nearest_turns(split, turns_[rotation_.knot_before(time)]);
    sample.angles.flip = course_.takeoff.flip_sign * turns.somersault;
    sample.angles.lean = split.tilt;
    sample.angles.twist = turns.twist + course_.takeoff.twist_offset;
    return sample;
  }
  [[nodiscard]] Quat orientation(double time) const override { return rotation_.orientation(time); }

 private:
  SimulatedRotation rotation_;
  Course course_;
  std::vector<Turns> turns_;  // at the rotation's knots
};

/// Height of the lowest contact over the landing surface, m.
class Clearance {
 public:
  Clearance(const BodyTree& tree, const JointTracks& tracks, const std::vector<TreeContact>& contacts,
            const SimulatedRotation& rotation, const Course& course)
      : tree_(tree), tracks_(tracks), contacts_(contacts), rotation_(rotation), course_(course) {}

  [[nodiscard]] double at(double time) const {
    const double com_height = course_.com_W(time).y - course_.takeoff.landing_height;
    if (contacts_.empty()) return com_height;
    std::vector<double> angles;
    angles.reserve(tracks_.size());
    for (const JointTrack& track : tracks_) angles.push_back(track.angle(time));
    const std::vector<SegmentPlace> places = segment_places(tree_, angles);
    Vec3 com(0);
    for (std::size_t s = 0; s < places.size(); ++s) {
      const TreeSegment& segment = tree_.segments()[s];
      com += segment.mass / tree_.mass() * (places[s].origin + places[s].rotation * segment.com);
    }
    const Quat q_WB = rotation_.orientation(time);
    double lowest = std::numeric_limits<double>::infinity();
    for (const TreeContact& contact : contacts_) {
      const SegmentPlace& place = places[contact.segment];
      lowest = std::min(lowest, (q_WB * (place.origin + place.rotation * contact.point - com)).y);
    }
    return com_height + lowest;
  }

 private:
  const BodyTree& tree_;
  const JointTracks& tracks_;
  const std::vector<TreeContact>& contacts_;
  const SimulatedRotation& rotation_;
  const Course& course_;
};

/// The first time at which the clearance comes down to 0 after having been above; `longest` if it never does.
double landing_time(const Clearance& clearance, double longest) {
  // Fine enough not to jump over a hand that dips below the surface for a hundredth of a second.
  const int scans = std::max(64, static_cast<int>(std::ceil(longest / 0.004)));
  double before = 0;
  bool risen = false;
  for (int i = 0; i <= scans; ++i) {
    const double time = longest * i / scans;
    const double height = clearance.at(time);
    if (risen && height <= 0) {
      double low = before;  // still above
      double high = time;
      while (high - low > 1e-13 * longest) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (clearance.at(middle) > 0 ? low : high) = middle;
      }
      return high;
    }
    risen = risen || height > 0;
    before = time;
  }
  return longest;
}

}  // namespace

Result<Flight> make_simulated_flight(const BodyTree& tree, const std::vector<TreeContact>& contacts,
                                     const ShapeTrack& shape, const SimulatedTakeoff& takeoff,
                                     std::vector<FlightEvent> events, double accuracy) {
  for (const TreeContact& contact : contacts) HT_EXPECT(contact.segment < tree.segments().size());
  // The centre of mass is at or over the lowest point, so the body is down before its centre meets the
  // surface.
  const double rise = takeoff.com_velocity_W.y;
  const double height = takeoff.com_W.y - takeoff.landing_height;
  const double discriminant = rise * rise + 2.0 * standard_gravity * height;
  const double longest = discriminant > 0 ? (rise + std::sqrt(discriminant)) / standard_gravity : 0;
  if (!(longest > 1e-3))
    return Problem{"", "", "the body never rises over the landing surface, so there is no flight"};
  const JointTracks tracks = joint_tracks(shape);
  Result<SimulatedRotation> rotation = SimulatedRotation::make(
      std::make_shared<const MovingBody>(tree, tracks, longest), takeoff.spin, accuracy);
  if (!rotation) return rotation.problem();
  Course course{takeoff, shape};
  const double landing = landing_time(Clearance(tree, tracks, contacts, *rotation, course), longest);
  std::erase_if(events, [&](const FlightEvent& event) {
    return event.time > landing || event.kind == EventKind::takeoff || event.kind == EventKind::landing;
  });
  events.push_back({EventKind::takeoff, 0.0});
  events.push_back({EventKind::landing, landing});
  const Vec3 flip_axis_W = takeoff.flip_sign * (rotation_y(takeoff.split_heading) * Vec3(0, 0, 1));
  return Flight(std::make_shared<const SimulatedMaker>(std::move(rotation).value(), std::move(course)),
                Provenance::simulated, landing, std::move(events), flip_axis_W,
                takeoff.spin.angular_momentum_W);
}

}  // namespace halfturn
