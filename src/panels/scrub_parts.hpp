#pragma once

#include "ui.hpp"

namespace halfturn {

/// The arc of a jump on the screen: time to the right, height of the centre of mass up; over `span_s` of
/// time, of which the flight is a part.
class Arc {
 public:
  Arc(const Flight& flight, const Layout& layout) : Arc(flight, layout, flight.duration()) {}
  Arc(const Flight& flight, const Layout& layout, double span_s);
  [[nodiscard]] double x_of(double t) const { return area_.x + area_.w * t / span_; }
  [[nodiscard]] double time_of(double x) const { return span_ * (x - area_.x) / area_.w; }
  /// On the arc at a share of the span.
  [[nodiscard]] Point at(double share) const;
  static constexpr int samples = 96;

 private:
  Rect area_;
  double ground_ = 0, span_ = 1;
  double heights_[samples + 1] = {};  // px over the ground line
};

/// What has been flown up to a share of the arc, what is ahead, and the ground line.
void show_arc(Ui& ui, const Arc& arc, double share);
/// The mark of an event at a point.
void show_event(Ui& ui, EventKind kind, Point p);
/// Marks of a flight's events on the ground line.
void show_events(Ui& ui, const Arc& arc, const Flight& flight);
/// A circle with a yellow mark at the side the chest is turned to; the start is up.
void show_bead(Ui& ui, Point p, double turn_deg);
/// The slider that the arc is, over its whole height: a drag seeks, from 0 to `longest_s`. `value` is what it
/// tells of the cursor.
void touch_scrub(Ui& ui, const Arc& arc, std::string value, double longest_s);
/// The round button and the speed beside it.
void show_play(Ui& ui);

}  // namespace halfturn
