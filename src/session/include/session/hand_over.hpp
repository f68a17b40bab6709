#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace halfturn {

struct Session;

/// What a student can be given.
enum class HandOverForm : unsigned char {
  sheet,        ///< the climb, to print
  class_sheet,  ///< names by rungs, to print and tick
  wall_card,    ///< large, to print
  moment,       ///< a picture of the stage at the cursor
  exposures,    ///< a picture of the whole flight
  film,         ///< of the rung
  climb_film,
  walk_film,
  page,          ///< for a phone
  model,         ///< a 3D file
  orientations,  ///< over time, a table
};
inline constexpr int hand_over_form_count = 11;

/// "sheet", "class sheet": the button. Unique.
[[nodiscard]] std::string_view hand_over_word(HandOverForm form);
/// What it is, as a sentence.
[[nodiscard]] std::string_view hand_over_words(HandOverForm form);
/// Whether it takes long enough to be stopped on the way.
[[nodiscard]] bool hand_over_takes_long(HandOverForm form);

/// Something being handed over, or about to be.
struct HandOver {
  HandOverForm form = HandOverForm::sheet;
  std::string path;  ///< of the file to be made, as typed
  bool running = false;
  int percent = -1;  ///< of the work that is done; negative: not known
};

/// A path for another form: a name that was offered before is offered anew, one that was typed keeps its
/// stem.
[[nodiscard]] std::string hand_over_path(const Session& session, const HandOver& before, HandOverForm form);

/// What the program is called with to make it out of the plan in the file `plan`: what is seen is what is
/// made. `logbook` is the file that knows the athlete who flies; empty: the default one.
[[nodiscard]] std::vector<std::string> hand_over_arguments(const Session& session, const std::string& plan,
                                                           const std::string& logbook = "");

}  // namespace halfturn
