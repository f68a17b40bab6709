#pragma once

#include <cstddef>

#include "flight/flight.hpp"
#include "scene/view.hpp"
#include "session/session.hpp"

namespace halfturn {

/// What one picture of a stage shows: the rung, the moment of its flight, and from where. compose() makes the
/// scene of it.
struct StageShot {
  std::size_t rung = 0;
  bool shows_before = false;  ///< of a rung change: still the rung that was left
  double time = 0;            ///< s from takeoff; past the flight's end the athlete stands
  View view;
};

/// What a session says about any picture of it; `scale` in pixels per design pixel. Insets are left to
/// whoever lays out what covers the picture.
[[nodiscard]] View stage_view(const Session& session, double scale, int width_px, int height_px);

/// The one stage of a session at its cursor, while a rung changes too; `duration_s` and `duration_before_s`
/// are those of the flights of the rung in play and of the one that was left.
[[nodiscard]] StageShot stage_shot(const Session& session, double duration_s, double duration_before_s,
                                   View view);

/// One of several stages, at a moment of its flight, s; `view` as stage_view gives it. The stage may be of
/// another climb: gates count for their own side and takeoff.
[[nodiscard]] StageShot pane_shot(const Session& session, const Ladder& ladder, std::size_t rung,
                                  double duration_s, double time_s, View view);

}  // namespace halfturn
