#pragma once

#include <string>

#include "logbook_options.hpp"

namespace halfturn {

/// What `halfturn attempt` was told, still as text.
struct AttemptOptions : LogbookOptions, RungOptions {
  std::string name, outcome, shorter, longer, contact_heading, upright, air_time, note, time, session, since,
      limit = "20", output, file, merge, decision, reason, recorded;
  bool on_plan = false, measured = false, csv = false, add_athletes = false, same_names = false;
};

/// Attempts and whole logbooks as files.
[[nodiscard]] Exit export_attempts(const AttemptOptions& options);
[[nodiscard]] Exit import_attempts(const AttemptOptions& options);
[[nodiscard]] Exit merge_logbook(const AttemptOptions& options);

}  // namespace halfturn
