#pragma once

#include <memory>
#include <optional>
#include <vector>

#include "base/result.hpp"
#include "flight/flight.hpp"
#include "panels/layout.hpp"
#include "scene/compose.hpp"
#include "session/session.hpp"

namespace halfturn {

/// One of several stages.
struct Pane {
  const Ladder& ladder;
  std::size_t rung = 0;
  const Flight& flight;
  double time = 0;  ///< s of this flight; past its end the athlete stands
  int width_px = 0, height_px = 0;
  double words_px = 0;                  ///< height at the top that words cover
  double words_w_px = 0;                ///< their width; 0: they go on along the top
  std::vector<Companion> companions{};  ///< the other flyers, where all are put into one stage
};

/// The picture of the stage for a session, drawn anew only when something in it has changed.
class StagePicture {
 public:
  /// Needs a current OpenGL context; `load` is its loader.
  [[nodiscard]] static Result<std::unique_ptr<StagePicture>> create(void* (*load)(const char*));
  virtual ~StagePicture() = default;
  /// Texture of the picture; `answer` is covered by words, design pixels; `moving` asks for speed instead of
  /// finish.
  [[nodiscard]] virtual unsigned draw(const Session& session, const Flight& flight,
                                      const Flight& flight_before, const Layout& layout, const Rect& answer,
                                      int width_px, int height_px, bool moving) = 0;
  /// The chain of the session where its page leaves room; `flights` by stop.
  [[nodiscard]] virtual unsigned draw_chain(const Session& session,
                                            const std::vector<std::optional<Flight>>& flights,
                                            const Layout& layout, bool moving) = 0;
  /// The same for one pane of a comparison; `scale` in pixels per design pixel.
  [[nodiscard]] virtual unsigned draw_pane(const Session& session, const Pane& pane, double scale,
                                           bool moving) = 0;
};

}  // namespace halfturn
