#include <algorithm>

#include "lanes.hpp"
#include "simulated_step.hpp"
#include "solve_arms.hpp"

// The kernel of ArmFlights: eight flights of one grid of time, each with its own arms.

namespace halfturn::solve {
namespace {

using namespace lanes;

[[gnu::always_inline]] inline Lanes loaded(const double* numbers) {
  Lanes lanes;
  for (std::size_t i = 0; i < lane_count; ++i) lanes[i] = numbers[i];
  return lanes;
}
[[gnu::always_inline]] inline void store(double* numbers, const Lanes& lanes) {
  for (std::size_t i = 0; i < lane_count; ++i) numbers[i] = lanes[i];
}
[[gnu::always_inline]] inline LaneVector spread(const Vec3& v) {
  const Lanes zero{};
  return {zero + v.x, zero + v.y, zero + v.z};
}

/// How far a minimum-jerk movement is, and how fast, 1/s.
struct Progress {
  Lanes done, rate;
};
[[gnu::always_inline]] inline Progress progress(double time, const Lanes& start, const Lanes& inverse) {
  const Lanes zero{}, one = zero + 1.0;
  Lanes s = (time - start) * inverse;
  s = s > zero ? s : zero;
  s = s < one ? s : one;
  return {s * s * s * (10.0 + s * (6.0 * s - 15.0)), 30.0 * inverse * (s * s * (1.0 - s) * (1.0 - s))};
}

/// Sums over the segments: inertia about the pelvis' origin and momenta.
struct Sums {
  Lanes xx, yy, zz, xy, xz, yz;
  LaneVector moment, linear, angular;
};

/// What the shape does to the rotation, as ShapeEffect.
struct Effect {
  Lanes xx, yy, zz, xy, xz, yz;
  Lanes drift_x, drift_y, drift_z;
};

[[gnu::always_inline]] inline Effect effect_of(const Sums& sums, double mass) {
  const LaneVector com = scaled(1.0 / mass, sums.moment);
  const Lanes xx = sums.xx - mass * (com.y * com.y + com.z * com.z);
  const Lanes yy = sums.yy - mass * (com.x * com.x + com.z * com.z);
  const Lanes zz = sums.zz - mass * (com.x * com.x + com.y * com.y);
  const Lanes xy = sums.xy + mass * com.x * com.y;
  const Lanes xz = sums.xz + mass * com.x * com.z;
  const Lanes yz = sums.yz + mass * com.y * com.z;
  const LaneVector h = sum(sums.angular, scaled(-1.0, cross(com, sums.linear)));
  Effect e;
  e.xx = yy * zz - yz * yz;
  e.yy = xx * zz - xz * xz;
  e.zz = xx * yy - xy * xy;
  e.xy = xz * yz - xy * zz;
  e.xz = xy * yz - xz * yy;
  e.yz = xy * xz - yz * xx;
  const Lanes scale = 1.0 / (xx * e.xx + xy * e.xy + xz * e.xz);
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

/// A sixteenth of the weighted sum.
[[gnu::always_inline]] inline Effect between(const Effect* e, double a, double b, double c, double d) {
  const auto mixed = [&](Lanes Effect::*member) __attribute__((always_inline)) {
    return 0.0625 * (a * e[0].*member + b * e[1].*member + c * e[2].*member + d * e[3].*member);
  };
  return {mixed(&Effect::xx),      mixed(&Effect::yy),      mixed(&Effect::zz),
          mixed(&Effect::xy),      mixed(&Effect::xz),      mixed(&Effect::yz),
          mixed(&Effect::drift_x), mixed(&Effect::drift_y), mixed(&Effect::drift_z)};
}

/// Adds one rigid part to the sums.
template <class Part>
[[gnu::always_inline]] inline void add(Sums& sums, const Part& part, const LaneVector* r,
                                       const LaneVector& origin, const LaneVector& at_origin,
                                       const LaneVector& rate) {
  const LaneVector arm = turned(r, part.com.x, part.com.y, part.com.z);
  const LaneVector com = sum(origin, arm);
  const LaneVector velocity = sum(at_origin, cross(rate, arm));
  // r inertia r^T, by principal axes: the least moment all round, and the rest about two axes.
  const LaneVector p = part.straight ? r[0] : turned(r, part.axis[0].x, part.axis[0].y, part.axis[0].z);
  const LaneVector q = part.straight ? r[1] : turned(r, part.axis[1].x, part.axis[1].y, part.axis[1].z);
  const LaneVector more_p = scaled(part.more[0], p), more_q = scaled(part.more[1], q);
  const Lanes xx = part.round + (more_p.x * p.x + more_q.x * q.x);
  const Lanes yy = part.round + (more_p.y * p.y + more_q.y * q.y);
  const Lanes zz = part.round + (more_p.z * p.z + more_q.z * q.z);
  const Lanes xy = more_p.x * p.y + more_q.x * q.y;
  const Lanes xz = more_p.x * p.z + more_q.x * q.z;
  const Lanes yz = more_p.y * p.z + more_q.y * q.z;
  const double m = part.mass;
  const LaneVector moment = scaled(m, com), momentum = scaled(m, velocity);
  const Lanes cx = moment.x * com.x, cy = moment.y * com.y, cz = moment.z * com.z;
  sums.xx += xx + (cy + cz);
  sums.yy += yy + (cx + cz);
  sums.zz += zz + (cx + cy);
  sums.xy += xy - moment.x * com.y;
  sums.xz += xz - moment.x * com.z;
  sums.yz += yz - moment.y * com.z;
  sums.moment = sum(sums.moment, moment);
  sums.linear = sum(sums.linear, momentum);
  const LaneVector own{xx * rate.x + xy * rate.y + xz * rate.z, xy * rate.x + yy * rate.y + yz * rate.z,
                       xz * rate.x + yz * rate.y + zz * rate.z};
  sums.angular = sum(sums.angular, sum(own, cross(com, momentum)));
}

[[gnu::always_inline]] inline Sums sum(const Sums& a, const Sums& b) {
  return {a.xx + b.xx,
          a.yy + b.yy,
          a.zz + b.zz,
          a.xy + b.xy,
          a.xz + b.xz,
          a.yz + b.yz,
          sum(a.moment, b.moment),
          sum(a.linear, b.linear),
          sum(a.angular, b.angular)};
}

/// Turns the columns of a rotation about its own axis.
template <int axis>
[[gnu::always_inline]] inline void turn_columns(LaneVector* columns, const Lanes& cosine, const Lanes& sine) {
  LaneVector& next = columns[(axis + 1) % 3];
  LaneVector& last = columns[(axis + 2) % 3];
  const LaneVector moved = sum(scaled(cosine, next), scaled(sine, last));
  last = sum(scaled(cosine, last), scaled(-sine, next));
  next = moved;
}

/// Passes one axis of a joint.
template <int axis, class Axis>
[[gnu::always_inline]] inline void pass(const Axis& of, const Progress& in, const Progress& out,
                                        const Progress& last, LaneVector* columns, LaneVector& rate) {
  const Lanes zero{};
  if (!of.moves) {
    if (of.start != 0) turn_columns<axis>(columns, zero + of.cosine, zero + of.sine);
    return;
  }
  const Lanes angle = of.start + (of.by[0] * in.done + of.by[1] * out.done + of.by[2] * last.done);
  const Lanes speed = of.by[0] * in.rate + of.by[1] * out.rate + of.by[2] * last.rate;
  Lanes sine, cosine;
  sine_cosine(angle, sine, cosine);
  rate = sum(rate, scaled(speed, columns[axis]));
  turn_columns<axis>(columns, cosine, sine);
}

/// Where an angle is, of which sine and cosine change sign at 0 and pi: whole turns passed between two
/// moments less than half a turn apart.
[[gnu::always_inline]] inline Lanes turns_passed(const Lanes& x0, const Lanes& y0, const Lanes& x1,
                                                 const Lanes& y1) {
  const Lanes zero{}, one = zero + 1.0;
  const Lanes way = x0 * y1 - y0 * x1;  // positive: turned to the left
  const Lanes over = y1 < zero ? (way > zero ? one : zero) : zero;
  const Lanes back = y1 < zero ? zero : (way < zero ? one : zero);
  return y0 < zero ? -back : over;
}

}  // namespace

HT_EVERY_PROCESSOR
void ArmFlights::advance(std::size_t first_step, std::size_t last_step, Eight& eight) const {
  const Lanes zero{};
  const double mass = setting_->request().body->mass;
  step::State<Lanes> state{loaded(eight.w.data()), loaded(eight.x.data()),  loaded(eight.y.data()),
                           loaded(eight.z.data()), loaded(eight.hx.data()), loaded(eight.hy.data()),
                           loaded(eight.hz.data())};
  const Lanes last_start = loaded(eight.last_start.data());
  const Lanes last_inverse = 1.0 / (loaded(eight.last_end.data()) - last_start);
  const double first_last = *std::min_element(eight.last_start.begin(), eight.last_start.end());
  const Lanes arm_inverse = zero + 1.0 / Setting::arm_time;
  // Arms that rest from one node to the next, with the trunk, need not be weighed again.
  Sums arm_sums[2];
  double last_time = -1;
  const auto moves = [&](const Eight::Numbers& starts, double length, double from, double to)
      __attribute__((always_inline)) {
    const auto [first, last] = std::minmax_element(starts.begin(), starts.end());
    return to > *first && from < *last + length;
  };
  const auto effect_at = [&](const Node& node) __attribute__((always_inline)) {
    const bool weigh = last_time < 0 || !node.still || node.time > first_last;
    const Progress last = progress(node.time, last_start, last_inverse);
    for (std::size_t a = 0; a < 2; ++a) {
      if (!weigh && !moves(eight.in[a], Setting::arm_time, last_time, node.time) &&
          !moves(eight.out[a], Setting::arm_time, last_time, node.time))
        continue;
      const Progress in = progress(node.time, loaded(eight.in[a].data()), arm_inverse);
      const Progress out = progress(node.time, loaded(eight.out[a].data()), arm_inverse);
      LaneVector columns[3] = {spread(node.thorax[0]), spread(node.thorax[1]), spread(node.thorax[2])};
      LaneVector origin = spread(node.shoulder[a]), velocity = spread(node.velocity[a]),
                 rate = spread(node.rate);
      Sums& sums = arm_sums[a];
      sums = Sums{};
      bool first = true;
      for (const Part& part : arms_[a]) {
        if (!first) {
          const LaneVector arm = turned(columns, part.joint.x, part.joint.y, part.joint.z);
          origin = sum(origin, arm);
          velocity = sum(velocity, cross(rate, arm));
        }
        first = false;
        pass<2>(part.axes[0], in, out, last, columns, rate);
        pass<0>(part.axes[1], in, out, last, columns, rate);
        pass<1>(part.axes[2], in, out, last, columns, rate);
        add(sums, part, columns, origin, velocity, rate);
      }
    }
    last_time = node.time;
    const Mat3& i = node.inertia;
    const Sums body{zero + i[0][0],      zero + i[1][1],      zero + i[2][2],
                    zero + i[0][1],      zero + i[0][2],      zero + i[1][2],
                    spread(node.moment), spread(node.linear), spread(node.angular)};
    return effect_of(sum(sum(body, arm_sums[0]), arm_sums[1]), mass);
  };
  // Flip and twist as points on a circle, x and y, so that whole turns are counted.
  const auto flip_x = [&] { return 1.0 - 2.0 * (state.x * state.x + state.z * state.z); };
  const auto flip_y = [&] { return 2.0 * (state.w * state.z - state.x * state.y); };
  const auto twist_x = [&] { return 1.0 - 2.0 * (state.x * state.x + state.y * state.y); };
  const auto twist_y = [&] { return 2.0 * (state.w * state.y - state.x * state.z); };
  Lanes flips = loaded(eight.flips.data()), twists = loaded(eight.twists.data());
  const double h = length_;
  // The nodes before, at both ends of, and after a step; at the ends of the flight the step's own four.
  std::size_t first_node = std::min(first_step == 0 ? 0 : first_step - 1, steps_ - 3);
  Effect around[4];
  for (std::size_t i = 0; i < 4; ++i) around[i] = effect_at(nodes_[first_node + i]);
  for (std::size_t n = first_step; n < last_step; ++n) {
    if (n > first_node + 1 && first_node + 4 < nodes_.size()) {
      ++first_node;
      for (int i = 0; i < 3; ++i) around[i] = around[i + 1];
      around[3] = effect_at(nodes_[first_node + 3]);
    }
    const std::size_t at = n - first_node;
    const Effect middle = at == 1   ? between(around, -1, 9, 9, -1)
                          : at == 0 ? between(around, 5, 15, -5, 1)
                                    : between(around, 1, -5, 15, 5);
    const Effect &before = around[at], &after = around[at + 1];
    const Lanes fx = flip_x(), fy = flip_y(), tx = twist_x(), ty = twist_y();
    using step::derivative;
    const step::Vec<Lanes> m0 = step::body_momentum(state);
    const step::Vec<Lanes> k1 = derivative<Lanes>({zero, zero, zero}, m0, before);
    const step::Vec<Lanes> k2 = derivative<Lanes>(step::times(0.5 * h, k1), m0, middle);
    const step::Vec<Lanes> k3 = derivative<Lanes>(step::times(0.5 * h, k2), m0, middle);
    const step::Vec<Lanes> k4 = derivative<Lanes>(step::times(h, k3), m0, after);
    const double w = h / 6;
    step::turn(state, step::sum<Lanes>(w, k1, 2 * w, k2, 2 * w, k3, w, k4));
    flips += turns_passed(fx, fy, flip_x(), flip_y());
    twists += turns_passed(tx, ty, twist_x(), twist_y());
  }
  const Effect& end = around[last_step - first_node];
  const step::Vec<Lanes> m = step::body_momentum(state);
  store(eight.twist_rate.data(), end.xy * m.x + end.yy * m.y + end.yz * m.z - end.drift_y);
  store(eight.w.data(), state.w);
  store(eight.x.data(), state.x);
  store(eight.y.data(), state.y);
  store(eight.z.data(), state.z);
  store(eight.flips.data(), flips);
  store(eight.twists.data(), twists);
}

}  // namespace halfturn::solve
