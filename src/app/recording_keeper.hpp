#pragma once

#include <memory>
#include <optional>
#include <string>

#include "measure_options.hpp"
#include "newest_job.hpp"
#include "session/edit.hpp"

namespace halfturn {

/// Holds the record that the window shows beside the plan: reads it in a thread of its own, takes answers to
/// its questions, and measures it anew for every rung and every mark.
class RecordingKeeper {
 public:
  /// `answers`: what the command line said about the record, its name included. `wake` is called from another
  /// thread when a record has been read.
  RecordingKeeper(MeasureOptions answers, std::function<void()> wake);

  /// Opens another record, with nothing known about it; an empty path closes the one that is open.
  void open(const std::string& path);
  /// One answer, as an option of `halfturn measure`.
  void answer(const std::string& option, const std::string& words);
  /// Takeoff and landing by hand, s of the record; empty: as found.
  void mark(const std::optional<Span>& marks);
  /// What is to be shown now, if that has changed. `athlete` is whose attempt would be logged.
  [[nodiscard]] std::optional<Edit> news(const Session& session, const std::string& athlete);
  [[nodiscard]] bool has_news() const { return stale_ || job_.has_news(); }

 private:
  using Settled = std::shared_ptr<const Result<SettledRecord>>;
  void read();
  void keep_stretch(const FoundFlight& flight);
  [[nodiscard]] std::shared_ptr<const RecordShown> measured(const Session& session);

  MeasureOptions answers_;
  NewestJob<Settled> job_;
  Settled settled_;  ///< null while it is being read
  RecordShown shown_;
  bool stale_ = false;  ///< something was opened, answered, marked or read since it was told
  Plan told_plan_;
  std::size_t told_rung_ = 0;
  std::string told_athlete_;
};

/// A record or the marks of a video against a rung, for commands; problems name the file or the option.
[[nodiscard]] Result<RecordedAttempt> attempt_of(const MeasureOptions& options, const Ladder& ladder,
                                                 std::size_t rung);

}  // namespace halfturn
