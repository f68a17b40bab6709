#pragma once

#include <glm/geometric.hpp>
#include <optional>
#include <vector>

#include "scene/scene.hpp"

namespace halfturn {

/// A projection made ready for many points.
class Projector {
 public:
  explicit Projector(const Projection& projection);

  /// Nothing nearer than this is drawn, m in front of the eye.
  static constexpr double near_m = 0.05;

  /// Right, up and forward of the camera as components of p_W - eye, m.
  [[nodiscard]] Vec3 to_view(const Vec3& p_W) const {
    const Vec3 d = p_W - projection_.camera.eye;
    return {glm::dot(d, right_), glm::dot(d, up_), glm::dot(d, forward_)};
  }
  /// x, y px and distance in front of the eye, m; of a point in view axes that is not behind the near plane.
  [[nodiscard]] Vec3 view_to_px(const Vec3& p_view) const {
    const double scale = projection_.focal_px / p_view.z;
    return {projection_.centre_x_px + scale * p_view.x, projection_.centre_y_px - scale * p_view.y, p_view.z};
  }
  /// x, y px and distance; empty when the point is nearer than near_m or behind.
  [[nodiscard]] std::optional<Vec3> to_px(const Vec3& p_W) const;
  /// Pixels per metre at a distance.
  [[nodiscard]] double px_per_m(double distance) const { return projection_.focal_px / distance; }
  [[nodiscard]] const Projection& projection() const { return projection_; }
  [[nodiscard]] Vec3 right() const { return right_; }
  [[nodiscard]] Vec3 up() const { return up_; }
  [[nodiscard]] Vec3 forward() const { return forward_; }

 private:
  Projection projection_;
  Vec3 right_{}, up_{}, forward_{};
};

/// What a projection makes room for. It is the same for every rung of a ladder and every moment, so that no
/// camera jumps.
struct Room {
  double highest_m = 0;     ///< of the ladder's highest flight, over the floor; 0: nothing to make room for
  double wall_name_em = 0;  ///< the widest name of a wall, in font sizes
  Camera plain_side, plain_front;  ///< the named cameras where nobody has moved them
};
[[nodiscard]] Room room_for(const Ladder& ladder, const View& view);

/// The projection of a camera into a view: its field of view spans the height that controls leave free, and
/// narrow pictures step back until the dial fits, all until the highest flight does.
[[nodiscard]] Projection projection_for(const Camera& camera, const View& view, const Room& room = {});

}  // namespace halfturn
