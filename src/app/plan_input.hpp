#pragma once

#include <string>
#include <utility>

#include "base/result.hpp"
#include "format/plan_file.hpp"
#include "ladder/ladder.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// The ladder of a plan file, or of the demo plan; problems name the file.
struct LoadedPlan {
  PlanFile file;
  Ladder ladder;
};
[[nodiscard]] Result<LoadedPlan> load_ladder(const std::string& path, bool demo);

/// "1280x720", each side from `least` to 8192 pixels; the problem names --size.
[[nodiscard]] Result<std::pair<int, int>> parse_picture_size(const std::string& text, int least);
/// A rung's number; the problem names --rung and says which there are.
[[nodiscard]] Result<std::size_t> parse_rung_number(const std::string& text, const Ladder& ladder);

/// The theme and camera of a word that the options let through; light and side for the rest.
[[nodiscard]] Theme theme_of(const std::string& word);
[[nodiscard]] CameraKind camera_of(const std::string& word);

}  // namespace halfturn
