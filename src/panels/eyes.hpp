#pragma once

#include <optional>
#include <vector>

#include "ui.hpp"

namespace halfturn {

/// The row of gazes under the cameras, while the picture is seen through the athlete's eyes.
void show_gaze(Ui& ui);

/// A ring with a dot: an eye that opens.
void show_eye(Ui& ui, Point at);
/// On the ground line of the scrub: when the landing is in view with the gaze that is chosen.
void show_sight_spans(Ui& ui);

/// Where words of a row stand, design pixels along it.
struct WordPlace {
  double from = 0, to = 0;
};
/// The words for the spans, as near to the last one as words already placed in the row allow.
void place_sight_words(Ui& ui, double y, std::vector<WordPlace>& placed);

}  // namespace halfturn
