#pragma once

#include "flight/moving_body.hpp"

// One step of the rotation q' = q [omega] / 2, omega = inverse_inertia (R^T H) - drift, on the rotation
// group: q = q0 dq, dq = (1 - u.u, 2u) / (1 + u.u), where u (a modified Rodrigues vector, tan(angle / 4)
// times the axis) solves u' = ((1 - u.u) omega + 2 u x omega + 2 u (u.omega)) / 4 by the explicit 8th-order
// Runge-Kutta method of Dormand and Prince with twelve stages (coefficients: Hairer, Norsett and Wanner 1993,
// Solving Ordinary Differential Equations I, section II.5). u is rational in all it needs, so a step has no
// sine, no root and no branch, and runs as well on several flights side by side: T is double or a vector of
// doubles. Momentum is kept by construction: every stage uses M = R^T H.

namespace halfturn::step {

/// Shares of a step at which the shape is needed.
inline constexpr int node_count = 12;
inline constexpr double node_share[node_count] = {0.0,
                                                  0.0526001519587677318785587544488,
                                                  0.0789002279381515978178381316732,
                                                  0.118350341907227396726757197510,
                                                  0.281649658092772603273242802490,
                                                  1.0 / 3.0,
                                                  0.25,
                                                  4.0 / 13.0,
                                                  0.651282051282051282051282051282,
                                                  0.6,
                                                  6.0 / 7.0,
                                                  1.0};

template <class T>
struct Vec {
  T x, y, z;
};
template <class T>
struct State {
  T w, x, y, z;  // orientation
  T hx, hy, hz;  // angular momentum, world
};

template <class T>
[[gnu::always_inline]] inline Vec<T> times(double factor, const Vec<T>& v) {
  return {factor * v.x, factor * v.y, factor * v.z};
}
/// a k + ..., weights and vectors in turn.
template <class T>
[[gnu::always_inline]] inline Vec<T> sum(double a, const Vec<T>& k) {
  return times(a, k);
}
template <class T, class... Rest>
[[gnu::always_inline]] inline Vec<T> sum(double a, const Vec<T>& k, const Rest&... rest) {
  const Vec<T> others = sum<T>(rest...);
  return {a * k.x + others.x, a * k.y + others.y, a * k.z + others.z};
}

template <class T, class Effect>
[[gnu::always_inline]] inline Vec<T> derivative(const Vec<T>& u, const Vec<T>& m0, const Effect& e) {
  // M = R(u)^T M0 = M0 + (8 u x (u x M0) - 4 (1 - u.u) u x M0) / (1 + u.u)^2
  const T square = u.x * u.x + u.y * u.y + u.z * u.z;
  const T less = 1.0 - square;
  const T inverse = 1.0 / (1.0 + square);
  const T scale = 4.0 * inverse * inverse;
  const T ax = u.y * m0.z - u.z * m0.y;
  const T ay = u.z * m0.x - u.x * m0.z;
  const T az = u.x * m0.y - u.y * m0.x;
  const T mx = m0.x + scale * (2.0 * (u.y * az - u.z * ay) - less * ax);
  const T my = m0.y + scale * (2.0 * (u.z * ax - u.x * az) - less * ay);
  const T mz = m0.z + scale * (2.0 * (u.x * ay - u.y * ax) - less * az);
  const T wx = e.xx * mx + e.xy * my + e.xz * mz - e.drift_x;
  const T wy = e.xy * mx + e.yy * my + e.yz * mz - e.drift_y;
  const T wz = e.xz * mx + e.yz * my + e.zz * mz - e.drift_z;
  const T part = 0.25 * less;
  const T along = 0.5 * (u.x * wx + u.y * wy + u.z * wz);
  return {part * wx + 0.5 * (u.y * wz - u.z * wy) + along * u.x,
          part * wy + 0.5 * (u.z * wx - u.x * wz) + along * u.y,
          part * wz + 0.5 * (u.x * wy - u.y * wx) + along * u.z};
}

/// M0 = R(q)^T H
template <class T>
[[gnu::always_inline]] inline Vec<T> body_momentum(const State<T>& s) {
  const T cx = s.y * s.hz - s.z * s.hy;
  const T cy = s.z * s.hx - s.x * s.hz;
  const T cz = s.x * s.hy - s.y * s.hx;
  return {s.hx + 2.0 * (s.y * cz - s.z * cy - s.w * cx), s.hy + 2.0 * (s.z * cx - s.x * cz - s.w * cy),
          s.hz + 2.0 * (s.x * cy - s.y * cx - s.w * cz)};
}

/// The orientation turned by u.
template <class T>
[[gnu::always_inline]] inline void turn(State<T>& s, const Vec<T>& u) {
  const T square = u.x * u.x + u.y * u.y + u.z * u.z;
  const T inverse = 1.0 / (1.0 + square);
  const T dw = (1.0 - square) * inverse;
  const T dx = 2.0 * u.x * inverse;
  const T dy = 2.0 * u.y * inverse;
  const T dz = 2.0 * u.z * inverse;
  const T w = s.w * dw - s.x * dx - s.y * dy - s.z * dz;
  const T x = s.w * dx + s.x * dw + s.y * dz - s.z * dy;
  const T y = s.w * dy - s.x * dz + s.y * dw + s.z * dx;
  const T z = s.w * dz + s.x * dy - s.y * dx + s.z * dw;
  // Unit up to rounding already: one Newton step keeps rounding from adding up.
  const T excess = 1.5 - 0.5 * (w * w + x * x + y * y + z * z);
  s.w = w * excess;
  s.x = x * excess;
  s.y = y * excess;
  s.z = z * excess;
}

/// The state after a step of h seconds; `nodes` are the shape's effects at node_share.
template <class T>
[[gnu::always_inline]] inline void advance(State<T>& s, double h, const ShapeEffect* nodes) {
  const Vec<T> m0 = body_momentum(s);
  const T zero = s.w - s.w;
  const Vec<T> k1 = derivative<T>({zero, zero, zero}, m0, nodes[0]);
  const Vec<T> k2 = derivative<T>(times(h, sum<T>(5.26001519587677318785587544488e-2, k1)), m0, nodes[1]);
  const Vec<T> k3 = derivative<T>(
      times(h, sum<T>(1.97250569845378994544595329183e-2, k1, 5.91751709536136983633785987549e-2, k2)), m0,
      nodes[2]);
  const Vec<T> k4 = derivative<T>(
      times(h, sum<T>(2.95875854768068491816892993775e-2, k1, 8.87627564304205475450678981324e-2, k3)), m0,
      nodes[3]);
  const Vec<T> k5 = derivative<T>(
      times(h, sum<T>(2.41365134159266685502369798665e-1, k1, -8.84549479328286085344864962717e-1, k3,
                      9.24834003261792003115737966543e-1, k4)),
      m0, nodes[4]);
  const Vec<T> k6 =
      derivative<T>(times(h, sum<T>(3.7037037037037037037037037037e-2, k1, 1.70828608729473871279604482173e-1,
                                    k4, 1.25467687566822425016691814123e-1, k5)),
                    m0, nodes[5]);
  const Vec<T> k7 = derivative<T>(times(h, sum<T>(3.7109375e-2, k1, 1.70252211019544039314978060272e-1, k4,
                                                  6.02165389804559606850219397283e-2, k5, -1.7578125e-2, k6)),
                                  m0, nodes[6]);
  const Vec<T> k8 = derivative<T>(
      times(h, sum<T>(3.70920001185047927108779319836e-2, k1, 1.70383925712239993810214054705e-1, k4,
                      1.07262030446373284651809199168e-1, k5, -1.53194377486244017527936158236e-2, k6,
                      8.27378916381402288758473766002e-3, k7)),
      m0, nodes[7]);
  const Vec<T> k9 = derivative<T>(
      times(h, sum<T>(6.24110958716075717114429577812e-1, k1, -3.36089262944694129406857109825, k4,
                      -8.68219346841726006818189891453e-1, k5, 2.75920996994467083049415600797e1, k6,
                      2.01540675504778934086186788979e1, k7, -4.34898841810699588477366255144e1, k8)),
      m0, nodes[8]);
  const Vec<T> k10 = derivative<T>(
      times(h, sum<T>(4.77662536438264365890433908527e-1, k1, -2.48811461997166764192642586468, k4,
                      -5.90290826836842996371446475743e-1, k5, 2.12300514481811942347288949897e1, k6,
                      1.52792336328824235832596922938e1, k7, -3.32882109689848629194453265587e1, k8,
                      -2.03312017085086261358222928593e-2, k9)),
      m0, nodes[9]);
  const Vec<T> k11 = derivative<T>(
      times(h, sum<T>(-9.3714243008598732571704021658e-1, k1, 5.18637242884406370830023853209, k4,
                      1.09143734899672957818500254654, k5, -8.14978701074692612513997267357, k6,
                      -1.85200656599969598641566180701e1, k7, 2.27394870993505042818970056734e1, k8,
                      2.49360555267965238987089396762, k9, -3.0467644718982195003823669022, k10)),
      m0, nodes[10]);
  const Vec<T> k12 = derivative<T>(
      times(h, sum<T>(2.27331014751653820792359768449, k1, -1.05344954667372501984066689879e1, k4,
                      -2.00087205822486249909675718444, k5, -1.79589318631187989172765950534e1, k6,
                      2.79488845294199600508499808837e1, k7, -2.85899827713502369474065508674, k8,
                      -8.87285693353062954433549289258, k9, 1.23605671757943030647266201528e1, k10,
                      6.43392746015763530355970484046e-1, k11)),
      m0, nodes[11]);
  const Vec<T> u =
      times(h, sum<T>(5.42937341165687622380535766363e-2, k1, 4.45031289275240888144113950566, k6,
                      1.89151789931450038304281599044, k7, -5.8012039600105847814672114227, k8,
                      3.1116436695781989440891606237e-1, k9, -1.52160949662516078556178806805e-1, k10,
                      2.01365400804030348374776537501e-1, k11, 4.47106157277725905176885569043e-2, k12));
  turn(s, u);
}

inline State<double> state_of(const Spin& spin) {
  const Quat& q = spin.q_WB;
  const Vec3& h = spin.angular_momentum_W;
  return {q.w, q.x, q.y, q.z, h.x, h.y, h.z};
}
inline Quat orientation_of(const State<double>& s) {
  return {s.w, s.x, s.y, s.z};
}

}  // namespace halfturn::step
