#pragma once

#include <optional>
#include <string>
#include <vector>

#include "panels/panels.hpp"
#include "session/edit.hpp"

namespace halfturn {

/// What a key does.
enum class Action : std::uint8_t {
  play,
  frame_back,
  frame_on,
  ten_frames_back,
  ten_frames_on,
  takeoff,
  landing,
  rung_up,
  rung_down,
  next_focus,
  previous_focus,
  press,
  close,
  side_camera,
  front_camera,
  above_camera,
  eyes_camera,
  gaze,
  reset_camera,
  slower,
  faster,
  whole_climb,
  plan,
  walk,
  finish,
  chain,
  take_out,
  record,
  spread,
  curves,
  pair_axes,
  pair_sides,
  pair_forms,
  pair_next,
  lock,
  more_stages,
  fewer_stages,
  overlay,
  wall,
  more,
  other_side,
  split,
  both_sides,
  theme,
  large_type,
  list_up,
  list_down,
  undo,
  redo,
  open,
  save,
  save_as,
  hand_over,
  help,
  terms,
  quit,
  board,
  tap_1,  ///< the first tap of a class board; the others follow
};

/// One key and what it does: the only list of keys; help, tooltips and documents read it.
struct KeyBinding {
  int key;  ///< GLFW key
  bool control, shift;
  Action action;
  const char* keys;    ///< as written for people
  const char* what;    ///< what it does
  const char* widget;  ///< the widget with the same effect, or ""
};
[[nodiscard]] const std::vector<KeyBinding>& key_bindings();
[[nodiscard]] const std::vector<KeyHelp>& key_help();

/// Whether holding its key does it again and again.
[[nodiscard]] bool repeats(Action action);
/// GLFW names keys by their places on a US keyboard; this is the letter that the coach's own layout has
/// there.
[[nodiscard]] int key_of_layout(int key, int scancode);

/// The action of a key with its modifiers; empty when there is none. While a text is typed only close, press
/// with control and Tab act.
[[nodiscard]] std::optional<Action> action_of(int key, bool control, bool shift, bool typing);

/// The edits an action stands for in a session; those of focus and press are the window's own.
[[nodiscard]] std::vector<Edit> edits_of(Action action, const Session& session);

}  // namespace halfturn
