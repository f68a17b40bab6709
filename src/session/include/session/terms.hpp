#pragma once

#include <span>
#include <string_view>

namespace halfturn {

/// A word of the trade and what it means, in one plain sentence without a full stop.
struct Term {
  std::string_view word, meaning;
};

/// All of them, by the alphabet. Common practice; gyms differ, so the coach's own use of a word counts.
[[nodiscard]] std::span<const Term> terms();

/// The term that stands in a text as words of its own, whatever its capitals, alone or with a plural s: the
/// longest, of those the first in the text. Null when there is none.
[[nodiscard]] const Term* term_in(std::string_view text);

}  // namespace halfturn
