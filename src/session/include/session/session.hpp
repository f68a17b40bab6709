#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "format/plan_file.hpp"
#include "ladder/chain.hpp"
#include "ladder/ladder.hpp"
#include "scene/view.hpp"
#include "session/athlete_form.hpp"
#include "session/class_board.hpp"
#include "session/compare.hpp"
#include "session/hand_over.hpp"
#include "session/playback.hpp"
#include "session/record_shown.hpp"
#include "session/spread_shown.hpp"

namespace halfturn {

/// What a session looks things up in; both outlive every session.
struct Library {
  const Vocabulary& vocabulary;
  const DifficultyTable& difficulty;
};

/// The page that lies over the left of the stage.
enum class Sheet : std::uint8_t {
  none,
  plan,
  walk,
  more,
  open,
  save_as,
  help,
  unsaved,
  board,
  finish,
  stage,
  chain,
  spread,
  athletes,
  athlete,  ///< one of them, under the pen
  hand_over,
  record,  ///< of what really happened
  terms,   ///< words of the trade
};
inline constexpr int sheet_count = static_cast<int>(Sheet::terms) + 1;
/// What a leave of the plan was asked for while it had unsaved changes.
enum class Leaving : std::uint8_t { nothing, quit, open_sheet, open_file };
/// Page within the plan sheet.
enum class PlanPage : std::uint8_t {
  all,
  base,
  target,
  steps,
  step,  ///< more about the one step that is picked
  side,
  takeoff,
  setup,
  surface,
  shape,
  hold,
  heading,
  timing,
  air_time,
  walls,
  title,
  details,
};

enum class TextSize : std::uint8_t { normal, large, wall };

/// How an amount of turn is told: "half left", "180 degrees left", "left to 6 o'clock" (the start at 12).
enum class TurnUnit : std::uint8_t { turns, degrees, clock };

/// A person's own settings: they belong to the person, not to the plan.
struct Settings {
  Theme theme = Theme::light;
  TextSize text_size = TextSize::normal;
  bool reduced_motion = false;
  TurnUnit turn_unit = TurnUnit::turns;
  friend bool operator==(const Settings&, const Settings&) = default;
};

/// What is shown beside the words: saved with the plan.
struct Look {
  CameraKind camera = CameraKind::side;
  CameraOffset offset;
  Gaze gaze = Gaze::neutral;  ///< from the athlete's eyes
  Toggles toggles;
  bool curves = false;                   ///< curves and readouts over the scrub
  std::optional<Comparison> comparison;  ///< two stages beside each other; empty: one
  bool wall = false;                     ///< for a whole gym: stage, dial and very large words alone
  friend bool operator==(const Look&, const Look&) = default;
};

/// Changes under way, s since each began; long ago by default. Only a Tick moves them.
struct Motion {
  double camera = 1e9, rung = 1e9, walk = 1e9;
  CameraKind camera_from = CameraKind::side;
  CameraOffset offset_from;
  Gaze gaze_from = Gaze::neutral;
  std::size_t rung_from = 0;
};
inline constexpr double camera_change = 0.45;  ///< s
inline constexpr double rung_change = 0.30;    ///< s
inline constexpr double walk_change = 1.4;     ///< s, of the turn on the floor
inline constexpr double walk_card_time = 2.4;  ///< s that a card of the floor walk stands while it plays

/// What a rung's simulated flight says of the air.
struct AirShown {
  double needed_s = 0;             ///< least air time in which that body lands with control
  std::optional<double> margin_s;  ///< measured less needed; empty without a measured air time
  friend bool operator==(const AirShown&, const AirShown&) = default;
};

/// Plan values before and after the present one.
struct History {
  std::vector<Plan> undo, redo;
  std::optional<Plan> drag_start;  ///< set while a drag is under way: one undo step for all of it
};

/// Everything the window shows, one plain value.
struct Session {
  Plan plan;
  std::shared_ptr<const Ladder> ladder;  ///< of `plan`; never null after open_session
  std::size_t rung = 0;
  std::vector<ComparedStage> stages;      ///< of the comparison, the chosen rung first; empty with one stage
  std::shared_ptr<const ChainRun> chain;  ///< of the plan; null while it has none, or one that cannot run
  std::string chain_problem;              ///< why a chain cannot run, in words
  double chain_t = 0, chain_landed = 0;   ///< the cursor of the chain, s from its start; as in Playback
  std::size_t picked_link = 0;            ///< of the chain, on its page
  double duration = 1;  ///< air time of the selected rung's flight, s; compared by time, of the longest one
  Playback playback;
  Look look;
  Settings settings;
  Motion motion;
  History history;
  Sheet sheet = Sheet::none;
  PlanPage page = PlanPage::all;
  std::size_t picked_step = 1;   ///< rung whose step the steps page changes
  std::size_t picked_stage = 1;  ///< of the comparison, whose page is shown
  double split_deg = 20;         ///< size offered for a split into any number of degrees
  int list_first = 0;            ///< first line shown of a list longer than its page
  int walk_card = 0;             ///< 0 stand, 1 turn, 2 face
  double climb_scroll_px = 0;    ///< design pixels scrolled up from the place where the rung now is in view
  std::string focus;             ///< name of the widget that the keyboard acts on; empty: the scrub
  std::string notice;            ///< a sentence to the coach, or empty
  bool notice_is_problem = false;
  std::vector<std::optional<AirShown>> air;  ///< by rung, as its flights come; may be shorter than the ladder
  std::string flown_by{average_adult};       ///< whose body flies the simulated flights
  std::string flown_by_logged;               ///< the athlete of the logbook that is; empty: nobody
  std::vector<GateShown> gates;              ///< by rung; may be shorter than the ladder
  int crashes = 0;                           ///< logged so far
  std::vector<AthleteLine> athletes;         ///< of the logbook, told by the app
  AthleteForm form;                          ///< the athlete under the pen
  ClassBoard board;                          ///< the class in training
  std::shared_ptr<const SpreadShown> spread;  ///< told by the app, of the rung it names; null: never asked
  std::shared_ptr<const RecordShown> record;  ///< told by the app; null: none is open
  double spread_threshold = 0.8;              ///< share of controlled landings that a next step must reach
  std::string path;                           ///< of the plan file; empty: never saved
  Plan saved_plan;                            ///< as it lies on disk
  Json notes;                                 ///< members of the plan file that only people read
  std::string folder;                         ///< that the file pages list
  std::string typed_path;                     ///< in the path field
  std::vector<std::string> recent;            ///< plan files, the last one first
  HandOver hand_over;
  Leaving leaving = Leaving::nothing;
  std::string leaving_to;  ///< plan to open once the changes are dealt with

  [[nodiscard]] bool dirty() const { return plan != saved_plan; }
  /// Whether the chain stands on the stage and the cursor is its own.
  [[nodiscard]] bool plays_chain() const { return sheet == Sheet::chain && chain != nullptr; }
  [[nodiscard]] const Rung& rung_now() const { return ladder->rungs[rung]; }
  /// The attempt that the record holds against the rung in play; null where there is none.
  [[nodiscard]] const RecordedAttempt* recorded_now() const {
    const RecordedAttempt* attempt = record ? record->attempt.get() : nullptr;
    return attempt != nullptr && attempt->rung == rung && attempt->plan == plan ? attempt : nullptr;
  }
  /// Whether the landings of the rung in play are to be computed and shown.
  [[nodiscard]] bool wants_spread() const { return sheet == Sheet::spread || look.toggles.landings; }
  /// The landings of the rung in play; null while they are not known.
  [[nodiscard]] const SpreadShown* spread_now() const {
    const bool own =
        wants_spread() && spread && spread->answer && spread->rung == rung && spread->plan == plan;
    return own ? spread.get() : nullptr;
  }
};

/// A session on a plan file as read. A Problem when the plan gives no ladder.
[[nodiscard]] Result<Session> open_session(const PlanFile& file, const std::string& path,
                                           const Library& library, const Settings& settings);

/// The plan file of a session: plan, view and notes.
[[nodiscard]] PlanFile plan_file(const Session& session);

/// "side", "front", "above", "eyes": as files and commands call it.
[[nodiscard]] std::string_view camera_word(CameraKind camera);

/// How the viewer was left, for the `view` object of a plan file, and back. Values that cannot be are left
/// out: a view is never worth refusing a plan for.
[[nodiscard]] Json view_json(const Session& session);
void restore_view(Session& session, const Json& view);

}  // namespace halfturn
