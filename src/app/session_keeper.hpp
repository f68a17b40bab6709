#pragma once

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "class_keeper.hpp"
#include "hand_over_keeper.hpp"
#include "recording_keeper.hpp"
#include "session/coaching_cache.hpp"
#include "session/edit.hpp"
#include "session/flight_cache.hpp"
#include "simulation_worker.hpp"
#include "spread_keeper.hpp"
#include "user_files.hpp"

namespace halfturn {

/// Holds the session of the viewer, applies edits to it and does what they ask of the disk: plans, settings,
/// folders, flights. Knows no window.
class SessionKeeper {
 public:
  /// `lent_theme`: a theme for this time only, that is not kept as the person's own.
  /// `class_keeper` answers what the session asks of the logbook. `wake` is called from another thread when a
  /// simulated flight has come. `record`: what really happened, to be shown beside the rung.
  SessionKeeper(Session session, UserFiles files, const Theme* lent_theme, ClassKeeper class_keeper,
                std::function<void()> wake = {}, MeasureOptions record = {});

  [[nodiscard]] const Session& session() const { return session_; }
  [[nodiscard]] const Library& library() const { return library_; }
  [[nodiscard]] const std::vector<FileEntry>& entries() const { return entries_; }
  [[nodiscard]] bool quits() const { return quit_; }
  [[nodiscard]] const Flight& flight(std::size_t rung) { return cache_.flight(*session_.ladder, rung); }
  [[nodiscard]] const Coaching& coaching(std::size_t rung) {
    return coaching_cache_.of(*session_.ladder, rung, flight(rung), *flyer_.body, flyer_.whose);
  }
  /// Of all stages of a comparison; none while there is one stage.
  [[nodiscard]] std::vector<Flight> stage_flights();
  /// Of the skills of the chain, by stop; empty without one.
  [[nodiscard]] const std::vector<std::optional<Flight>>& chain_flights();
  /// Of one of them, whose flight is given.
  [[nodiscard]] const Coaching& stage_coaching(std::size_t stage, const Flight& flight) {
    return coaching_cache_.of(*session_.stages[stage].ladder, session_.stages[stage].rung, flight,
                              *flyer_.body, flyer_.whose);
  }

  void push(Edit edit) { pending_.push_back(std::move(edit)); }
  /// Whether simulated flights of the plan are still to come.
  [[nodiscard]] bool simulating() const { return worker_.busy() || worker_.has_news(); }
  [[nodiscard]] bool has_pending() const {
    return !pending_.empty() || worker_.has_news() || spread_keeper_.has_news() || hand_over_.has_news() ||
           recording_keeper_.has_news();
  }
  /// Applies what was pushed, and what that in turn asks for. True when anything but time has moved on.
  bool apply_pending();
  /// Writes settings and recent files; a problem is told once.
  void keep_user_files();

 private:
  void on_sheet(Sheet before);
  bool take_simulations();
  void tell_air();
  void do_request(const Request& request);
  void open(const std::string& typed);
  void save(const std::string& path);
  void start_hand_over();
  void keep_view();
  [[nodiscard]] double cursor_length();

  Library library_;
  Session session_;
  UserFiles files_;
  std::optional<Theme> lent_theme_;
  Theme own_theme_;
  FlightCache cache_;
  std::array<FlightCache, most_stages> stage_caches_;  // of those that show another climb
  std::shared_ptr<const ChainRun> flown_chain_;
  std::vector<std::optional<Flight>> chain_flights_;  // of it
  Flyer flyer_;                                       // the chosen athlete, else an average adult
  int flyer_reading_ = 0;                             // of the logbook, that the flyer was taken from
  std::vector<std::optional<AirShown>> air_;          // by rung, as the flights come
  std::optional<Plan> simulated_;                     // whose rungs the worker was asked for
  std::vector<std::string> why_drawn_;  // by rung, until it is told; empty where a flight is simulated
  SimulationWorker worker_;
  CoachingCache coaching_cache_;
  ClassKeeper class_keeper_;
  SpreadKeeper spread_keeper_;
  HandOverKeeper hand_over_;
  RecordingKeeper recording_keeper_;
  std::vector<Edit> pending_;
  std::vector<FileEntry> entries_;
  std::string replace_;  // file that one more save replaces
  bool quit_ = false, told_unwritable_ = false;
};

/// A session on the plan at a path, or on the demo plan when the path is empty, with what the person keeps.
[[nodiscard]] Result<Session> start_session(const std::string& path, const Library& library,
                                            const Settings& settings, std::vector<std::string> recent);

}  // namespace halfturn
