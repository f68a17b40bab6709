#pragma once

#include <cmath>
#include <glm/geometric.hpp>
#include <random>

#include "rotation/quaternion.hpp"

/// Uniform on [low, high), the same on every machine.
inline double uniform(std::mt19937_64& random, double low, double high) {
  return low + (high - low) * static_cast<double>(random() >> 11) * 0x1p-53;
}

inline halfturn::Vec3 random_axis(std::mt19937_64& random) {
  for (;;) {
    const halfturn::Vec3 v(uniform(random, -1, 1), uniform(random, -1, 1), uniform(random, -1, 1));
    const double length = glm::length(v);
    if (length > 0.1 && length < 1) return v / length;
  }
}

inline halfturn::Quat random_rotation(std::mt19937_64& random) {
  return halfturn::rotation_about(random_axis(random), uniform(random, -3.1, 3.1));
}
