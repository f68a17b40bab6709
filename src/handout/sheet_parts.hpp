#pragma once

#include "flight/flight.hpp"
#include "ladder/ladder.hpp"
#include "paper.hpp"
#include "scene/palette.hpp"

namespace halfturn {

/// The colours of a sheet: the light palette on white paper.
[[nodiscard]] const Palette& paper_palette();

/// A rung seen from above, the start up: ring, start arrow, the turn as a band that winds inwards once per
/// full turn, the facing on landing as a wedge with the landing arrow outside. `radius` of the ring, points;
/// the landing arrow reaches 1.36 of it.
void draw_dial(Paper& paper, PaperPoint centre, double radius, const Rung& rung);

/// The athlete from above: shoulders with a ball at the left and a square at the right, and the facing wedge.
void draw_small_dial(Paper& paper, PaperPoint centre, double radius, double turn_deg);

/// A round left or a square right badge with its letter.
void draw_side_badge(Paper& paper, PaperPoint centre, double radius, Side side);

/// A step's turn: a bent arrow the way the chest goes.
void draw_turn_arrow(Paper& paper, PaperPoint centre, double size, double turn_deg);

/// Boxes to tick; gives the width taken.
double draw_boxes(Paper& paper, PaperPoint top_left, int count, double size);

/// A rectangle of the page.
struct PaperBox {
  double x = 0, y = 0, w = 0, h = 0;
};
/// Figures through a flight from takeoff to landing, each at its height over a ground line, with its moment
/// and a small dial below.
void draw_strip(Paper& paper, const PaperBox& box, const Ladder& ladder, std::size_t rung,
                const Flight& flight);

}  // namespace halfturn
