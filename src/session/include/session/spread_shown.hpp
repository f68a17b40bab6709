#pragma once

#include <optional>
#include <string>

#include "ladder/spread_answer.hpp"
#include "scene/view.hpp"

namespace halfturn {

/// How the rung would land when takeoffs vary, as the app has found out: estimates of a model.
struct SpreadShown {
  Plan plan;  ///< that it belongs to, with its rung
  std::size_t rung = 0;
  SpreadQuestion question;
  std::string body, source;            ///< whose body flies, where the spread comes from; in words
  std::optional<SpreadAnswer> answer;  ///< empty: still being computed
};

/// The landings of a rung as a rose about its planned heading at first contact; empty where there are none.
[[nodiscard]] std::optional<LandingRose> rose_of(const Rung& rung, const SpreadAnswer& answer);

/// "82 % (79 to 84 %)".
[[nodiscard]] std::string share_words(const RungSpread& spread);
/// What a next step could be, or why there is none.
[[nodiscard]] std::string next_step_words(const SpreadAnswer& answer, const SpreadQuestion& question,
                                          std::string_view rung);

}  // namespace halfturn
