#pragma once

#include <optional>
#include <string>

#include "command.hpp"
#include "measure_options.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// How the viewer is opened.
struct WindowOptions {
  std::string plan;  ///< path; empty: the demo plan
  int width = 1280, height = 800;
  std::optional<double> scale;  ///< instead of the monitor's own
  std::optional<Theme> theme;
  std::string logbook;    ///< path; empty: the default one
  std::string athlete;    ///< whose gates the climb shows; empty: the plan's
  MeasureOptions record;  ///< of what really happened, shown beside the plan; nothing: none
  /// A testing aid: after every frame the session and all widgets are written here as JSON.
  std::string state_file;
  /// A testing aid: leave after this many frames; 0: never.
  int frames = 0;
};

/// The options of the program without a command.
void add_window_options(CLI::App& program, WindowOptions& options);

/// Opens the viewer and runs until it is closed. Exit::no_output without a display, Exit::bad_input for a
/// plan that cannot be read; both say why on standard error.
[[nodiscard]] Exit run_window(const WindowOptions& options);

}  // namespace halfturn
