#pragma once

#include <memory>
#include <optional>

#include "class_keeper.hpp"
#include "newest_job.hpp"
#include "session/session.hpp"

namespace halfturn {

/// Finds out in a thread of its own how the rung in play would land when takeoffs vary: with the spread of
/// the chosen athlete's attempts where there are enough.
class SpreadKeeper {
 public:
  /// `wake` is called from another thread when an answer has come.
  explicit SpreadKeeper(std::function<void()> wake) : job_(std::move(wake)) {}

  /// What is to be shown now, if that has changed: that it is being computed, or the answer.
  [[nodiscard]] std::optional<Edit> news(const Session& session, const ClassKeeper& keeper);
  [[nodiscard]] bool has_news() const { return job_.has_news(); }

 private:
  std::shared_ptr<const SpreadShown> asked_;
  int asked_reading_ = -1;  ///< of the logbook
  NewestJob<std::shared_ptr<const SpreadShown>> job_;
};

}  // namespace halfturn
