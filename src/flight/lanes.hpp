#pragma once

#include <cstddef>

// Numbers of eight flights or moments side by side, for kernels that the compiler makes for every kind of
// x86-64 processor (function multiversioning: HT_EVERY_PROCESSOR in front of the kernel; all it calls is
// inlined). Sums are not fused, so every kind gives the same bits.

#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__)
#define HT_EVERY_PROCESSOR [[gnu::target_clones("avx512f", "avx2", "default")]]
#else
#define HT_EVERY_PROCESSOR
#endif

namespace halfturn::lanes {

inline constexpr std::size_t lane_count = 8;
using Lanes = double __attribute__((vector_size(lane_count * sizeof(double))));
using Bits = long long __attribute__((vector_size(lane_count * sizeof(double))));

struct LaneVector {
  Lanes x, y, z;
};

[[gnu::always_inline]] inline LaneVector cross(const LaneVector& a, const LaneVector& b) {
  return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
[[gnu::always_inline]] inline LaneVector sum(const LaneVector& a, const LaneVector& b) {
  return {a.x + b.x, a.y + b.y, a.z + b.z};
}
template <class Factor>
[[gnu::always_inline]] inline LaneVector scaled(const Factor& f, const LaneVector& a) {
  return {f * a.x, f * a.y, f * a.z};
}
[[gnu::always_inline]] inline LaneVector turned(const LaneVector* c, double x, double y, double z) {
  return {x * c[0].x + y * c[1].x + z * c[2].x, x * c[0].y + y * c[1].y + z * c[2].y,
          x * c[0].z + y * c[1].z + z * c[2].z};
}

/// Sine and cosine to the last digit or two for |x| up to some thousands: reduction by quarters of a turn in
/// three parts and the kernels of W. J. Cody and W. Waite (1980, Software Manual for the Elementary
/// Functions), with the coefficients of the freely distributed fdlibm.
[[gnu::always_inline]] inline void sine_cosine(const Lanes& x, Lanes& sine, Lanes& cosine) {
  constexpr double shift = 0x1.8p52;  // rounds to whole numbers and leaves them in the lowest bits
  const Lanes shifted = x * 0.63661977236758134308 + shift;
  const Lanes quarters = shifted - shift;
  const Bits bits = __builtin_bit_cast(Bits, shifted);
  const Lanes r = ((x - quarters * 1.57079632673412561417e+00) - quarters * 6.07710050630396597660e-11) -
                  quarters * 2.02226624879595063154e-21;
  const Lanes z = r * r;
  const Lanes s =
      r + r * z *
              (-1.66666666666666324348e-01 +
               z * (8.33333333332248946124e-03 +
                    z * (-1.98412698298579493134e-04 +
                         z * (2.75573137070700676789e-06 +
                              z * (-2.50507602534068634195e-08 + z * 1.58969099521155010221e-10)))));
  const Lanes c = 1.0 - 0.5 * z +
                  z * z *
                      (4.16666666666666019037e-02 +
                       z * (-1.38888888888741095749e-03 +
                            z * (2.48015872894767294178e-05 +
                                 z * (-2.75573143513906633035e-07 +
                                      z * (2.08757232129817482790e-09 + z * -1.13596475577881948265e-11)))));
  const Bits odd = (bits & 1) != 0;
  const Lanes first = odd ? c : s;
  const Lanes second = odd ? s : c;
  sine = (bits & 2) != 0 ? -first : first;
  cosine = ((bits + 1) & 2) != 0 ? -second : second;
}

}  // namespace halfturn::lanes
