#pragma once

#include "format/attempt_file.hpp"

namespace halfturn {

/// An attempt from the object that it is in a file.
[[nodiscard]] AttemptRow read_attempt_row(const JsonReader& json, const Vocabulary& vocabulary);

}  // namespace halfturn
