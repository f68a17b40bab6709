#pragma once

#include <memory>
#include <optional>
#include <string_view>
#include <vector>

#include "body/pose.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn {

/// Who made a flight. Shown as a word; nothing downstream branches on it.
enum class Provenance { drawn, simulated, recorded };
[[nodiscard]] std::string_view provenance_word(Provenance provenance);

enum class EventKind { takeoff, arm_drop, open, strike, landing_in_sight, landing };
[[nodiscard]] std::string_view event_word(EventKind kind);

struct FlightEvent {
  EventKind kind = EventKind::takeoff;
  double time = 0;  ///< s from takeoff
};

/// One move of an arm: when it starts and where it goes.
struct ArmMove {
  double time = 0;  ///< s from takeoff
  bool left = true;
  bool in = true;  ///< to the chest; false: out or up again
};

/// Flip, lean and twist as the maker of the flight knows them, rad, unwrapped: flip >= 0 in the flip's own
/// direction, twist + to the left. Lean >= 0 away from the flip's plane.
struct MakerAngles {
  double flip = 0;
  double lean = 0;
  double twist = 0;
};

/// The athlete at one moment of a flight.
struct FlightSample {
  double time = 0;        ///< s from takeoff
  Quat q_WB{1, 0, 0, 0};  ///< orientation of the reference segment (pelvis), body -> world
  Vec3 com_W{};           ///< centre of mass, m; y = 0 is the floor, x = z = 0 below the takeoff
  Vec3 omega_B{};         ///< angular velocity of the reference segment in its own axes, rad/s
  Pose pose;              ///< joint angles
  MakerAngles angles;     ///< flip, lean and twist so far
};

/// An immutable flight: everything the viewer, sheets, exports and measurements read, as a function of time.
/// Copies are free, reading is safe from any thread, and any order of reads gives the same bits.
class Flight {
 public:
  /// What a maker of flights provides. `sample` must be a pure function of a time in [0, duration].
  class Maker {
   public:
    virtual ~Maker() = default;
    [[nodiscard]] virtual FlightSample sample(double time) const = 0;
    [[nodiscard]] virtual Quat orientation(double time) const { return sample(time).q_WB; }
  };

  Flight(std::shared_ptr<const Maker> maker, Provenance provenance, double duration,
         std::vector<FlightEvent> events, const Vec3& flip_axis_W,
         const std::optional<Vec3>& angular_momentum_W, std::vector<ArmMove> arm_moves = {});

  [[nodiscard]] double duration() const { return data_->duration; }  ///< air time, s
  [[nodiscard]] Provenance provenance() const { return data_->provenance; }
  [[nodiscard]] const std::vector<FlightEvent>& events() const {
    return data_->events;
  }  ///< ascending in time
  /// Events with t0 < time <= t1, so that a jump of the cursor loses none.
  [[nodiscard]] std::vector<FlightEvent> events(double t0, double t1) const;
  /// Unit axis the flip turns about, world; zero for an upright skill.
  [[nodiscard]] const Vec3& flip_axis_W() const { return data_->flip_axis_W; }
  /// kg m2/s, world; empty for a drawn flight, which has none.
  [[nodiscard]] const std::optional<Vec3>& angular_momentum_W() const { return data_->angular_momentum_W; }

  /// Ascending in time; empty where the maker moves no arm by itself.
  [[nodiscard]] const std::vector<ArmMove>& arm_moves() const { return data_->arm_moves; }

  /// The athlete at `time`, s, clamped to [0, duration].
  [[nodiscard]] FlightSample at(double time) const;
  /// Whether both are copies of one flight, not merely alike.
  [[nodiscard]] bool is(const Flight& other) const { return data_ == other.data_; }
  /// Only the orientation: cheaper than at().
  [[nodiscard]] Quat orientation(double time) const;

 private:
  struct Data {
    std::shared_ptr<const Maker> maker;
    Provenance provenance;
    double duration;
    std::vector<FlightEvent> events;
    Vec3 flip_axis_W;
    std::optional<Vec3> angular_momentum_W;
    std::vector<ArmMove> arm_moves;
  };
  std::shared_ptr<const Data> data_;
};

}  // namespace halfturn
