#include "body/human.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <limits>

#include "base/expect.hpp"

namespace halfturn {
namespace {

// Widths of the mean subjects that the segment table does not give, m. Joint centres of the shoulder lie
// about 2 cm inside the bony edge (biacromial breadth 0.40 m men, 0.36 m women), hip joint centres 0.085 m
// out: common practice. Together with arms 10 deg off the body and feet slightly apart they bring the moment
// about the long axis of a standing man to the measured 0.0050 to 0.0059 m h^2 (Santschi et al. 1963, Tozeren
// 2000); a narrow chain is 30 % under it and would twist a third too fast.
constexpr double male_shoulder_half_width = 0.190;
constexpr double female_shoulder_half_width = 0.170;
constexpr double mean_hip_half_width = 0.085;
constexpr double mean_foot_axis_below_ankle = 0.04;  // line from heel to toe under the ankle joint centre, m
constexpr double heel_behind_ankle = 0.25;           // share of the foot's length
constexpr double mean_knee_radius = 0.055, mean_seat_depth = 0.12;  // for contact with the floor, m

enum class LongAxis { vertical, forward };

/// Segment whose table axis starts at `start` (segment axes) and goes along `direction`.
HumanSegment make_segment(const SegmentParameters& row, double scale, double mass, const Vec3& start,
                          const Vec3& direction, LongAxis long_axis = LongAxis::vertical) {
  HumanSegment segment;
  const double length = row.length * scale;
  segment.mass = mass;
  segment.com = start + row.com * length * direction;
  const auto moment = [&](double radius) { return mass * (radius * length) * (radius * length); };
  const bool vertical = long_axis == LongAxis::vertical;
  segment.inertia_about_com[0][0] = moment(vertical ? row.r_sagittal : row.r_longitudinal);
  segment.inertia_about_com[1][1] = moment(vertical ? row.r_longitudinal : row.r_sagittal);
  segment.inertia_about_com[2][2] = moment(row.r_transverse);
  return segment;
}

/// Moment of a point mass m at r: m (r.r 1 - r r^T).
Mat3 inertia_of_point(double mass, const Vec3& r) {
  const double rr = glm::dot(r, r);
  Mat3 inertia(0);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) inertia[i][j] = mass * ((i == j ? rr : 0.0) - r[i] * r[j]);
  }
  return inertia;
}

/// What a segment adds to the whole, about the middle between the hips.
struct Share {
  double mass = 0;
  Vec3 moment{}, momentum{};
  Mat3 inertia{0};
  Vec3 angular_momentum{};

  friend Share operator+(const Share& a, const Share& b) {
    return {a.mass + b.mass, a.moment + b.moment, a.momentum + b.momentum, a.inertia + b.inertia,
            a.angular_momentum + b.angular_momentum};
  }
};

/// Left and right are added to each other first, so that a pose and its mirror image weigh the same to the
/// last bit.
Share sum_of(const std::array<Share, segment_count>& shares) {
  Share sum;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto other = static_cast<std::size_t>(other_side(static_cast<Segment>(s)));
    if (other == s) sum = sum + shares[s];
    if (other > s) sum = sum + (shares[s] + shares[other]);
  }
  return sum;
}

}  // namespace

HumanBody human_body(const Athlete& athlete) {
  HT_EXPECT(athlete.height_m > 0.5 && athlete.height_m < 2.5 && athlete.mass_kg > 10 &&
            athlete.mass_kg < 250);
  const SegmentTable& table = segment_table(athlete.table);
  const double scale = athlete.height_m / table.height;
  const double mass_scale = athlete.mass_kg / table.mass_sum();
  HumanBody body;
  body.mass = athlete.mass_kg;
  body.height = athlete.height_m;
  const bool male = athlete.table == SegmentTableKind::male;
  body.shoulder_half_width = athlete.shoulder_half_width_m.value_or(
      scale * (male ? male_shoulder_half_width : female_shoulder_half_width));
  body.hip_half_width = scale * mean_hip_half_width;
  // The sole is where the stature ends: what the chain of segments leaves of it is below the ankle.
  const double sole_below_ankle =
      athlete.height_m - scale * (table.head.length + table.upper_trunk.length + table.middle_trunk.length +
                                  table.lower_trunk.length + table.thigh.length + table.shank.length);

  const Vec3 up(0, 1, 0);
  const Vec3 down(0, -1, 0);
  const Vec3 forward(1, 0, 0);
  const auto put = [&](Segment s, const SegmentParameters& row, const Vec3& joint, const Vec3& start,
                       const Vec3& direction, LongAxis axis = LongAxis::vertical) {
    HumanSegment& segment = body.segments[static_cast<std::size_t>(s)];
    segment = make_segment(row, scale, row.mass * mass_scale, start, direction, axis);
    segment.joint_centre_in_parent = joint;
  };
  // Trunk rows run downwards from the upper end point, the head's from its top.
  const auto length = [&](const SegmentParameters& row) { return row.length * scale; };
  put(Segment::pelvis, table.lower_trunk, Vec3(0), length(table.lower_trunk) * up, down);
  put(Segment::abdomen, table.middle_trunk, length(table.lower_trunk) * up, length(table.middle_trunk) * up,
      down);
  put(Segment::thorax, table.upper_trunk, length(table.middle_trunk) * up, length(table.upper_trunk) * up,
      down);
  put(Segment::head, table.head, length(table.upper_trunk) * up, length(table.head) * up, down);
  const double shoulder_over_thorax =
      table.shoulder_height * scale - length(table.lower_trunk) - length(table.middle_trunk);
  for (const bool left : {true, false}) {
    const double z = left ? -1 : 1;
    const auto side = [&](Segment s) { return left ? s : other_side(s); };
    put(side(Segment::upper_arm_left), table.upper_arm,
        {0, shoulder_over_thorax, z * body.shoulder_half_width}, Vec3(0), down);
    put(side(Segment::forearm_left), table.forearm, length(table.upper_arm) * down, Vec3(0), down);
    put(side(Segment::hand_left), table.hand, length(table.forearm) * down, Vec3(0), down);
    put(side(Segment::thigh_left), table.thigh, {0, 0, z * body.hip_half_width}, Vec3(0), down);
    put(side(Segment::shank_left), table.shank, length(table.thigh) * down, Vec3(0), down);
    const double heel_x = -heel_behind_ankle * length(table.foot);
    const Vec3 heel(heel_x, -scale * mean_foot_axis_below_ankle, 0);
    const Vec3 heel_sole(heel_x, -sole_below_ankle, 0);
    put(side(Segment::foot_left), table.foot, length(table.shank) * down, heel, forward, LongAxis::forward);

    using Part = ContactPoint::Part;
    body.contacts.push_back({side(Segment::foot_left), Part::foot, heel_sole});
    body.contacts.push_back({side(Segment::foot_left), Part::foot, heel_sole + length(table.foot) * forward});
    body.contacts.push_back({side(Segment::hand_left), Part::hand, length(table.hand) * down});
    body.contacts.push_back({side(Segment::forearm_left), Part::other, Vec3(0)});
    body.contacts.push_back({side(Segment::shank_left), Part::other, scale * mean_knee_radius * forward});
    body.contacts.push_back(
        {Segment::pelvis, Part::other, {-scale * mean_seat_depth, 0, z * body.hip_half_width}});
  }
  body.contacts.push_back({Segment::head, ContactPoint::Part::head, length(table.head) * up});
  body.leg_length = length(table.thigh) + length(table.shank) + sole_below_ankle;
  return body;
}

SegmentPlaces segment_places(const HumanBody& body, const Pose& pose) {
  SegmentPlaces places;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    if (segment == Segment::pelvis) {
      places.rotation[s] = Mat3(1);
      places.origin[s] = Vec3(0);
      continue;
    }
    const auto parent = static_cast<std::size_t>(parent_of(segment));
    // Most joints of most poses are straight.
    places.rotation[s] = pose[segment] == Vec3(0)
                             ? places.rotation[parent]
                             : places.rotation[parent] * glm::mat3_cast(joint_rotation(pose, segment));
    places.origin[s] =
        places.origin[parent] + places.rotation[parent] * body.segments[s].joint_centre_in_parent;
  }
  return places;
}

Vec3 centre_of_mass(const HumanBody& body, const SegmentPlaces& places) {
  const auto moment = [&](std::size_t s) {
    const HumanSegment& part = body.segments[s];
    return part.mass * (places.origin[s] + places.rotation[s] * part.com);
  };
  // Left and right first, as in sum_of.
  double mass = 0;
  Vec3 sum{};
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto other = static_cast<std::size_t>(other_side(static_cast<Segment>(s)));
    if (other < s) continue;
    mass += other == s ? body.segments[s].mass : body.segments[s].mass + body.segments[other].mass;
    sum += other == s ? moment(s) : moment(s) + moment(other);
  }
  return sum / mass;
}

WholeBody whole_body(const HumanBody& body, const Pose& pose) {
  return whole_body(body, pose, Pose());
}

WholeBody whole_body(const HumanBody& body, const Pose& pose, const Pose& rate) {
  // Everything is taken about the middle between the hips first and moved to the centre of mass at the end.
  std::array<Mat3, segment_count> rotation;
  std::array<Vec3, segment_count> origin, omega, velocity;
  std::array<Share, segment_count> shares;
  for (std::size_t s = 0; s < segment_count; ++s) {
    const auto segment = static_cast<Segment>(s);
    const HumanSegment& part = body.segments[s];
    if (segment == Segment::pelvis) {
      rotation[s] = Mat3(1);
      origin[s] = omega[s] = velocity[s] = Vec3(0);
    } else {
      const auto parent = static_cast<std::size_t>(parent_of(segment));
      const Vec3& angle = pose.angles[s];
      const Vec3& turn = rate.angles[s];
      const Mat3& R = rotation[parent];
      const Vec3 arm = R * part.joint_centre_in_parent;
      origin[s] = origin[parent] + arm;
      velocity[s] = velocity[parent] + glm::cross(omega[parent], arm);
      omega[s] = omega[parent];
      if (angle == Vec3(0) && turn == Vec3(0)) {
        rotation[s] = R;
      } else {
        const double sx = std::sin(angle.x), cx = std::cos(angle.x);
        const double sy = std::sin(angle.y), cy = std::cos(angle.y);
        const double sz = std::sin(angle.z), cz = std::cos(angle.z);
        // Columns of Rz(z) Rx(x) Ry(y).
        const Mat3 joint(cz * cy - sz * sx * sy, sz * cy + cz * sx * sy, -cx * sy,  //
                         -sz * cx, cz * cx, sx,                                     //
                         cz * sy + sz * sx * cy, sz * sy - cz * sx * cy, cx * cy);
        rotation[s] = R * joint;
        // Rates of the three axes in turn: z of the parent, x after z, y of the segment.
        const Vec3 in_parent = turn.z * Vec3(0, 0, 1) + turn.x * Vec3(cz, sz, 0) + turn.y * joint[1];
        omega[s] += R * in_parent;
      }
    }
    const Vec3 lever = rotation[s] * part.com;
    const Vec3 place = origin[s] + lever;
    const Vec3 speed = velocity[s] + glm::cross(omega[s], lever);
    const Mat3 inertia = rotation[s] * part.inertia_about_com * glm::transpose(rotation[s]);
    shares[s] = {part.mass, part.mass * place, part.mass * speed,
                 inertia + inertia_of_point(part.mass, place),
                 inertia * omega[s] + part.mass * glm::cross(place, speed)};
  }
  const Share sum = sum_of(shares);
  WholeBody whole;
  whole.com = sum.moment / sum.mass;
  whole.inertia = sum.inertia - inertia_of_point(sum.mass, whole.com);
  whole.relative_angular_momentum = sum.angular_momentum - glm::cross(whole.com, sum.momentum);
  return whole;
}

double com_above_lowest_point(const HumanBody& body, const Pose& pose, const Quat& q_WB) {
  const SegmentPlaces places = segment_places(body, pose);
  double lowest = std::numeric_limits<double>::infinity();
  for (const ContactPoint& contact : body.contacts) {
    const auto s = static_cast<std::size_t>(contact.segment);
    lowest = std::min(lowest, (q_WB * (places.origin[s] + places.rotation[s] * contact.point)).y);
  }
  return (q_WB * centre_of_mass(body, places)).y - lowest;
}

}  // namespace halfturn
