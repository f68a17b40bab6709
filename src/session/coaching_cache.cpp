#include "session/coaching_cache.hpp"

#include <algorithm>

namespace halfturn {
namespace {

constexpr std::size_t most_kept = 32;

}  // namespace

const Coaching& CoachingCache::of(const Ladder& ladder, std::size_t rung, const Flight& flight,
                                  const HumanBody& body, std::string_view whose) {
  const auto known =
      std::find_if(kept_.begin(), kept_.end(), [&](const auto& kept) { return kept.first.is(flight); });
  if (known != kept_.end()) {
    kept_.splice(kept_.end(), kept_, known);
    return known->second;
  }
  if (kept_.size() >= most_kept) kept_.pop_front();
  kept_.emplace_back(flight, coaching_of(ladder, rung, flight, body, whose));
  return kept_.back().second;
}

}  // namespace halfturn
