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

/// Adds one rigid part to the sums.
template <class Part>
[[gnu::always_inline]] inline void add(Sums& sums, const Part& part, const LaneVector* r,
                                       const LaneVector& origin, const LaneVector& at_origin,
                                       const LaneVector& rate) {
  const LaneVector arm = turned(r, part.com.x, part.com.y, part.com.z);
  const LaneVector com = sum(origin, arm);
  const LaneVector velocity = sum(at_origin, cross(rate, arm));
  // r inertia r^T
  const Mat3& i = part.inertia;
  const LaneVector h0 = turned(r, i[0].x, i[0].y, i[0].z);
  const LaneVector h1 = turned(r, i[1].x, i[1].y, i[1].z);
  const LaneVector h2 = turned(r, i[2].x, i[2].y, i[2].z);
  const Lanes xx = h0.x * r[0].x + h1.x * r[1].x + h2.x * r[2].x;
  const Lanes yy = h0.y * r[0].y + h1.y * r[1].y + h2.y * r[2].y;
  const Lanes zz = h0.z * r[0].z + h1.z * r[1].z + h2.z * r[2].z;
  const Lanes xy = h0.x * r[0].y + h1.x * r[1].y + h2.x * r[2].y;
  const Lanes xz = h0.x * r[0].z + h1.x * r[1].z + h2.x * r[2].z;
  const Lanes yz = h0.y * r[0].z + h1.y * r[1].z + h2.y * r[2].z;
  const double m = part.mass;
  sums.xx += xx + m * (com.y * com.y + com.z * com.z);
  sums.yy += yy + m * (com.x * com.x + com.z * com.z);
  sums.zz += zz + m * (com.x * com.x + com.y * com.y);
  sums.xy += xy - m * com.x * com.y;
  sums.xz += xz - m * com.x * com.z;
  sums.yz += yz - m * com.y * com.z;
  sums.moment = sum(sums.moment, scaled(m, com));
  sums.linear = sum(sums.linear, scaled(m, velocity));
  const LaneVector own{xx * rate.x + xy * rate.y + xz * rate.z, xy * rate.x + yy * rate.y + yz * rate.z,
                       xz * rate.x + yz * rate.y + zz * rate.z};
  sums.angular = sum(sums.angular, sum(own, scaled(m, cross(com, velocity))));
}

/// Turns the columns of a rotation about its own axis.
[[gnu::always_inline]] inline void turn_columns(LaneVector* columns, int axis, const Lanes& cosine,
                                                const Lanes& sine) {
  LaneVector& next = columns[(axis + 1) % 3];
  LaneVector& last = columns[(axis + 2) % 3];
  const LaneVector moved = sum(scaled(cosine, next), scaled(sine, last));
  last = sum(scaled(cosine, last), scaled(-sine, next));
  next = moved;
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
  constexpr int axis_order[] = {2, 0, 1};  // z, x, y
  const Lanes zero{};
  const double mass = setting_->request().body->mass;
  step::State<Lanes> state{loaded(eight.w.data()), loaded(eight.x.data()),  loaded(eight.y.data()),
                           loaded(eight.z.data()), loaded(eight.hx.data()), loaded(eight.hy.data()),
                           loaded(eight.hz.data())};
  const Lanes last_start = loaded(eight.last_start.data());
  const Lanes last_inverse = 1.0 / (loaded(eight.last_end.data()) - last_start);
  const Lanes arm_inverse = zero + 1.0 / Setting::arm_time;
  const auto effect_at = [&](const Node& node) __attribute__((always_inline)) {
    const Mat3& i = node.inertia;
    Sums sums{zero + i[0][0], zero + i[1][1],      zero + i[2][2],      zero + i[0][1],      zero + i[0][2],
              zero + i[1][2], spread(node.moment), spread(node.linear), spread(node.angular)};
    const Progress last = progress(node.time, last_start, last_inverse);
    for (std::size_t a = 0; a < 2; ++a) {
      const Progress in = progress(node.time, loaded(eight.in[a].data()), arm_inverse);
      const Progress out = progress(node.time, loaded(eight.out[a].data()), arm_inverse);
      LaneVector columns[3] = {spread(node.thorax[0]), spread(node.thorax[1]), spread(node.thorax[2])};
      LaneVector origin = spread(node.shoulder[a]), velocity = spread(node.velocity[a]),
                 rate = spread(node.rate);
      bool first = true;
      for (const Part& part : arms_[a]) {
        if (!first) {
          const LaneVector arm = turned(columns, part.joint.x, part.joint.y, part.joint.z);
          origin = sum(origin, arm);
          velocity = sum(velocity, cross(rate, arm));
        }
        first = false;
        for (int k = 0; k < 3; ++k) {
          const Axis& axis = part.axes[static_cast<std::size_t>(k)];
          if (!axis.moves) {
            if (axis.start != 0) turn_columns(columns, axis_order[k], zero + axis.cosine, zero + axis.sine);
            continue;
          }
          const Lanes angle =
              axis.start + (axis.by[0] * in.done + axis.by[1] * out.done + axis.by[2] * last.done);
          const Lanes speed = axis.by[0] * in.rate + axis.by[1] * out.rate + axis.by[2] * last.rate;
          Lanes sine, cosine;
          sine_cosine(angle, sine, cosine);
          rate = sum(rate, scaled(speed, columns[axis_order[k]]));
          turn_columns(columns, axis_order[k], cosine, sine);
        }
        add(sums, part, columns, origin, velocity, rate);
      }
    }
    return effect_of(sums, mass);
  };
  // Flip and twist as points on a circle, x and y, so that whole turns are counted.
  const auto flip_x = [&] { return 1.0 - 2.0 * (state.x * state.x + state.z * state.z); };
  const auto flip_y = [&] { return 2.0 * (state.w * state.z - state.x * state.y); };
  const auto twist_x = [&] { return 1.0 - 2.0 * (state.x * state.x + state.y * state.y); };
  const auto twist_y = [&] { return 2.0 * (state.w * state.y - state.x * state.z); };
  Lanes flips = loaded(eight.flips.data()), twists = loaded(eight.twists.data());
  const double h = length_;
  Effect before = effect_at(nodes_[2 * first_step]);
  for (std::size_t n = 2 * first_step; n < 2 * last_step; n += 2) {
    const Effect middle = effect_at(nodes_[n + 1]);
    const Effect after = effect_at(nodes_[n + 2]);
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
    before = after;
  }
  const step::Vec<Lanes> m = step::body_momentum(state);
  store(eight.twist_rate.data(), before.xy * m.x + before.yy * m.y + before.yz * m.z - before.drift_y);
  store(eight.w.data(), state.w);
  store(eight.x.data(), state.x);
  store(eight.y.data(), state.y);
  store(eight.z.data(), state.z);
  store(eight.flips.data(), flips);
  store(eight.twists.data(), twists);
}

}  // namespace halfturn::solve
