#pragma once

#include <string>
#include <vector>

#include "panels/panels.hpp"

namespace halfturn {

/// A session and the widgets of its last frame as JSON: what the tests of the window read. Pixels, not design
/// pixels. `simulating`: flights of the plan are still to come.
[[nodiscard]] std::string state_json(const Session& session, const Layout& layout,
                                     const std::vector<WidgetRecord>& records, long frame, bool simulating);

}  // namespace halfturn
