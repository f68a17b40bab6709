#include <array>
#include <cstddef>

#include "flight/moving_body.hpp"
#include "lanes.hpp"

// MovingBody::effect at eight times side by side, for shape tables: the same sums as in simulated_shape.cpp,
// with the one difference that sines are taken here for eight angles at once. Made for every kind of x86-64
// processor, as in simulated_batch.cpp.

namespace halfturn {
namespace {

using namespace lanes;
static_assert(lane_count == MovingBody::effects_at_once);

struct LaneMotion {
  LaneVector columns[3];  // rotation to the reference segment
  LaneVector origin, velocity, rate;
};
struct LaneSine {
  Lanes rate, sine, cosine;
};
/// Sums over the groups: inertia about the origin and momenta.
struct LaneSums {
  Lanes xx, yy, zz, xy, xz, yz;
  LaneVector moment, linear, angular;
};

}  // namespace

HT_EVERY_PROCESSOR
void MovingBody::effects(std::size_t index, const double* times, ShapeEffect* effects) const {
  const Piece& piece = pieces_[index];
  std::array<LaneMotion, most_groups> motions;
  std::array<LaneSine, most_groups> sines;
  if (piece.groups.size() > motions.size() || piece.angles.size() > sines.size()) {
    for (std::size_t lane = 0; lane < lane_count; ++lane) effects[lane] = effect(index, times[lane]);
    return;
  }
  Lanes time;
  for (std::size_t lane = 0; lane < lane_count; ++lane) time[lane] = times[lane];
  for (std::size_t a = 0; a < piece.angles.size(); ++a) {
    const Angle& angle = piece.angles[a];
    Lanes value = Lanes{} + angle.resting;
    Lanes rate{};
    for (std::uint32_t m = angle.first_term; m < angle.first_term + angle.terms; ++m) {
      const Term& term = piece.terms[m];
      const double inverse = 1.0 / piece.windows[term.window].length;
      const Lanes s = (time - piece.windows[term.window].start) * inverse;
      value += term.by * (s * s * s * (10.0 + s * (6.0 * s - 15.0)));
      rate += (term.by * inverse * 30.0) * (s * s * (1.0 - s) * (1.0 - s));
    }
    sines[a].rate = rate;
    sine_cosine(value, sines[a].sine, sines[a].cosine);
  }
  const Lanes zero{};
  LaneSums sums{zero + piece.inertia[0][0],
                zero + piece.inertia[1][1],
                zero + piece.inertia[2][2],
                zero + piece.inertia[0][1],
                zero + piece.inertia[0][2],
                zero + piece.inertia[1][2],
                {zero + piece.com.x, zero + piece.com.y, zero + piece.com.z},
                {zero, zero, zero},
                {zero, zero, zero}};
  for (std::size_t g = 0; g < piece.groups.size(); ++g) {
    const Group& group = piece.groups[g];
    LaneMotion& motion = motions[g];
    if (group.parent < 0) {
      const Lanes one = zero + 1.0;
      motion = {{{one, zero, zero}, {zero, one, zero}, {zero, zero, one}},
                {zero + group.joint.x, zero + group.joint.y, zero + group.joint.z},
                {zero, zero, zero},
                {zero, zero, zero}};
    } else {
      const LaneMotion& inner = motions[static_cast<std::size_t>(group.parent)];
      const LaneVector arm = turned(inner.columns, group.joint.x, group.joint.y, group.joint.z);
      motion = inner;
      motion.origin = sum(inner.origin, arm);
      motion.velocity = sum(inner.velocity, cross(inner.rate, arm));
    }
    for (std::uint32_t k = group.first_turn; k < group.first_turn + group.turns; ++k) {
      const Turn& turn = piece.turns[k];
      const LaneSine& angle = sines[turn.angle];
      LaneVector* c = motion.columns;
      if (!turn.straight) {
        const Mat3& b = turn.before;
        const LaneVector c0 = turned(c, b[0].x, b[0].y, b[0].z);
        const LaneVector c1 = turned(c, b[1].x, b[1].y, b[1].z);
        c[2] = turned(c, b[2].x, b[2].y, b[2].z);
        c[0] = c0;
        c[1] = c1;
      }
      motion.rate = sum(motion.rate, scaled(turn.sign * angle.rate, c[turn.axis]));
      LaneVector& next = c[(turn.axis + 1) % 3];
      LaneVector& last = c[(turn.axis + 2) % 3];
      const Lanes sine = turn.sign * angle.sine;
      const LaneVector new_next = sum(scaled(angle.cosine, next), scaled(sine, last));
      last = sum(scaled(angle.cosine, last), scaled(-sine, next));
      next = new_next;
    }
    const LaneVector* r = motion.columns;
    const LaneVector arm = turned(r, group.com.x, group.com.y, group.com.z);
    const LaneVector com = sum(motion.origin, arm);
    const LaneVector velocity = sum(motion.velocity, cross(motion.rate, arm));
    // r inertia r^T
    const Mat3& i = group.inertia;
    const LaneVector h0 = turned(r, i[0].x, i[0].y, i[0].z);
    const LaneVector h1 = turned(r, i[1].x, i[1].y, i[1].z);
    const LaneVector h2 = turned(r, i[2].x, i[2].y, i[2].z);
    const Lanes xx = h0.x * r[0].x + h1.x * r[1].x + h2.x * r[2].x;
    const Lanes yy = h0.y * r[0].y + h1.y * r[1].y + h2.y * r[2].y;
    const Lanes zz = h0.z * r[0].z + h1.z * r[1].z + h2.z * r[2].z;
    const Lanes xy = h0.x * r[0].y + h1.x * r[1].y + h2.x * r[2].y;
    const Lanes xz = h0.x * r[0].z + h1.x * r[1].z + h2.x * r[2].z;
    const Lanes yz = h0.y * r[0].z + h1.y * r[1].z + h2.y * r[2].z;
    const double m = group.mass;
    sums.xx += xx + m * (com.y * com.y + com.z * com.z);
    sums.yy += yy + m * (com.x * com.x + com.z * com.z);
    sums.zz += zz + m * (com.x * com.x + com.y * com.y);
    sums.xy += xy - m * com.x * com.y;
    sums.xz += xz - m * com.x * com.z;
    sums.yz += yz - m * com.y * com.z;
    sums.moment = sum(sums.moment, scaled(m, com));
    sums.linear = sum(sums.linear, scaled(m, velocity));
    const LaneVector& w = motion.rate;
    const LaneVector own{xx * w.x + xy * w.y + xz * w.z, xy * w.x + yy * w.y + yz * w.z,
                         xz * w.x + yz * w.y + zz * w.z};
    sums.angular = sum(sums.angular, sum(own, scaled(m, cross(com, velocity))));
  }
  const LaneVector com = scaled(1.0 / mass_, sums.moment);
  const Lanes xx = sums.xx - mass_ * (com.y * com.y + com.z * com.z);
  const Lanes yy = sums.yy - mass_ * (com.x * com.x + com.z * com.z);
  const Lanes zz = sums.zz - mass_ * (com.x * com.x + com.y * com.y);
  const Lanes xy = sums.xy + mass_ * com.x * com.y;
  const Lanes xz = sums.xz + mass_ * com.x * com.z;
  const Lanes yz = sums.yz + mass_ * com.y * com.z;
  const LaneVector h = sum(sums.angular, scaled(-1.0, cross(com, sums.linear)));
  const Lanes axx = yy * zz - yz * yz;
  const Lanes ayy = xx * zz - xz * xz;
  const Lanes azz = xx * yy - xy * xy;
  const Lanes axy = xz * yz - xy * zz;
  const Lanes axz = xy * yz - xz * yy;
  const Lanes ayz = xy * xz - yz * xx;
  const Lanes scale = 1.0 / (xx * axx + xy * axy + xz * axz);
  for (std::size_t lane = 0; lane < lane_count; ++lane) {
    ShapeEffect& e = effects[lane];
    const double f = scale[lane];
    e.xx = f * axx[lane];
    e.yy = f * ayy[lane];
    e.zz = f * azz[lane];
    e.xy = f * axy[lane];
    e.xz = f * axz[lane];
    e.yz = f * ayz[lane];
    e.drift_x = e.xx * h.x[lane] + e.xy * h.y[lane] + e.xz * h.z[lane];
    e.drift_y = e.xy * h.x[lane] + e.yy * h.y[lane] + e.yz * h.z[lane];
    e.drift_z = e.xz * h.x[lane] + e.yz * h.y[lane] + e.zz * h.z[lane];
  }
}

}  // namespace halfturn
