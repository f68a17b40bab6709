#include "body/mass_properties.hpp"

#include <cmath>
#include <glm/geometric.hpp>
#include <glm/matrix.hpp>
#include <utility>

namespace halfturn {
namespace {

/// A segment and its motion, seen from the root.
struct Motion {
  Mat3 rotation{1};
  Vec3 origin{}, velocity{}, rate{};
};

std::vector<Motion> motions_from_root(const BodyTree& tree, std::span<const double> angles,
                                      std::span<const double> rates) {
  HT_EXPECT(angles.size() == tree.coordinate_count());
  HT_EXPECT(rates.empty() || rates.size() == angles.size());
  std::vector<Motion> motions(tree.segments().size());
  for (std::size_t i = 1; i < motions.size(); ++i) {
    const TreeSegment& segment = tree.segments()[i];
    const Motion& parent = motions[*segment.parent];
    Motion& motion = motions[i];
    const Vec3 arm = parent.rotation * segment.joint_centre_in_parent;
    motion = parent;
    motion.origin += arm;
    motion.velocity += glm::cross(parent.rate, arm);
    for (std::size_t a = 0; a < segment.axes.size(); ++a) {
      const std::size_t coordinate = tree.first_coordinate(i) + a;
      const int axis = segment.axes[a] - 'x';
      if (!rates.empty()) motion.rate += rates[coordinate] * motion.rotation[axis];
      // The two other columns turn in their plane.
      Vec3& next = motion.rotation[(axis + 1) % 3];
      Vec3& last = motion.rotation[(axis + 2) % 3];
      const double cosine = std::cos(angles[coordinate]);
      const double sine = std::sin(angles[coordinate]);
      const Vec3 turned = cosine * next + sine * last;
      last = cosine * last - sine * next;
      next = turned;
    }
  }
  return motions;
}

/// Inertia of a point mass about the origin.
Mat3 point_inertia(double mass, const Vec3& p) {
  return mass * (glm::dot(p, p) * Mat3(1.0) - glm::outerProduct(p, p));
}

}  // namespace

MassProperties mass_properties(const BodyTree& tree, std::span<const double> angles,
                               std::span<const double> rates) {
  const std::vector<Motion> motions = motions_from_root(tree, angles, rates);
  const auto& segments = tree.segments();
  MassProperties whole;
  whole.mass = tree.mass();
  Vec3 com_velocity(0);
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const Vec3 arm = motions[i].rotation * segments[i].com;
    whole.com += segments[i].mass / whole.mass * (motions[i].origin + arm);
    com_velocity += segments[i].mass / whole.mass * (motions[i].velocity + glm::cross(motions[i].rate, arm));
  }
  Vec3 momentum(0);
  for (std::size_t i = 0; i < segments.size(); ++i) {
    const Motion& motion = motions[i];
    const Vec3 arm = motion.rotation * segments[i].com;
    const Vec3 p = motion.origin + arm - whole.com;
    const Vec3 v = motion.velocity + glm::cross(motion.rate, arm) - com_velocity;
    const Mat3 inertia = motion.rotation * segments[i].inertia_about_com * glm::transpose(motion.rotation);
    whole.inertia += inertia + point_inertia(segments[i].mass, p);
    momentum += inertia * motion.rate + segments[i].mass * glm::cross(p, v);
  }
  // From the root's axes to those of the reference segment, which may itself turn relative to the root.
  const Motion& reference = motions[tree.reference()];
  const Mat3 back = glm::transpose(reference.rotation);
  whole.relative_angular_momentum = back * (momentum - whole.inertia * reference.rate);
  whole.com = back * (whole.com - reference.origin);
  whole.inertia = back * whole.inertia * reference.rotation;
  whole.inertia = 0.5 * (whole.inertia + glm::transpose(whole.inertia));
  return whole;
}

std::vector<SegmentPlace> segment_places(const BodyTree& tree, std::span<const double> angles) {
  const std::vector<Motion> motions = motions_from_root(tree, angles, {});
  const Motion& reference = motions[tree.reference()];
  const Mat3 back = glm::transpose(reference.rotation);
  std::vector<SegmentPlace> places;
  places.reserve(motions.size());
  for (const Motion& motion : motions)
    places.push_back({back * motion.rotation, back * (motion.origin - reference.origin)});
  return places;
}

PrincipalAxes principal_axes(const Mat3& symmetric) {
  // Jacobi's method: each turn makes one off-diagonal entry zero; a few sweeps reach rounding.
  Mat3 a = 0.5 * (symmetric + glm::transpose(symmetric));
  PrincipalAxes result;
  for (int sweep = 0; sweep < 30; ++sweep) {
    const double off = std::abs(a[0][1]) + std::abs(a[0][2]) + std::abs(a[1][2]);
    if (off == 0) break;
    for (int p = 0; p < 2; ++p) {
      for (int q = p + 1; q < 3; ++q) {
        if (a[p][q] == 0) continue;
        const double theta = 0.5 * (a[q][q] - a[p][p]) / a[p][q];
        const double t = std::copysign(1.0, theta) / (std::abs(theta) + std::hypot(theta, 1.0));
        const double c = 1.0 / std::hypot(t, 1.0);
        Mat3 turn(1.0);
        turn[p][p] = turn[q][q] = c;
        turn[q][p] = t * c;
        turn[p][q] = -t * c;
        a = glm::transpose(turn) * a * turn;
        a[p][q] = a[q][p] = 0;
        result.axes = result.axes * turn;
      }
    }
  }
  const auto order = [&](int i, int k) {
    if (a[i][i] <= a[k][k]) return;
    std::swap(a[i][i], a[k][k]);
    const Vec3 axis = result.axes[i];
    result.axes[i] = result.axes[k];
    result.axes[k] = -axis;  // keeps the frame right-handed
  };
  order(0, 1);
  order(1, 2);
  order(0, 1);
  result.moments = Vec3(a[0][0], a[1][1], a[2][2]);
  return result;
}

}  // namespace halfturn
