#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>

#include "base/expect.hpp"

namespace halfturn {

/// What a person got wrong: in which file, where in it, what is wrong and what would be right.
struct Problem {
  std::string file;   ///< path, or empty for a command line
  std::string place;  ///< key path or option, for instance `rungs[2].step_deg` or `--step`
  std::string text;   ///< a sentence: what is wrong and what would be right

  /// One line, `file: place: text`, leaving out what is empty.
  [[nodiscard]] std::string message() const {
    std::string line;
    for (const std::string* part : {&file, &place}) {
      if (!part->empty()) line += *part + ": ";
    }
    return line + text;
  }
};

/// A value, or the problem that kept it from being made.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : content_(std::in_place_index<0>, std::move(value)) {}  // NOLINT: converts by design
  Result(Problem problem)
      : content_(std::in_place_index<1>, std::move(problem)) {}  // NOLINT: converts by design

  [[nodiscard]] bool ok() const { return content_.index() == 0; }
  explicit operator bool() const { return ok(); }

  [[nodiscard]] const T& value() const& {
    HT_EXPECT(ok());
    return std::get<0>(content_);
  }
  [[nodiscard]] T&& value() && {
    HT_EXPECT(ok());
    return std::get<0>(std::move(content_));
  }
  [[nodiscard]] const Problem& problem() const {
    HT_EXPECT(!ok());
    return std::get<1>(content_);
  }
  const T& operator*() const& { return value(); }
  T&& operator*() && { return std::move(*this).value(); }
  const T* operator->() const { return &value(); }

 private:
  std::variant<T, Problem> content_;
};

/// Success, or the problem.
using Outcome = std::optional<Problem>;

}  // namespace halfturn
