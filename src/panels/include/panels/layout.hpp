#pragma once

#include <array>
#include <cstdint>

#include "session/session.hpp"

namespace halfturn {

/// A rectangle in design pixels (framebuffer pixels divided by the scale), y down.
struct Rect {
  double x = 0, y = 0, w = 0, h = 0;
  [[nodiscard]] double right() const { return x + w; }
  [[nodiscard]] double bottom() const { return y + h; }
  [[nodiscard]] double mid_x() const { return x + w / 2; }
  [[nodiscard]] double mid_y() const { return y + h / 2; }
  [[nodiscard]] bool empty() const { return w <= 0 || h <= 0; }
  [[nodiscard]] bool contains(double px, double py) const {
    return px >= x && px < right() && py >= y && py < bottom();
  }
  friend bool operator==(const Rect&, const Rect&) = default;
};

/// How much room there is.
enum class Form : std::uint8_t {
  wide,     ///< everything, as designed for 1440 x 900
  compact,  ///< 900 x 600: three rungs, one camera button
  tiny,     ///< answer and scrub, as far as they fit
};

/// Framebuffer pixels per design pixel: the window over 1440 x 900 in quarters, at least the monitor's own
/// scale, larger for large type as long as the compact form still fits.
[[nodiscard]] double ui_scale(int width_px, int height_px, double monitor_scale, TextSize text_size);

/// Where everything is. What does not fit is an empty rectangle; rectangles of one sheet never overlap.
struct Layout {
  double scale = 1;
  Form form = Form::wide;
  double width = 0, height = 0;  ///< of the window
  double margin = 40;
  Rect lead, answer, cameras, tools;  ///< words, camera buttons, the row of other buttons
  Rect climb_header, climb;           ///< words over the ladder, the ladder
  Rect play, speed, scrub_words, scrub;
  bool small_pills = false;  ///< of cameras and tools
  Rect curves;               ///< over the scrub, when shown
  Rect notice;               ///< one line for a sentence to the coach
  Rect sheet;                ///< page over the left of the stage
  Rect walk_dial;            ///< right of the walk sheet
  // Several stages beside each other, or one for all of them; empty while nothing is compared.
  std::array<Rect, most_stages> panes;
  Rect compare_words, pairs, table, locks;
  /// Height at the top of each pane that its words cover; 0 where it is too low for them and the table names
  /// the stages instead.
  double pane_words = 0;
  double pane_words_w = 0;        ///< of flyers that share a stage: width at its left that their names cover
  Rect record_scrub;              ///< under the stage of a record: its own time
  Rect chain_stage, chain_scrub;  ///< right of the page of a chain: where it plays, and its cursor
  // On the wall: words at the left of the stage, at a scale that makes them legible across a gym.
  Rect wall_words;
  double ground_y = 0;  ///< line under the arc of the scrub
  double arc_height = 62;
  double pitch = 163, plate_w = 306, plate_h = 84;  ///< rungs of the climb
};
[[nodiscard]] Layout layout(int width_px, int height_px, double scale, bool curves, Sheet sheet);
/// The layout of what a session shows: one stage, several, or the words for a whole gym.
/// `scale` as ui_scale gives it; on the wall the layout's own is larger.
[[nodiscard]] Layout layout_of(const Session& session, int width_px, int height_px, double scale);

}  // namespace halfturn
