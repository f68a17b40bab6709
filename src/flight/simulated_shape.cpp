#include <algorithm>
#include <array>
#include <cmath>
#include <glm/geometric.hpp>
#include <glm/gtc/quaternion.hpp>
#include <glm/matrix.hpp>

#include "flight/moving_body.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

/// m turned by an angle about its own axis 0, 1 or 2: m R(axis, angle).
void turn_columns(Mat3& m, std::uint32_t axis, double cosine, double sine) {
  Vec3& next = m[static_cast<int>((axis + 1) % 3)];
  Vec3& last = m[static_cast<int>((axis + 2) % 3)];
  const Vec3 turned = cosine * next + sine * last;
  last = cosine * last - sine * next;
  next = turned;
}

Mat3 point_inertia(double mass, const Vec3& p) {
  return mass * (glm::dot(p, p) * Mat3(1.0) - glm::outerProduct(p, p));
}

/// r inertia r^T for a symmetric inertia, the lower half computed once.
Mat3 carried(const Mat3& r, const Mat3& inertia) {
  const Mat3 half = r * inertia;
  Mat3 result(0);
  for (int i = 0; i < 3; ++i) {
    for (int k = 0; k <= i; ++k) {
      result[k][i] = result[i][k] = half[0][i] * r[0][k] + half[1][i] * r[1][k] + half[2][i] * r[2][k];
    }
  }
  return result;
}

}  // namespace

/// A joint seen from the reference segment outwards, whichever way the tree's own root lies.
struct MovingBody::Link {
  struct Axis {
    std::uint32_t axis;
    std::size_t coordinate;
    double sign;
  };
  std::size_t segment;
  std::size_t inner;  // the link of the segment that carries this one
  Vec3 joint{};       // in the inner segment's axes, from its shifted origin
  Vec3 shift{};       // of this segment's origin onto the joint, in its own axes
  std::vector<Axis> axes;
};

MovingBody::MovingBody(const BodyTree& tree, const JointTracks& tracks, double duration,
                       const std::vector<double>& marks)
    : mass_(tree.mass()) {
  HT_EXPECT(tracks.size() == tree.coordinate_count() && duration > 0);
  const auto& segments = tree.segments();
  std::vector<Link> links{{tree.reference(), 0, {}, {}, {}}};
  std::vector<bool> seen(segments.size(), false);
  seen[tree.reference()] = true;
  for (std::size_t l = 0; l < links.size(); ++l) {
    const std::size_t at = links[l].segment;
    const auto add = [&](std::size_t next, const TreeSegment& joint, std::size_t owner, bool outward) {
      if (seen[next]) return;
      seen[next] = true;
      Link link{next,
                l,
                (outward ? joint.joint_centre_in_parent : Vec3(0)) - links[l].shift,
                outward ? Vec3(0) : joint.joint_centre_in_parent,
                {}};
      for (std::size_t a = 0; a < joint.axes.size(); ++a) {
        link.axes.push_back({static_cast<std::uint32_t>(joint.axes[a] - 'x'),
                             tree.first_coordinate(owner) + a, outward ? 1.0 : -1.0});
      }
      if (!outward) std::reverse(link.axes.begin(), link.axes.end());
      links.push_back(std::move(link));
    };
    for (std::size_t s = 1; s < segments.size(); ++s) {
      if (*segments[s].parent == at) add(s, segments[s], s, true);
    }
    if (segments[at].parent) add(*segments[at].parent, segments[at], at, false);
  }
  std::vector<double> corners{0.0, duration};
  for (const JointTrack& track : tracks) {
    for (const JointTrack::Blend& blend : track.blends) {
      for (const double time : {blend.start, blend.end}) {
        if (time > 0 && time < duration) corners.push_back(time);
      }
    }
  }
  for (const double mark : marks) {
    if (mark > 0 && mark < duration) corners.push_back(mark);
  }
  std::sort(corners.begin(), corners.end());
  corners.erase(std::unique(corners.begin(), corners.end()), corners.end());
  pieces_.reserve(corners.size() - 1);
  for (std::size_t c = 1; c < corners.size(); ++c)
    pieces_.push_back(compile(tree, links, tracks, corners[c - 1], corners[c]));
}

MovingBody::Piece MovingBody::compile(const BodyTree& tree, const std::vector<Link>& links,
                                      const JointTracks& tracks, double start, double end) const {
  Piece piece{start, end, {}, {}, {}, {}, {}, 0, {}, Mat3(0)};
  // Where a segment is in its group.
  struct Seat {
    std::int32_t group = -1;
    Mat3 rotation{1};
    Vec3 origin{};
  };
  std::vector<Seat> seats(links.size());
  // A blend is running in this piece, done before it, or still to come: corners lie on its ends.
  const auto angle_of = [&](std::size_t coordinate) {
    const JointTrack& track = tracks[coordinate];
    Angle angle{track.start, static_cast<std::uint32_t>(piece.terms.size()), 0};
    for (const JointTrack::Blend& blend : track.blends) {
      if (blend.end <= start) {
        angle.resting += blend.by;
      } else if (blend.start < end && blend.by != 0) {
        const auto same = std::find_if(piece.windows.begin(), piece.windows.end(), [&](const Window& w) {
          return w.start == blend.start && w.length == blend.end - blend.start;
        });
        const auto window = static_cast<std::uint32_t>(same - piece.windows.begin());
        if (same == piece.windows.end()) piece.windows.push_back({blend.start, blend.end - blend.start});
        piece.terms.push_back({window, blend.by});
        ++angle.terms;
      }
    }
    return angle;
  };
  // Left and right often move alike: equal angles are kept once, so that their sines are taken once.
  const auto kept_angle = [&](const Angle& angle) {
    for (std::uint32_t known = 0; known < piece.angles.size(); ++known) {
      const Angle& other = piece.angles[known];
      if (other.resting != angle.resting || other.terms != angle.terms) continue;
      const auto first = piece.terms.begin() + angle.first_term;
      const auto same = [](const Term& one, const Term& two) {
        return one.window == two.window && one.by == two.by;
      };
      if (std::equal(first, first + angle.terms, piece.terms.begin() + other.first_term, same)) {
        piece.terms.resize(angle.first_term);
        return known;
      }
    }
    piece.angles.push_back(angle);
    return static_cast<std::uint32_t>(piece.angles.size() - 1);
  };
  for (std::size_t l = 0; l < links.size(); ++l) {
    const Link& link = links[l];
    const TreeSegment& segment = tree.segments()[link.segment];
    Seat& seat = seats[l];
    if (l > 0) {
      const Seat& inner = seats[link.inner];
      seat = inner;
      seat.origin = inner.origin + inner.rotation * link.joint;
      const auto first_turn = static_cast<std::uint32_t>(piece.turns.size());
      for (const Link::Axis& axis : link.axes) {
        const Angle angle = angle_of(axis.coordinate);
        if (angle.terms == 0) {
          if (angle.resting != 0) {
            turn_columns(seat.rotation, axis.axis, std::cos(angle.resting),
                         axis.sign * std::sin(angle.resting));
          }
          continue;
        }
        piece.turns.push_back(
            {seat.rotation, seat.rotation == Mat3(1.0), axis.axis, kept_angle(angle), axis.sign});
        seat.rotation = Mat3(1.0);
      }
      const auto turns = static_cast<std::uint32_t>(piece.turns.size()) - first_turn;
      if (turns > 0) {
        piece.groups.push_back({inner.group, seat.origin, first_turn, turns, 0, Vec3(0), Mat3(0)});
        seat.group = static_cast<std::int32_t>(piece.groups.size()) - 1;
        seat.origin = Vec3(0);
      }
    }
    // Until the end of the loop com holds mass times com, inertia is about the group's origin.
    double& mass = seat.group < 0 ? piece.mass : piece.groups[static_cast<std::size_t>(seat.group)].mass;
    Vec3& moment = seat.group < 0 ? piece.com : piece.groups[static_cast<std::size_t>(seat.group)].com;
    Mat3& inertia =
        seat.group < 0 ? piece.inertia : piece.groups[static_cast<std::size_t>(seat.group)].inertia;
    const Vec3 com = seat.origin + seat.rotation * (segment.com - link.shift);
    mass += segment.mass;
    moment += segment.mass * com;
    inertia += carried(seat.rotation, segment.inertia_about_com) + point_inertia(segment.mass, com);
  }
  for (Group& group : piece.groups) {
    if (group.mass > 0) group.com /= group.mass;
    group.inertia -= point_inertia(group.mass, group.com);
  }
  return piece;
}

std::size_t MovingBody::piece_at(double time) const {
  const auto after = std::upper_bound(pieces_.begin(), pieces_.end(), time,
                                      [](double t, const Piece& piece) { return t < piece.start; });
  return after == pieces_.begin() ? 0 : static_cast<std::size_t>(after - pieces_.begin()) - 1;
}

MassProperties MovingBody::weigh(std::size_t index, double time) const {
  const Piece& piece = pieces_[index];
  // Room on the stack for bodies of the usual size; larger trees take it from the heap.
  struct Motion {
    Mat3 rotation;
    Vec3 origin, velocity, rate;
  };
  std::array<Motion, 24> few;
  std::vector<Motion> many;
  if (piece.groups.size() > few.size()) many.resize(piece.groups.size());
  Motion* const motions = many.empty() ? few.data() : many.data();
  struct Sine {
    double rate, sine, cosine;
  };
  std::array<Sine, 24> few_sines;
  std::vector<Sine> many_sines;
  if (piece.angles.size() > few_sines.size()) many_sines.resize(piece.angles.size());
  Sine* const sines = many_sines.empty() ? few_sines.data() : many_sines.data();
  for (std::size_t a = 0; a < piece.angles.size(); ++a) {
    const Angle& angle = piece.angles[a];
    double value = angle.resting;
    double rate = 0;
    for (std::uint32_t m = angle.first_term; m < angle.first_term + angle.terms; ++m) {
      const Window& window = piece.windows[piece.terms[m].window];
      const double s = (time - window.start) / window.length;
      value += piece.terms[m].by * minimum_jerk(s);
      rate += piece.terms[m].by * minimum_jerk_rate(s) / window.length;
    }
    sines[a] = {rate, std::sin(value), std::cos(value)};
  }
  Mat3 inertia = piece.inertia;
  Vec3 moment = piece.com;
  Vec3 linear(0);
  Vec3 angular(0);
  for (std::size_t g = 0; g < piece.groups.size(); ++g) {
    const Group& group = piece.groups[g];
    Motion& motion = motions[g];
    if (group.parent < 0) {
      motion = {Mat3(1.0), group.joint, Vec3(0), Vec3(0)};
    } else {
      const Motion& inner = motions[group.parent];
      const Vec3 arm = inner.rotation * group.joint;
      motion = {inner.rotation, inner.origin + arm, inner.velocity + glm::cross(inner.rate, arm), inner.rate};
    }
    for (std::uint32_t k = group.first_turn; k < group.first_turn + group.turns; ++k) {
      const Turn& turn = piece.turns[k];
      const Sine& angle = sines[turn.angle];
      if (!turn.straight) motion.rotation = motion.rotation * turn.before;
      motion.rate += (turn.sign * angle.rate) * motion.rotation[static_cast<int>(turn.axis)];
      turn_columns(motion.rotation, turn.axis, angle.cosine, turn.sign * angle.sine);
    }
    const Vec3 arm = motion.rotation * group.com;
    const Vec3 com = motion.origin + arm;
    const Vec3 velocity = motion.velocity + glm::cross(motion.rate, arm);
    const Mat3 own = carried(motion.rotation, group.inertia);
    inertia += own + point_inertia(group.mass, com);
    moment += group.mass * com;
    linear += group.mass * velocity;
    angular += own * motion.rate + group.mass * glm::cross(com, velocity);
  }
  MassProperties whole;
  whole.mass = mass_;
  whole.com = moment / mass_;
  whole.inertia = inertia - point_inertia(mass_, whole.com);
  whole.relative_angular_momentum = angular - glm::cross(whole.com, linear);
  return whole;
}

ShapeEffect MovingBody::effect(std::size_t piece, double time) const {
  const MassProperties whole = weigh(piece, time);
  const Mat3& i = whole.inertia;
  const Vec3& h = whole.relative_angular_momentum;
  // The adjugate of a symmetric matrix.
  ShapeEffect e;
  e.xx = i[1][1] * i[2][2] - i[1][2] * i[1][2];
  e.yy = i[0][0] * i[2][2] - i[0][2] * i[0][2];
  e.zz = i[0][0] * i[1][1] - i[0][1] * i[0][1];
  e.xy = i[0][2] * i[1][2] - i[0][1] * i[2][2];
  e.xz = i[0][1] * i[1][2] - i[0][2] * i[1][1];
  e.yz = i[0][1] * i[0][2] - i[1][2] * i[0][0];
  const double determinant = i[0][0] * e.xx + i[0][1] * e.xy + i[0][2] * e.xz;
  const double trace = i[0][0] + i[1][1] + i[2][2];
  // A least moment under about 1e-12 of the greatest is rounding.
  if (!(determinant > 1e-13 * trace * trace * trace)) return {};
  const double scale = 1.0 / determinant;
  e.xx *= scale;
  e.yy *= scale;
  e.zz *= scale;
  e.xy *= scale;
  e.xz *= scale;
  e.yz *= scale;
  e.drift_x = e.xx * h.x + e.xy * h.y + e.xz * h.z;
  e.drift_y = e.xy * h.x + e.yy * h.y + e.yz * h.z;
  e.drift_z = e.xz * h.x + e.yz * h.y + e.zz * h.z;
  return e;
}

Vec3 angular_velocity(const ShapeEffect& e, const Spin& spin) {
  const Vec3 m = glm::conjugate(spin.q_WB) * spin.angular_momentum_W;
  return {e.xx * m.x + e.xy * m.y + e.xz * m.z - e.drift_x, e.xy * m.x + e.yy * m.y + e.yz * m.z - e.drift_y,
          e.xz * m.x + e.yz * m.y + e.zz * m.z - e.drift_z};
}

}  // namespace halfturn
