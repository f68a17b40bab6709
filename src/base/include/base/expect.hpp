#pragma once

#include <cstdio>
#include <cstdlib>

namespace halfturn {

[[noreturn]] inline void expectation_failed(const char* condition, const char* file, int line) {
  std::fprintf(stderr, "halfturn: internal error: expected %s (%s:%d)\n", condition, file, line);
  std::abort();
}

}  // namespace halfturn

/// Checks what only a programmer can get wrong; kept in every build.
#define HT_EXPECT(condition) \
  ((condition) ? static_cast<void>(0) : ::halfturn::expectation_failed(#condition, __FILE__, __LINE__))
