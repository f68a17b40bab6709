#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "flight/flight.hpp"
#include "rotation/angle_split.hpp"

namespace halfturn {

/// Somersault, tilt and twist of a flight over time, split in the plane in which it flips and unwrapped.
class AngleTrack {
 public:
  static constexpr std::size_t looks = 2000;

  AngleTrack() = default;
  AngleTrack(const std::function<Quat(double)>& orientation, double duration);

  [[nodiscard]] bool flips() const { return flips_; }
  /// The split is ill-conditioned somewhere: somersault and twist cannot be told apart from there on.
  [[nodiscard]] bool lost() const { return lost_; }
  [[nodiscard]] double flip_toward() const { return flip_toward_; }  ///< rad, from the chest at takeoff
  [[nodiscard]] Vec3 flip_axis_W() const { return flip_axis_W_; }    ///< unit; zero without a flip
  /// Unwrapped, rad, at look k of `looks`, twist counted from where it is at takeoff.
  [[nodiscard]] const AngleSplit& look(std::size_t k) const { return splits_[k]; }
  /// As the maker of a flight gives them: flip in its own direction, lean and twist.
  [[nodiscard]] MakerAngles at(double time) const;

 private:
  double duration_ = 0;
  bool flips_ = false, lost_ = false;
  double flip_toward_ = 0, flip_sign_ = 1;
  Vec3 flip_axis_W_{};
  std::vector<AngleSplit> splits_;
};

}  // namespace halfturn
