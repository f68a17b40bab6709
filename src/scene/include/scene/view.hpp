#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "ladder/ladder.hpp"
#include "ladder/sight.hpp"
#include "rotation/quaternion.hpp"

namespace halfturn {

enum class Theme : std::uint8_t { light, dark, sunlight };
enum class CameraKind : std::uint8_t { side, front, above, eyes };

/// Where the picture is seen from: metres, world axes.
struct Camera {
  Vec3 eye{4.75, 2.9, -6.6};
  Vec3 target{0, 1.14, 0};
  Vec3 up{0, 1, 0};
  double fov_deg = 31.5;  ///< vertical
  bool own_head = true;   ///< false from the athlete's eyes: the head is not drawn
  friend bool operator==(const Camera&, const Camera&) = default;
};

/// How far a coach has orbited, panned and zoomed away from a named camera. All zero: the camera itself.
struct CameraOffset {
  double yaw = 0, pitch = 0;         ///< rad
  double pan_right = 0, pan_up = 0;  ///< m
  double zoom = 1;                   ///< > 1 is nearer
  friend bool operator==(const CameraOffset&, const CameraOffset&) = default;
};

/// A camera on its way to the one a view names.
struct CameraChange {
  CameraKind from = CameraKind::side;
  CameraOffset offset_from;
  double share = 1;  ///< of the way made, [0, 1]
  Gaze gaze_from = Gaze::neutral;
  friend bool operator==(const CameraChange&, const CameraChange&) = default;
};

/// What is shown beside the figure. The instructor's view adds the second group.
struct Toggles {
  bool ghosts = true, traces = true, labels = true;
  bool landings = false;    ///< the rose of simulated landings lies on the dial
  bool both_sides = false;  ///< the twister to the other side stands beside
  bool flip_axis = false, momentum = false, long_axis = false, tilt_wedge = false;
  friend bool operator==(const Toggles&, const Toggles&) = default;
};

/// Where landings face, as a rose on the dial: shares of equal bins, the first of which begins half a turn
/// to the right of the middle.
struct LandingRose {
  double middle_deg = 0;  ///< heading
  std::vector<double> shares;
  friend bool operator==(const LandingRose&, const LandingRose&) = default;
};

/// Everything about the picture that is not the plan or the time.
struct View {
  Theme theme = Theme::light;
  CameraKind camera = CameraKind::side;
  CameraOffset offset;
  Gaze gaze = Gaze::neutral;            ///< of the camera from the athlete's eyes
  std::optional<CameraChange> between;  ///< while the camera changes
  Toggles toggles;
  int width_px = 1440, height_px = 900;  ///< of the picture
  double scale = 1;  ///< pixels per design pixel: widths of lines, sizes of screen-aligned labels
  /// Part of the picture kept clear of the subject by controls, px from each edge: the subject is centred in
  /// the rest.
  double inset_left_px = 0, inset_right_px = 0, inset_top_px = 0, inset_bottom_px = 0;
  /// Box at the top left that the answer's words cover; wall names keep out of it.
  double answer_width_px = 0, answer_height_px = 0;
  std::optional<LandingRose> rose;  ///< of simulated landings
  std::vector<bool> passed;         ///< rungs whose gate is passed, by index; may be shorter than the ladder
  double ghost_opacity = 1;         ///< full until takeoff, 0.35 in flight
  double sign_opacity = 1;          ///< the wall sign fades out and in when the rung changes
  /// Where the beam points while the rung changes; empty: where the landing faces.
  std::optional<double> beam_heading_deg;
  friend bool operator==(const View&, const View&) = default;
};

}  // namespace halfturn
