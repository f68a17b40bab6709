#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "ladder/flight_facts.hpp"
#include "session/coaching.hpp"

namespace halfturn {

struct Library;
struct Session;

/// What the chosen rung is put beside.
enum class Pairing : unsigned char {
  axes,   ///< the same rotations off the other axis: both feet, or one leg swinging through
  sides,  ///< the same rung twisting to the other side
  forms,  ///< the same kick from another stance
  next,   ///< the next rung; the one below on top of the climb
  rung,   ///< any rung, of this climb or of the same climb from another base, takeoff or side
};
inline constexpr int pairing_count = 5;
/// "axis", "sides", "forms", "next", "rung".
[[nodiscard]] std::string_view pairing_word(Pairing pairing);

/// Who made the flight that a stage shows.
enum class FlightSource : unsigned char {
  simulated,  ///< by a body, where one gets there; drawn where none does
  drawn,      ///< as it is taught, whatever a body needs for it
  recorded,   ///< by the athlete: the record that is open, on the chosen rung only
};
inline constexpr int planned_source_count = 2;  ///< the first ones: those a plan keeps
/// "simulated", "drawn", "recorded".
[[nodiscard]] std::string_view flight_source_word(FlightSource source);

/// What one more stage shows, seen from the chosen rung.
struct StageChoice {
  Pairing pairing = Pairing::next;
  std::size_t form = 1;  ///< of Pairing::forms, from 1
  // Of Pairing::rung; what is empty is as on the first stage.
  std::optional<std::size_t> rung;
  std::string base, takeoff;
  std::optional<Side> side;
  FlightSource source = FlightSource::simulated;
  friend bool operator==(const StageChoice&, const StageChoice&) = default;
};

inline constexpr std::size_t most_stages = 4;

/// Several stages in one window: the chosen rung and what it is put beside.
struct Comparison {
  std::vector<StageChoice> beside{StageChoice{}};  ///< 1 to 3 of them, in the order of the stages
  FlightSource source = FlightSource::simulated;   ///< of the first stage
  Lock lock = Lock::share;
  bool overlaid = false;  ///< all flyers in one stage
  bool table = false;     ///< of differences
  friend bool operator==(const Comparison&, const Comparison&) = default;
};
/// The chosen rung beside one other.
[[nodiscard]] Comparison pair_of(Pairing pairing);

/// The chosen rung as it was recorded, beside what is shown: one more stage, or in place of the last one.
[[nodiscard]] Comparison with_record(const std::optional<Comparison>& comparison);
/// Without its recorded stages; empty when only the chosen rung is left.
[[nodiscard]] std::optional<Comparison> without_record(const Comparison& comparison);
/// Which stage is a recorded one, from 1; 0 where none is.
[[nodiscard]] std::size_t recorded_stage(const std::optional<Comparison>& comparison);

/// After a pair was asked for: the chosen rung beside it. Asked for once more: of three forms the other one,
/// else without it; empty when only the chosen rung is left.
[[nodiscard]] std::optional<Comparison> toggled_pair(const Session& session, Pairing pairing);

/// What a stage shows, in a ladder that is the chosen rung's own or one like it.
struct ComparedStage {
  std::shared_ptr<const Ladder> ladder;
  std::size_t rung = 0;
  FlightSource source = FlightSource::simulated;
  [[nodiscard]] const Rung& now() const { return ladder->rungs[rung]; }
};
/// A Problem in words when there is no such stage.
[[nodiscard]] Result<ComparedStage> stage_of(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                                             const StageChoice& choice, const Library& library);
/// A comparison with one more stage: the first pair of the usual ones that exists and is not shown yet. A
/// Problem in words when there is no room or nothing left to show.
[[nodiscard]] Result<Comparison> with_stage(const Session& session, const Library& library);
/// Without its last stage; empty when only the chosen rung is left.
[[nodiscard]] std::optional<Comparison> without_stage(const Comparison& comparison, std::size_t stage);

/// The moment of each of the flights, s, at the cursor of a session that compares them; by time a flight may
/// have ended before. The first is the chosen rung's.
[[nodiscard]] std::vector<double> compared_times(const Session& session, std::span<const Flight> flights);
/// Which of the flights the cursor runs along: the first, by time the longest.
[[nodiscard]] std::size_t leading_flight(const Comparison& comparison, std::span<const Flight> flights);
/// How long the cursor runs while flights are compared, s.
[[nodiscard]] double compared_duration(const Comparison& comparison, std::span<const Flight> flights);

/// "on-axis, off two feet", "left lead, off the right foot": what a stage shows.
[[nodiscard]] std::string stage_words(const Rung& rung);
/// "full", and where another has the same title what tells them apart: "full, right", "full, drawn".
[[nodiscard]] std::string stage_name(std::size_t stage, std::span<const ComparedStage> stages);

/// "drawn", "simulated", "recorded turn, drawn limbs": how the flight of a stage was come by.
[[nodiscard]] std::string made_words(const ComparedStage& stage, const Flight& flight);

/// What is compared: a rung and what its flight came to.
struct StageFacts {
  const Rung& rung;
  const FlightFacts& facts;
};

/// The heading over all stages.
struct CompareWords {
  std::string lead;     ///< "both land facing", "they land facing"
  std::string wall;     ///< "front wall", "front wall and back wall"
  std::string differs;  ///< "differs: axis, takeoff, 0.10 s of air"
  bool same_wall = true;
};
/// Of two stages or more.
[[nodiscard]] CompareWords compare_words(std::span<const StageFacts> stages, const Walls& walls);

/// One fact of every flight, in words.
struct CompareRow {
  std::string caption;
  std::vector<std::string> values;  ///< by stage
  [[nodiscard]] bool differs() const;
};
[[nodiscard]] std::vector<CompareRow> compare_table(std::span<const StageFacts> stages, const Walls& walls);

}  // namespace halfturn
