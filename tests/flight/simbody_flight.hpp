#pragma once

#include <array>
#include <string>
#include <vector>

/// Free flights by Simbody, an independent multibody code. Its headers do not compile as C++20, so this seam
/// is plain C++17 and knows nothing of our own types.
namespace simbody {

struct Part {
  int parent;  ///< -1: the root, which flies freely
  std::array<double, 3> joint;
  std::string axes;
  double mass;
  std::array<double, 3> com;
  std::array<double, 6> inertia;  ///< about com: xx, yy, zz, xy, xz, yz
};
struct Blend {
  double start, end, by;
};
struct Track {
  double start;
  std::vector<Blend> blends;
};
struct Sample {
  std::array<double, 4> orientation;  ///< of the root, w first
  std::array<double, 3> momentum;     ///< about the centre of mass, world
  double energy;                      ///< kinetic, J
  double joint_power;                 ///< what the prescribed joints put in, W
};

/// The flight of parts whose joint angles follow the tracks, from an orientation and a world rate of the
/// root.
std::vector<Sample> fly(const std::vector<Part>& parts, const std::vector<Track>& tracks,
                        const std::array<double, 4>& orientation, const std::array<double, 3>& rate,
                        const std::vector<double>& times, double accuracy);

}  // namespace simbody
