#pragma once

#include <cstdint>
#include <vector>

#include "body/mass_properties.hpp"
#include "body/tree.hpp"

namespace halfturn {

/// Takeoff of a simulated flight: what its rotation depends on beside the shape.
struct Spin {
  Quat q_WB{1, 0, 0, 0};       ///< orientation of the reference segment
  Vec3 angular_momentum_W{0};  ///< kg m2/s, constant throughout
};

/// What the shape does to the rotation at one moment: omega = inverse_inertia M - drift, where M is the
/// angular momentum in body axes. Reference axes; inverse inertia in 1/(kg m2), drift in rad/s.
struct ShapeEffect {
  double xx = 0, yy = 0, zz = 0, xy = 0, xz = 0, yz = 0;  ///< inverse inertia about the centre of mass
  double drift_x = 0, drift_y = 0, drift_z = 0;           ///< inverse inertia times relative momentum
};

/// A tree with all its joint angles over [0, duration], made ready to be weighed often. The time is cut at
/// the moments where something starts or stops moving, and within each piece resting joints are merged.
/// Immutable.
class MovingBody {
 public:
  /// `tracks` has one entry for each coordinate of the tree; duration > 0, s. `marks` are further times at
  /// which a piece shall end, so that an integrator has a knot there.
  MovingBody(const BodyTree& tree, const JointTracks& tracks, double duration,
             const std::vector<double>& marks = {});

  [[nodiscard]] double duration() const { return pieces_.back().end; }
  [[nodiscard]] std::size_t piece_count() const { return pieces_.size(); }
  [[nodiscard]] double piece_start(std::size_t piece) const { return pieces_[piece].start; }
  [[nodiscard]] double piece_end(std::size_t piece) const { return pieces_[piece].end; }
  [[nodiscard]] bool is_rigid(std::size_t piece) const { return pieces_[piece].groups.empty(); }
  /// The piece a time in [0, duration] belongs to; at a corner the later one.
  [[nodiscard]] std::size_t piece_at(double time) const;

  [[nodiscard]] MassProperties weigh(std::size_t piece, double time) const;
  /// All zero when the inertia is singular: every mass on one line.
  [[nodiscard]] ShapeEffect effect(std::size_t piece, double time) const;
  /// effect() at eight times of one piece, several times faster each; the inertia must not be singular.
  static constexpr std::size_t effects_at_once = 8;
  void effects(std::size_t piece, const double* times, ShapeEffect* effects) const;

 private:
  static constexpr std::size_t most_groups = 24;  // kept on the stack; larger bodies take the slower way
  struct Link;
  struct Window {
    double start, length;
  };
  struct Term {
    std::uint32_t window;
    double by;
  };
  struct Angle {
    double resting;                   // with all finished blends
    std::uint32_t first_term, terms;  // of Piece::terms
  };
  struct Turn {
    Mat3 before;    // constant rotation ahead of this one
    bool straight;  // that rotation is none
    std::uint32_t axis, angle;
    double sign;
  };
  struct Group {
    std::int32_t parent;  // -1: the group of the reference segment
    Vec3 joint;
    std::uint32_t first_turn, turns;
    double mass;
    Vec3 com;
    Mat3 inertia;  // about com
  };
  struct Piece {
    double start, end;
    std::vector<Window> windows;
    std::vector<Term> terms;
    std::vector<Angle> angles;
    std::vector<Turn> turns;
    std::vector<Group> groups;
    double mass;  // of the reference segment's group
    Vec3 com;
    Mat3 inertia;
  };
  Piece compile(const BodyTree& tree, const std::vector<Link>& links, const JointTracks& tracks, double start,
                double end) const;
  std::vector<Piece> pieces_;
  double mass_ = 0;
};

/// Angular velocity in body axes, rad/s.
[[nodiscard]] Vec3 angular_velocity(const ShapeEffect& effect, const Spin& spin);

}  // namespace halfturn
