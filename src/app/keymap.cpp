#include "keymap.hpp"

#include <GLFW/glfw3.h>

namespace halfturn {
namespace {

constexpr int list_page = 6;  // lines that a key goes through a long list

}  // namespace

const std::vector<KeyBinding>& key_bindings() {
  static const std::vector<KeyBinding> bindings{
      {GLFW_KEY_SPACE, false, false, Action::play, "space", "play or pause", "play"},
      {GLFW_KEY_LEFT, false, false, Action::frame_back, "left", "one frame back", ""},
      {GLFW_KEY_RIGHT, false, false, Action::frame_on, "right", "one frame on", ""},
      {GLFW_KEY_LEFT, false, true, Action::ten_frames_back, "shift left", "ten frames back", ""},
      {GLFW_KEY_RIGHT, false, true, Action::ten_frames_on, "shift right", "ten frames on", ""},
      {GLFW_KEY_HOME, false, false, Action::takeoff, "home", "to the takeoff", ""},
      {GLFW_KEY_END, false, false, Action::landing, "end", "to the landing", ""},
      {GLFW_KEY_UP, false, false, Action::rung_up, "up", "up the climb", ""},
      {GLFW_KEY_DOWN, false, false, Action::rung_down, "down", "down the climb", ""},
      {GLFW_KEY_S, false, false, Action::side_camera, "S", "from the side", "camera/side"},
      {GLFW_KEY_F, false, false, Action::front_camera, "F", "from the front", "camera/front"},
      {GLFW_KEY_A, false, false, Action::above_camera, "A", "from above", "camera/above"},
      {GLFW_KEY_E, false, false, Action::eyes_camera, "E", "from the athlete's eyes", "camera/eyes"},
      {GLFW_KEY_G, false, false, Action::gaze, "G", "through the eyes: ahead, over the shoulder, chin down",
       "gaze/*"},
      {GLFW_KEY_BACKSPACE, false, false, Action::reset_camera, "backspace", "camera back in its place", ""},
      {GLFW_KEY_COMMA, false, false, Action::slower, ",", "half as fast", "speed"},
      {GLFW_KEY_PERIOD, false, false, Action::faster, ".", "twice as fast", "speed"},
      {GLFW_KEY_C, false, false, Action::whole_climb, "C", "play the whole climb", "play/whole climb"},
      {GLFW_KEY_P, false, false, Action::plan, "P", "change the plan", "tool/plan;look/plan"},
      {GLFW_KEY_W, false, false, Action::walk, "W", "walk it on the floor", "tool/walk it;look/walk it"},
      {GLFW_KEY_W, false, true, Action::chain, "shift W", "a chain: setup, skill, transition, skill",
       "look/chain"},
      {GLFW_KEY_DELETE, false, false, Action::take_out, "delete", "chain: take the picked link out",
       "chain/take out"},
      {GLFW_KEY_R, false, false, Action::finish, "R", "ready? how to finish this rung",
       "tool/finish;look/finish"},
      {GLFW_KEY_R, false, true, Action::record, "shift R", "a record of what really happened", "look/record"},
      {GLFW_KEY_Z, false, false, Action::spread, "Z", "where it would land if takeoffs vary", "look/spread"},
      {GLFW_KEY_I, false, false, Action::curves, "I", "the instructor's curves", "tool/curves;look/curves"},
      {GLFW_KEY_X, false, false, Action::pair_axes, "X", "beside it: off the other axis", "pair/axis"},
      {GLFW_KEY_O, false, true, Action::pair_sides, "shift O", "beside it: the other twister", "pair/sides"},
      {GLFW_KEY_J, false, false, Action::pair_forms, "J", "beside it: the kick from another stance",
       "pair/forms"},
      {GLFW_KEY_U, false, false, Action::pair_next, "U", "beside it: the next rung", "pair/next"},
      {GLFW_KEY_Y, false, false, Action::lock, "Y", "lock two stages by time, share, flip angle", "lock/*"},
      {GLFW_KEY_D, false, false, Action::more_stages, "D", "one more stage, up to four", "compare/more"},
      {GLFW_KEY_D, false, true, Action::fewer_stages, "shift D", "one stage less", "stage page/take away"},
      {GLFW_KEY_Q, false, false, Action::overlay, "Q", "all flyers in one stage, or apart",
       "compare/overlay"},
      {GLFW_KEY_V, false, false, Action::wall, "V", "on the wall: very large words", "look/on the wall"},
      {GLFW_KEY_M, false, false, Action::more, "M", "more: files, colours, text", "tool/more"},
      {GLFW_KEY_O, false, false, Action::other_side, "O", "the other twister: left or right", "climb/side"},
      {GLFW_KEY_N, false, false, Action::both_sides, "N", "both twisters beside each other",
       "shown/both sides"},
      {GLFW_KEY_H, false, false, Action::split, "H", "halve the step to this rung", "step/*"},
      {GLFW_KEY_T, false, false, Action::theme, "T", "light, dark, sunlight", "theme/*"},
      {GLFW_KEY_L, false, false, Action::large_type, "L", "larger text", "text/*"},
      {GLFW_KEY_Z, true, false, Action::undo, "ctrl Z", "undo", "file/undo;sheet/undo"},
      {GLFW_KEY_Z, true, true, Action::redo, "ctrl shift Z", "redo", "file/redo;sheet/redo"},
      {GLFW_KEY_O, true, false, Action::open, "ctrl O", "open a plan", "file/open"},
      {GLFW_KEY_S, true, false, Action::save, "ctrl S", "save the plan", "file/save;sheet/save"},
      {GLFW_KEY_S, true, true, Action::save_as, "ctrl shift S", "save the plan as", "file/save as"},
      {GLFW_KEY_P, true, false, Action::hand_over, "ctrl P", "hand it over: sheet, picture, film, page",
       "file/hand over"},
      {GLFW_KEY_PAGE_UP, false, false, Action::list_up, "page up", "up a long list; without one, back a rung",
       "list/up"},
      {GLFW_KEY_PAGE_DOWN, false, false, Action::list_down, "page down",
       "down a long list; without one, the next rung", "list/down"},
      {GLFW_KEY_TAB, false, false, Action::next_focus, "tab", "to the next control", ""},
      {GLFW_KEY_TAB, false, true, Action::previous_focus, "shift tab", "to the control before", ""},
      {GLFW_KEY_ENTER, false, false, Action::press, "enter", "press the control", ""},
      {GLFW_KEY_ESCAPE, false, false, Action::close, "escape", "close the page",
       "sheet/done;sheet/back;sheet/stay"},
      {GLFW_KEY_K, false, false, Action::help, "K", "these keys", "sheet/keys"},
      {GLFW_KEY_K, false, true, Action::terms, "shift K", "what the words mean", "sheet/terms"},
      {GLFW_KEY_B, false, false, Action::board, "B", "the class board", "look/class"},
      {GLFW_KEY_1, false, false, Action::tap_1, "1 to 8",
       "class board: log an attempt; stages: 1 to 4, what it shows", "stage/*"},
      {GLFW_KEY_Q, true, false, Action::quit, "ctrl Q", "leave", ""},
  };
  return bindings;
}

const std::vector<KeyHelp>& key_help() {
  static const std::vector<KeyHelp> help = [] {
    std::vector<KeyHelp> all;
    for (const KeyBinding& binding : key_bindings())
      all.push_back({binding.keys, binding.what, binding.widget});
    return all;
  }();
  return help;
}

std::optional<Action> action_of(int key, bool control, bool shift, bool typing) {
  if (key == GLFW_KEY_KP_ENTER) key = GLFW_KEY_ENTER;
  if (key >= GLFW_KEY_KP_1 && key <= GLFW_KEY_KP_8) key = GLFW_KEY_1 + (key - GLFW_KEY_KP_1);
  if (key > GLFW_KEY_1 && key <= GLFW_KEY_8 && !control && !shift && !typing) {
    return static_cast<Action>(static_cast<int>(Action::tap_1) + key - GLFW_KEY_1);
  }
  for (const KeyBinding& binding : key_bindings()) {
    if (binding.key != key || binding.control != control || binding.shift != shift) continue;
    const bool also_typing = control
                                 ? binding.action != Action::undo && binding.action != Action::redo &&
                                       binding.action != Action::quit
                                 : binding.action == Action::close || binding.action == Action::next_focus ||
                                       binding.action == Action::previous_focus;
    if (typing && !also_typing) return std::nullopt;
    return binding.action;
  }
  return std::nullopt;
}

bool repeats(Action action) {
  switch (action) {
    case Action::frame_back:
    case Action::frame_on:
    case Action::ten_frames_back:
    case Action::ten_frames_on:
    case Action::rung_up:
    case Action::rung_down:
    case Action::list_up:
    case Action::list_down:
    case Action::next_focus:
    case Action::previous_focus:
      return true;
    default:
      return false;
  }
}

int key_of_layout(int key, int scancode) {
  if (key < GLFW_KEY_A || key > GLFW_KEY_Z) return key;
  const char* const name = glfwGetKeyName(key, scancode);
  if (name == nullptr || name[0] == '\0' || name[1] != '\0') return key;
  const char letter = name[0];
  if (letter >= 'a' && letter <= 'z') return GLFW_KEY_A + (letter - 'a');
  return key;
}

namespace {

/// On the class board: numbers tap, backspace takes back, right goes on; empty: as everywhere.
std::optional<std::vector<Edit>> board_edits(Action action, const Session& s) {
  static constexpr double not_seen = 1000;
  static constexpr double errors[] = {-45, -30, -15, 0, 15, 30, 45, not_seen};
  const int tap = static_cast<int>(action) - static_cast<int>(Action::tap_1);
  if (tap >= 0 && tap < 8) {
    if (s.board.tapped) {
      return std::vector<Edit>{
          TapHeading{errors[tap] == not_seen ? std::nullopt : std::optional(errors[tap])}};
    }
    if (tap == 7) return std::vector<Edit>{};
    return std::vector<Edit>{TapOutcome{static_cast<AttemptOutcome>(tap)}};
  }
  switch (action) {
    case Action::undo:
    case Action::reset_camera:
      return std::vector<Edit>{s.board.tapped ? Edit(Untap{}) : Edit(UndoAttempt{})};
    case Action::frame_on:
      return std::vector<Edit>{SkipPlace{}};
    case Action::rung_up:
      return std::vector<Edit>{ChooseBoardRung{1}};
    case Action::rung_down:
      return std::vector<Edit>{ChooseBoardRung{-1}};
    case Action::close:
      if (s.board.tapped) return std::vector<Edit>{Untap{}};
      return std::nullopt;
    default:
      return std::nullopt;
  }
}

}  // namespace

namespace {

/// What a clicker does: the rung after or before, from its takeoff.
std::vector<Edit> clicked(const Session& s, bool on) {
  const std::size_t rung = on ? s.rung + 1 : s.rung == 0 ? 0 : s.rung - 1;
  return {ChooseRung{rung}, Seek{0}, Play{true}};
}

}  // namespace

std::vector<Edit> edits_of(Action action, const Session& s) {
  const auto sheet = [&](Sheet wanted) { return ShowSheet{s.sheet == wanted ? Sheet::none : wanted}; };
  if (s.sheet == Sheet::board) {
    if (auto edits = board_edits(action, s)) return *edits;
  }
  switch (action) {
    case Action::play:
      return {Play{!s.playback.playing}};
    case Action::frame_back:
      return {StepFrames{-1}};
    case Action::frame_on:
      return {StepFrames{1}};
    case Action::ten_frames_back:
      return {StepFrames{-10}};
    case Action::ten_frames_on:
      return {StepFrames{10}};
    case Action::takeoff:
      return {Seek{0}};
    case Action::landing:
      return {Seek{s.plays_chain() ? s.chain->duration() : s.duration}};
    case Action::chain:
      return {sheet(Sheet::chain)};
    case Action::take_out:
      if (s.sheet == Sheet::chain) return {RemoveLink{}};
      return {};
    case Action::rung_up:
      if (s.sheet == Sheet::chain) return {PickLink{s.picked_link == 0 ? 0 : s.picked_link - 1}};
      return {ChooseRung{s.rung + 1}};
    case Action::rung_down:
      if (s.sheet == Sheet::chain) return {PickLink{s.picked_link + 1}};
      return {ChooseRung{s.rung == 0 ? 0 : s.rung - 1}};
    case Action::side_camera:
      return {ChooseCamera{CameraKind::side}};
    case Action::front_camera:
      return {ChooseCamera{CameraKind::front}};
    case Action::above_camera:
      return {ChooseCamera{CameraKind::above}};
    case Action::eyes_camera:
      return {ChooseCamera{CameraKind::eyes}};
    case Action::gaze:
      return {ChooseGaze{s.look.camera == CameraKind::eyes ? next_gaze(s.look.gaze) : s.look.gaze}};
    case Action::reset_camera:
      return {ChooseCamera{s.look.camera}};
    case Action::slower:
      return {ChooseRate{s.playback.rate / 2}};
    case Action::faster:
      return {ChooseRate{s.playback.rate * 2}};
    case Action::whole_climb:
      return {ChooseLoop{true, !s.playback.whole_climb}, Play{true}};
    case Action::plan:
      return {sheet(Sheet::plan)};
    case Action::walk:
      return {sheet(Sheet::walk)};
    case Action::finish:
      return {sheet(Sheet::finish)};
    case Action::hand_over:
      return {sheet(Sheet::hand_over)};
    case Action::record:
      return {sheet(Sheet::record)};
    case Action::terms:
      return {sheet(Sheet::terms)};
    case Action::spread:
      return {sheet(Sheet::spread)};
    case Action::pair_axes:
      return {Compare{toggled_pair(s, Pairing::axes)}};
    case Action::pair_sides:
      return {Compare{toggled_pair(s, Pairing::sides)}};
    case Action::pair_forms:
      return {Compare{toggled_pair(s, Pairing::forms)}};
    case Action::pair_next:
      return {Compare{toggled_pair(s, Pairing::next)}};
    case Action::lock: {
      if (!s.look.comparison) return {};
      Comparison wanted = *s.look.comparison;
      wanted.lock = static_cast<Lock>((static_cast<int>(wanted.lock) + 1) % lock_count);
      return {Compare{wanted}};
    }
    case Action::more_stages:
      return {AddStage{}};
    case Action::fewer_stages:
      if (!s.look.comparison) return {};
      return {DropStage{s.look.comparison->beside.size()}};
    case Action::overlay: {
      if (!s.look.comparison) return {};
      Comparison wanted = *s.look.comparison;
      wanted.overlaid = !wanted.overlaid;
      return {Compare{wanted}};
    }
    case Action::wall:
      return {ShowWall{!s.look.wall}};
    case Action::curves:
      return {ShowCurves{!s.look.curves}};
    case Action::more:
      return {sheet(Sheet::more)};
    case Action::other_side: {
      Plan plan = s.plan;
      plan.side = other(plan.side);
      return {ChoosePlan{plan}};
    }
    case Action::split:
      return {SplitStep{s.rung}};
    case Action::both_sides: {
      Toggles toggles = s.look.toggles;
      toggles.both_sides = !toggles.both_sides;
      return {ChooseToggles{toggles}};
    }
    case Action::theme: {
      Settings settings = s.settings;
      settings.theme = static_cast<Theme>((static_cast<int>(settings.theme) + 1) % 3);
      return {ChooseSettings{settings}};
    }
    case Action::large_type: {
      Settings settings = s.settings;
      settings.text_size = static_cast<TextSize>((static_cast<int>(settings.text_size) + 1) % 3);
      return {ChooseSettings{settings}};
    }
    case Action::list_up:
      if (s.sheet == Sheet::none) return clicked(s, false);
      return {ScrollList{s.list_first - list_page}};
    case Action::list_down:
      if (s.sheet == Sheet::none) return clicked(s, true);
      return {ScrollList{s.list_first + list_page}};
    case Action::undo:
      return {Undo{}};
    case Action::redo:
      return {Redo{}};
    case Action::open:
      return {ShowSheet{Sheet::open}};
    case Action::save:
      return {SaveFile{""}};
    case Action::save_as:
      return {ShowSheet{Sheet::save_as}};
    case Action::help:
      return {sheet(Sheet::help)};
    case Action::close:
      if ((s.sheet == Sheet::plan || s.sheet == Sheet::stage || s.sheet == Sheet::chain) &&
          s.page != PlanPage::all)
        return {ShowPage{page_above(s.page)}};
      if (s.sheet == Sheet::athlete) return {ShowSheet{Sheet::athletes}};
      if (s.sheet == Sheet::athletes) return {ShowSheet{Sheet::board}};
      if (s.sheet != Sheet::none) return {ShowSheet{Sheet::none}};
      if (s.look.comparison) return {Compare{std::nullopt}};
      if (s.look.wall) return {ShowWall{false}};
      return {Focus{""}, Notice{"", false}};
    case Action::quit:
      return {Quit{}};
    case Action::board:
      return {sheet(Sheet::board)};
    case Action::next_focus:
    case Action::previous_focus:
    case Action::press:
      break;
    case Action::tap_1:
      return {PickStage{0}};
  }
  // The other numbers.
  const int number = static_cast<int>(action) - static_cast<int>(Action::tap_1);
  if (number > 0 && s.look.comparison) return {PickStage{static_cast<std::size_t>(number)}};
  return {};
}

}  // namespace halfturn
