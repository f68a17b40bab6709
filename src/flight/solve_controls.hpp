#pragma once

#include <array>
#include <string_view>

#include "body/tree.hpp"
#include "flight/solve.hpp"
#include "rotation/heading.hpp"
#include "solve_path.hpp"

namespace halfturn::solve {

/// What the solver is free to choose. Times in s.
struct Controls {
  double momentum = 0;  ///< kg m2/s
  double tilt = 0;      ///< in the flip frame at takeoff, rad; off-axis: incline less lean
  double incline =
      0;            ///< H turned from the plan's flip axis up to the long axis, rad; on-axis: contact twist
  double turn = 0;  ///< H turned about the upright of the flip frame, rad
  double drop = 0;  ///< when the first arm starts to the chest
  double second_drop = 0;           ///< by how much the other arm starts later
  double open = 0;                  ///< when the arms start to open, mean of both
  double stagger = 0;               ///< by how much the first arm opens before the other
  double slope_x = 0, slope_z = 0;  ///< upright: direction of H off the vertical
};

/// When the arms of a twisting flip move, s; the first arm and the second.
struct ArmTimes {
  std::array<double, 2> in{}, out{};    ///< starts of the ways to the chest and out again, arm_time each
  double last_start = 0, last_end = 0;  ///< both arms, down to where they land
};

/// The same problem for a left twister.
[[nodiscard]] SolveRequest left_sided(SolveRequest request);

/// What a landing must keep to be called controlled by the solver. This project's choice: a turn that misses
/// by 3 degrees is solved; 12 degrees more off upright than planned can still be stood; 120 deg/s of twist
/// turn the body 12 degrees in the 0.1 s that joint torques take to reverse at touchdown (Wu et al. 2019),
/// inside the 30 degrees of a gate. An arm takes the tilt out, and with it the twist, where it moves in the
/// plane of the flip: at half twists. A quarter away it cannot (design, section 3), and what is left is
/// turned out on the feet: there up to 300 deg/s, the 30 degrees of the gate in the same 0.1 s, between them
/// in proportion; on one foot alone it has to be held. Jumps, kicks and butterflies land on a turning foot,
/// so only how upright they are matters.
struct Limits {
  double turn_error = to_rad(3), landing_angle = to_rad(12);
  double held_twist_rate = to_rad(120), turned_out_twist_rate = to_rad(300);
  double contact_twist = to_rad(7);
};
inline constexpr Limits limits;

/// The left-sided problem with everything that does not change from flight to flight.
class Setting {
 public:
  explicit Setting(const SolveRequest& request);  ///< for a left twister
  [[nodiscard]] const SolveRequest& request() const { return request_; }
  [[nodiscard]] bool twists() const { return twists_; }
  [[nodiscard]] bool off_axis() const { return off_axis_; }
  /// Whether it comes down turning on a foot, more a spin than a flip.
  [[nodiscard]] bool spins_on() const { return !request_.plan.flips || request_.plan.incline_deg > 45; }
  /// Twist that may be left at first contact, rad/s: more where the arms cannot take it out.
  [[nodiscard]] double twist_rate_limit() const { return twist_rate_limit_; }
  [[nodiscard]] bool first_arm_left() const { return first_left_; }
  /// When the first arm may come in, s: the plan says when the turn begins, and a late half twist is another
  /// skill than an early one.
  [[nodiscard]] double earliest_arm() const;
  [[nodiscard]] const Quat& target() const { return target_; }
  [[nodiscard]] const PathAngles& start_angles() const { return start_angles_; }
  [[nodiscard]] const PathAngles& target_angles() const { return target_angles_; }
  [[nodiscard]] const Vec3& flip_axis_W() const { return axis_W_; }
  [[nodiscard]] const FlipFrame& frame() const { return frame_; }
  [[nodiscard]] const BodyTree& tree() const { return tree_; }
  [[nodiscard]] ShapeTrack track(const Controls& controls) const;
  [[nodiscard]] ArmTimes arm_times(const Controls& controls) const;
  [[nodiscard]] Spin spin(const Controls& controls) const;
  [[nodiscard]] Controls first_guess() const;

  static constexpr double arm_time = 0.25;   ///< s, one arm from overhead to the chest or out again
  static constexpr double body_time = 0.25;  ///< s, trunk and legs to another shape
  /// s from the first arm's start to the turn that is seen (5 degrees of twist after 0.10 to 0.12 s in solved
  /// flights).
  static constexpr double arm_lead = 0.1;

 private:
  [[nodiscard]] const Pose& pose(std::string_view name) const;
  SolveRequest request_;
  BodyTree tree_;
  bool twists_ = false, off_axis_ = false, first_left_ = true;
  double twist_rate_limit_ = 0;
  Quat target_{1, 0, 0, 0}, start_{1, 0, 0, 0};
  PathAngles target_angles_, start_angles_;
  Vec3 axis_W_{};
  FlipFrame frame_;
};

}  // namespace halfturn::solve
