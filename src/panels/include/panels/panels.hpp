#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "flight/flight.hpp"
#include "panels/fonts.hpp"
#include "panels/layout.hpp"
#include "session/coaching.hpp"
#include "session/edit.hpp"

namespace halfturn {

/// One widget or line of words as it was drawn: feeds tests, the text outline and the order of Tab.
struct WidgetRecord {
  enum class Kind : std::uint8_t { button, choice, slider, field, words } kind = Kind::words;
  std::string name;   ///< unique: "camera/side"
  std::string label;  ///< as shown: "side"
  std::string value;  ///< of sliders and fields
  bool on = false;    ///< a choice that is chosen
  Rect rect;          ///< design pixels
  std::string tip;    ///< more than the label says; empty: what the key for it does
  [[nodiscard]] bool takes_focus() const { return kind != Kind::words; }
};

/// A key and what it does, for the help page and the tooltips. `widget` names the widgets with the same
/// effect, parted by semicolons; one that ends in `*` stands for all that begin so.
struct KeyHelp {
  std::string keys, what, widget;
};

/// A file of the folder that the open page shows.
struct FileEntry {
  std::string name, path;
  bool folder = false;
};

/// What the stages of a comparison show, by stage, the chosen rung's first.
struct CompareInput {
  std::vector<Flight> flights;
  std::vector<const Coaching*> coaching;
  std::vector<unsigned> textures;  ///< overlaid: one
};

/// All that the panels read; nothing in it changes during a frame.
struct PanelInput {
  const Session& session;
  const Library& library;
  const Flight& flight;  ///< of the selected rung
  const Layout& layout;
  const Fonts& fonts;
  unsigned stage_texture = 0;  ///< 0: none, plain ground is drawn
  const std::vector<KeyHelp>& keys;
  const std::vector<FileEntry>& files;
  bool activate = false;                  ///< the key that presses the focused widget went down
  std::string_view tip{};                 ///< widget whose tooltip is shown
  const Coaching* coaching = nullptr;     ///< of the selected rung; null: not known yet
  const CompareInput* compare = nullptr;  ///< while several stages are shown
};

struct PanelOutput {
  std::vector<Edit> edits;
  std::vector<WidgetRecord> records;
  bool typing = false;    ///< a text field has the keyboard
  bool dragging = false;  ///< the picture should be drawn quickly rather than finely
  std::string hovered;    ///< widget under the mouse; empty: none
};

/// Draws everything inside a Dear ImGui frame and tells what the coach did.
[[nodiscard]] PanelOutput show_panels(const PanelInput& input);

/// Box at the top left that the answer's words cover, whichever rung is shown; design pixels.
[[nodiscard]] Rect answer_extent(const Session& session, const Layout& layout, const Fonts& fonts);

/// Name of the widget that Tab (+1) or Shift+Tab (-1) goes to; empty when there is none.
[[nodiscard]] std::string next_focus(const std::vector<WidgetRecord>& records, const std::string& focus,
                                     int direction);

/// What is on the screen as lines of text, in reading order.
[[nodiscard]] std::string text_outline(const std::vector<WidgetRecord>& records);

/// Texts of a session that may hold letters beyond the interface's own.
[[nodiscard]] std::vector<std::string_view> texts_of(const Session& session,
                                                     const std::vector<FileEntry>& files);

}  // namespace halfturn
