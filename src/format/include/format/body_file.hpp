#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "body/tree.hpp"

namespace halfturn {

/// Reads a body (`halfturn-body`, version 1): any tree of segments. Keys that start with `note` are ignored,
/// other unknown keys are a problem.
[[nodiscard]] Result<BodyTree> read_body(std::string_view text, const std::string& file);

}  // namespace halfturn
