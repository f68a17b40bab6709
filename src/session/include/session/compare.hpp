#pragma once

#include <array>
#include <cstddef>
#include <memory>
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
  rung,   ///< any rung of the same climb
};
inline constexpr int pairing_count = 5;
/// "axis", "sides", "forms", "next", "rung".
[[nodiscard]] std::string_view pairing_word(Pairing pairing);

/// Two stages in one window: the chosen rung and what it is put beside.
struct Comparison {
  Pairing pairing = Pairing::next;
  Lock lock = Lock::share;
  std::size_t rung = 0;  ///< of Pairing::rung
  std::size_t form = 1;  ///< of Pairing::forms, from 1
  bool table = true;     ///< of differences
  friend bool operator==(const Comparison&, const Comparison&) = default;
};

/// The rung of the second stage, in a ladder that is the chosen rung's own or one like it.
struct Partner {
  std::shared_ptr<const Ladder> ladder;
  std::size_t rung = 0;
  [[nodiscard]] const Rung& now() const { return ladder->rungs[rung]; }
};
/// A Problem in words when there is no such pair.
[[nodiscard]] Result<Partner> partner_of(const std::shared_ptr<const Ladder>& ladder, std::size_t rung,
                                         const Comparison& comparison, const Library& library);

/// The moment of each of the two flights, s, at the cursor of a session that compares them; by time a flight
/// may have ended before.
[[nodiscard]] std::array<double, 2> compared_times(const Session& session, const Flight& first,
                                                   const Flight& second);
/// How long the cursor runs while two flights are compared, s.
[[nodiscard]] double compared_duration(const Comparison& comparison, const Flight& first,
                                       const Flight& second);

/// "on-axis, off two feet", "left lead, off the right foot": what a stage shows.
[[nodiscard]] std::string stage_words(const Rung& rung);

/// The heading over both stages.
struct CompareWords {
  std::string lead;     ///< "both land facing", "they land facing"
  std::string wall;     ///< "front wall", "front wall and back wall"
  std::string differs;  ///< "differs: axis, takeoff, 0.10 s of air"
  bool same_wall = true;
};
[[nodiscard]] CompareWords compare_words(const Rung& first, const FlightFacts& first_facts,
                                         const Rung& second, const FlightFacts& second_facts,
                                         const Walls& walls);

/// One fact of both flights, in words.
struct CompareRow {
  std::string caption, first, second;
  [[nodiscard]] bool differs() const { return first != second; }
};
[[nodiscard]] std::vector<CompareRow> compare_table(const Rung& first, const FlightFacts& first_facts,
                                                    const Rung& second, const FlightFacts& second_facts,
                                                    const Walls& walls);

}  // namespace halfturn
