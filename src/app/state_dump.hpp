#pragma once

#include <string>
#include <vector>

#include "panels/panels.hpp"

namespace halfturn {

/// What the window knows besides its session.
struct WindowState {
  long frame = 0;                   ///< frames drawn so far
  bool simulating = false;          ///< flights of the plan are still to come
  double mouse_x = 0, mouse_y = 0;  ///< px, as the last frame saw it
  bool mouse_down = false;
};

/// A session and the widgets of its last frame as JSON: what the tests of the window read. Pixels, not design
/// pixels.
[[nodiscard]] std::string state_json(const Session& session, const Layout& layout,
                                     const std::vector<WidgetRecord>& records, const WindowState& window);

}  // namespace halfturn
