#pragma once

#include <cstddef>
#include <functional>

namespace halfturn {

/// Does each of `count` pieces of work once, several at a time; 0 threads: as many as the machine has, up
/// to 8.
void share_out(std::size_t count, const std::function<void(std::size_t)>& work, unsigned threads = 0);

}  // namespace halfturn
