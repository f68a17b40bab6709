#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "skill/difficulty.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// Reads a vocabulary file (format "halfturn-vocabulary"). `base` is what it extends: a skill of the same
/// name replaces the one there, lists of setups, takeoffs and surfaces grow. Problems name the key path,
/// `skills[3].rows[1]...`.
[[nodiscard]] Result<Vocabulary> read_vocabulary(std::string_view text, const std::string& file,
                                                 Vocabulary base = {});

/// Reads a difficulty file (format "halfturn-difficulty").
[[nodiscard]] Result<DifficultyTable> read_difficulty(std::string_view text, const std::string& file);

/// What the program carries: the files of assets/.
[[nodiscard]] const Vocabulary& built_in_vocabulary();
[[nodiscard]] const DifficultyTable& built_in_difficulty();

}  // namespace halfturn
