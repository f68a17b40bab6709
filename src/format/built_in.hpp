#pragma once

#include <utility>

#include "base/result.hpp"

namespace halfturn {

/// What a file of our own reads to. One that does not read is a mistake of the build, found by every test.
template <class T>
T built_in(Result<T> result) {
  if (!result) expectation_failed(result.problem().message().c_str(), __FILE__, __LINE__);
  return std::move(result).value();
}

}  // namespace halfturn
