#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "handout/sheet.hpp"
#include "scene/scene.hpp"

namespace halfturn {

/// What a page needs from whoever has a renderer and words for a moment.
struct PageSource {
  FlightOfRung flight;
  /// By rung, how its flight was come by: "simulated, an average adult"; empty: all are drawn.
  std::vector<std::string> made_by;
  /// The flights as data for the viewer, format "halfturn-flights"; empty: it draws them itself.
  std::string flights;
  /// PNG bytes of a scene.
  std::function<Result<std::string>(const Scene& scene)> draw;
  /// What is said at a moment of a rung, s from takeoff.
  std::function<std::string(std::size_t rung, const Flight& flight, double time)> words;
  /// Told before each rung; false gives up.
  std::function<bool(std::size_t rung)> go_on;
};

/// One HTML file that shows the ladder on any phone, with nothing to fetch. What comes from the plan is data,
/// never markup. This one has text and still pictures, and where scripts run a flat stage to scrub and a list
/// of attempts to save (format "halfturn-attempts").
[[nodiscard]] Result<std::string> still_page(const Ladder& ladder, const PageSource& source);

/// The same with the viewer itself over the text and the pictures: `viewer` is the page that the browser
/// build has packed (src/browser/pack.py).
[[nodiscard]] Result<std::string> viewer_page(const Ladder& ladder, const PageSource& source,
                                              std::string_view viewer);

}  // namespace halfturn
