#pragma once

#include <optional>

#include "body/human.hpp"
#include "scene/scene.hpp"

namespace halfturn {

/// A body put into the world: enough to find any place on it.
struct PlacedBody {
  SegmentPlaces places;
  Quat q_WB{1, 0, 0, 0};
  Vec3 origin_W{};   ///< where the middle between the hips is
  double scale = 1;  ///< about the origin

  [[nodiscard]] Vec3 point_W(Segment segment, const Vec3& point) const;
  [[nodiscard]] Vec3 direction_W(Segment segment, const Vec3& direction) const;
};

/// The body with its centre of mass at com_W.
[[nodiscard]] PlacedBody place_by_com(const HumanBody& body, const Pose& pose, const Quat& q_WB,
                                      const Vec3& com_W);
/// The body with its lowest point at height 0, the middle of the hips over (x, z).
[[nodiscard]] PlacedBody place_on_floor(const HumanBody& body, const Pose& pose, const Quat& q_WB, double x,
                                        double z, double scale = 1);
/// Lifted so that nothing is below the floor.
[[nodiscard]] PlacedBody lifted_to_floor(const HumanBody& body, PlacedBody placed);

/// The middles of head and hands, m, world.
[[nodiscard]] Vec3 head_centre_W(const PlacedBody& placed);
[[nodiscard]] Vec3 hand_centre_W(const PlacedBody& placed, bool left);
[[nodiscard]] Vec3 foot_centre_W(const PlacedBody& placed, bool left);

struct FigureStyle {
  bool ghost = false;
  bool head = true;     ///< false from the athlete's own eyes
  double scale_px = 1;  ///< pixels per design pixel
  double opacity = 1;
  std::optional<Color> body = std::nullopt;  ///< of trunk, head and upper limbs; empty: the palette's
};
[[nodiscard]] Figure make_figure(const HumanBody& body, const PlacedBody& placed, const Palette& palette,
                                 const FigureStyle& style);

/// Capsules flattened to the floor.
[[nodiscard]] std::vector<Capsule> footprint(const Figure& figure);

/// Standing as between two attempts.
[[nodiscard]] Pose standing_pose();

}  // namespace halfturn
