#pragma once

#include <memory>

#include "stage/letter_set.hpp"

namespace halfturn {

/// The letters that the page's fonts give: weights 500, 700 and 800 of the family "HalfturnInter".
[[nodiscard]] std::unique_ptr<LetterSet> browser_letters();

}  // namespace halfturn
