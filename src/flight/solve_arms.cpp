#include "solve_arms.hpp"

#include <algorithm>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>
#include <glm/matrix.hpp>

#include "base/expect.hpp"
#include "body/mass_properties.hpp"

namespace halfturn::solve {
namespace {

constexpr std::size_t index_of(Segment s) {
  return static_cast<std::size_t>(s);
}
constexpr int axis_order[] = {2, 0, 1};  // z, x, y

/// A segment and its motion, seen from the pelvis.
struct Motion {
  Mat3 rotation{1};
  Vec3 origin{}, velocity{}, rate{};
};

Motion outward(const Motion& inner, const Vec3& joint, const Vec3& angles, const Vec3& rates) {
  Motion motion = inner;
  const Vec3 arm = inner.rotation * joint;
  motion.origin += arm;
  motion.velocity += glm::cross(inner.rate, arm);
  for (const int axis : axis_order) {
    motion.rate += rates[axis] * motion.rotation[axis];
    Vec3& next = motion.rotation[(axis + 1) % 3];
    Vec3& last = motion.rotation[(axis + 2) % 3];
    const double cosine = std::cos(angles[axis]), sine = std::sin(angles[axis]);
    const Vec3 turned = cosine * next + sine * last;
    last = cosine * last - sine * next;
    next = turned;
  }
  return motion;
}

Mat3 point_inertia(double mass, const Vec3& p) {
  return mass * (glm::dot(p, p) * Mat3(1.0) - glm::outerProduct(p, p));
}

Mat3 carried(const Mat3& rotation, const Mat3& inertia) {
  return rotation * inertia * glm::transpose(rotation);
}

}  // namespace

ArmFlights::ArmFlights(const Setting& setting, double step)
    : setting_(&setting),
      steps_(static_cast<std::size_t>(std::max(4.0, std::ceil(setting.request().air_time / step)))),
      length_(setting.request().air_time / static_cast<double>(steps_)) {
  HT_EXPECT(setting.request().plan.flips && setting.twists());
  const ShapeTrack track = setting.track(setting.first_guess());
  const SegmentSet first = setting.first_arm_left() ? left_arm : right_arm;
  arms_ = {parts_of(first, track), parts_of(mirrored(first), track)};
  weigh_trunk(track);
}

std::vector<ArmFlights::Part> ArmFlights::parts_of(const SegmentSet& arm, const ShapeTrack& track) const {
  const Pose& takeoff = track.keys().front().pose;
  std::vector<Part> parts;
  std::vector<Mat3> inertias;  // about com
  for (std::size_t s = 0; s < segment_count; ++s) {
    if (!arm.contains(static_cast<Segment>(s))) continue;
    const HumanSegment& segment = setting_->request().body->segments[s];
    Part part;
    part.joint = segment.joint_centre_in_parent;
    part.mass = segment.mass;
    part.com = segment.com;
    bool moves = parts.empty();
    for (std::size_t k = 0; k < 3; ++k) {
      Axis& axis = part.axes[k];
      axis.start = takeoff.angles[s][axis_order[k]];
      axis.cosine = std::cos(axis.start);
      axis.sine = std::sin(axis.start);
      double reached = axis.start;
      std::size_t number = 0;
      for (const ShapeTrack::Movement& movement : track.movements()) {
        if (!movement.segments.contains(static_cast<Segment>(s))) continue;
        HT_EXPECT(number < axis.by.size());
        const double to = movement.to.angles[s][axis_order[k]];
        axis.by[number++] = to - reached;
        axis.moves = axis.moves || to != reached;
        reached = to;
      }
      moves = moves || axis.moves;
    }
    if (moves) {
      parts.push_back(part);
      inertias.push_back(segment.inertia_about_com);
      continue;
    }
    // A hand that never moves is one with the forearm.
    Part& inner = parts.back();
    const Motion rest = outward({}, part.joint, takeoff.angles[s], Vec3(0));
    const Vec3 com = rest.origin + rest.rotation * part.com;
    const double mass = inner.mass + part.mass;
    const Vec3 shared = (inner.mass * inner.com + part.mass * com) / mass;
    inertias.back() += point_inertia(inner.mass, inner.com - shared) +
                       carried(rest.rotation, segment.inertia_about_com) +
                       point_inertia(part.mass, com - shared);
    inner.mass = mass;
    inner.com = shared;
  }
  for (std::size_t p = 0; p < parts.size(); ++p) {
    Part& part = parts[p];
    const Mat3& inertia = inertias[p];
    part.straight = inertia[0][1] == 0 && inertia[0][2] == 0 && inertia[1][2] == 0;
    const PrincipalAxes principal =
        part.straight ? PrincipalAxes{{inertia[0][0], inertia[1][1], inertia[2][2]}, Mat3(1.0)}
                      : principal_axes(inertia);
    part.round = principal.moments.z;
    part.more = {principal.moments.x - part.round, principal.moments.y - part.round};
    part.axis = {principal.axes[0], principal.axes[1]};
  }
  return parts;
}

void ArmFlights::weigh_trunk(const ShapeTrack& track) {
  const HumanBody& body = *setting_->request().body;
  std::vector<ShapeTrack::Movement> moves;
  for (const ShapeTrack::Movement& movement : track.movements()) {
    if (movement.segments == trunk_and_legs) moves.push_back(movement);
  }
  const ShapeTrack trunk(track.keys().front().pose, moves);
  const bool first_left = setting_->first_arm_left();
  const std::array<Segment, 2> upper_arms = {first_left ? Segment::upper_arm_left : Segment::upper_arm_right,
                                             first_left ? Segment::upper_arm_right : Segment::upper_arm_left};
  nodes_.resize(steps_ + 1);
  std::array<Motion, segment_count> motions;
  for (std::size_t n = 0; n < nodes_.size(); ++n) {
    Node& node = nodes_[n];
    const double time = static_cast<double>(n) * length_;
    const bool still = n > 0 && std::none_of(moves.begin(), moves.end(), [&](const auto& m) {
                         return nodes_[n - 1].time < m.end && time > m.start;
                       });
    if (still) node = nodes_[n - 1];
    node.time = time;
    node.still = still;
    if (still) continue;
    const Pose pose = trunk.at(time), rates = trunk.rate(time);
    for (std::size_t s = 0; s < segment_count; ++s) {
      if ((left_arm | right_arm).contains(static_cast<Segment>(s))) continue;
      const HumanSegment& segment = body.segments[s];
      Motion& motion = motions[s];
      motion = s == 0 ? Motion{}
                      : outward(motions[index_of(parent_of(static_cast<Segment>(s)))],
                                segment.joint_centre_in_parent, pose.angles[s], rates.angles[s]);
      const Vec3 arm = motion.rotation * segment.com;
      const Vec3 com = motion.origin + arm;
      const Vec3 velocity = motion.velocity + glm::cross(motion.rate, arm);
      const Mat3 own = carried(motion.rotation, segment.inertia_about_com);
      node.inertia += own + point_inertia(segment.mass, com);
      node.moment += segment.mass * com;
      node.linear += segment.mass * velocity;
      node.angular += own * motion.rate + segment.mass * glm::cross(com, velocity);
    }
    const Motion& thorax = motions[index_of(Segment::thorax)];
    node.thorax = thorax.rotation;
    node.rate = thorax.rate;
    for (std::size_t a = 0; a < 2; ++a) {
      const Vec3 arm = thorax.rotation * body.segments[index_of(upper_arms[a])].joint_centre_in_parent;
      node.shoulder[a] = thorax.origin + arm;
      node.velocity[a] = thorax.velocity + glm::cross(thorax.rate, arm);
    }
  }
}

void ArmFlights::load(std::span<const Controls> controls, Eight& eight) const {
  HT_EXPECT(!controls.empty() && controls.size() <= at_once);
  const Quat q_FW = glm::conjugate(setting_->frame().q_WF);
  for (std::size_t lane = 0; lane < at_once; ++lane) {
    const Controls& c = controls[std::min(lane, controls.size() - 1)];
    const ArmTimes times = setting_->arm_times(c);
    for (std::size_t a = 0; a < 2; ++a) {
      eight.in[a][lane] = times.in[a];
      eight.out[a][lane] = times.out[a];
    }
    eight.last_start[lane] = times.last_start;
    eight.last_end[lane] = times.last_end;
    const Spin spin = setting_->spin(c);
    const Quat q = q_FW * spin.q_WB;
    const Vec3 h = q_FW * spin.angular_momentum_W;
    eight.w[lane] = q.w;
    eight.x[lane] = q.x;
    eight.y[lane] = q.y;
    eight.z[lane] = q.z;
    eight.hx[lane] = h.x;
    eight.hy[lane] = h.y;
    eight.hz[lane] = h.z;
    eight.flips[lane] = eight.twists[lane] = eight.twist_rate[lane] = 0;
  }
}

void ArmFlights::fly(std::span<const Controls> controls, std::span<PathEnd> ends) const {
  HT_EXPECT(ends.size() == controls.size());
  Eight eight;
  load(controls, eight);
  advance(0, steps_, eight);
  const FlipFrame in_frame{{1, 0, 0, 0}, true};
  for (std::size_t lane = 0; lane < controls.size(); ++lane) {
    const Quat q_FB(eight.w[lane], eight.x[lane], eight.y[lane], eight.z[lane]);
    PathEnd& end = ends[lane];
    end.angles = angles_of(q_FB, in_frame);
    end.angles.flip += 2 * pi * eight.flips[lane];
    end.angles.twist += 2 * pi * eight.twists[lane];
    end.twist_rate = eight.twist_rate[lane];
    end.q_WB = setting_->frame().q_WF * q_FB;
  }
}

std::vector<PathAngles> ArmFlights::path(const Controls& controls) const {
  Eight eight;
  load({&controls, 1}, eight);
  const FlipFrame in_frame{{1, 0, 0, 0}, true};
  const auto angles = [&] {
    PathAngles now = angles_of({eight.w[0], eight.x[0], eight.y[0], eight.z[0]}, in_frame);
    now.flip += 2 * pi * eight.flips[0];
    now.twist += 2 * pi * eight.twists[0];
    return now;
  };
  std::vector<PathAngles> path{angles()};
  for (std::size_t step = 0; step < steps_; ++step) {
    advance(step, step + 1, eight);
    path.push_back(angles());
  }
  return path;
}

std::vector<double> ArmFlights::times() const {
  std::vector<double> times;
  for (const Node& node : nodes_) times.push_back(node.time);
  return times;
}

}  // namespace halfturn::solve
