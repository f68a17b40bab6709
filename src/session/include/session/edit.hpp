#pragma once

#include <cstddef>
#include <memory>
#include <string>
#include <variant>
#include <vector>

#include "session/session.hpp"

namespace halfturn {

// Changes of the plan. They go through the history; a plan that gives no ladder is refused in words.
struct ChoosePlan {
  Plan plan;
};  ///< any other value of the plan
struct ChooseBase {
  std::string name;
};
struct ChooseTarget {
  double twist_deg;
};  ///< absolute; steps keep their size, the last is cut
struct ChooseStep {
  double step_deg;
};  ///< one size for every step
struct ChangeStep {
  std::size_t rung;
  double step_deg;
};  ///< the step that leads to `rung`
struct SplitStep {
  std::size_t rung;
  double by_deg = 0;  ///< into steps of this size, the last is cut; 0: in halves, 90 gives 45 and 45
};
struct ChooseSplit {
  double by_deg;
};  ///< the size offered for a split
struct WriteCue {
  std::size_t rung;
  std::string cue;
};  ///< the coach's own words
struct AddStep {
  double step_deg;
};  ///< on top
struct RemoveStep {
  std::size_t rung;
};
// The chain of the plan.
struct PickLink {
  std::size_t link;
};
struct AddLink {
  ChainItem item;
};  ///< after the picked one, which it then is; into an empty chain: the first
struct ChangeLink {
  ChainItem item;
};                     ///< in place of the picked one
struct RemoveLink {};  ///< the picked one
struct MoveLink {
  int by;
};  ///< the picked one, earlier (-1) or later (+1)
struct Undo {};
struct Redo {};
struct BeginDrag {};  ///< changes until EndDrag are one undo step
struct EndDrag {};

// Time.
struct Tick {
  double dt;
};  ///< s of wall clock
struct Seek {
  double t;
};  ///< s from takeoff; stops playing
struct StepFrames {
  int frames;
};
struct Play {
  bool playing;
};
struct ChooseRate {
  double rate;
};
struct ChooseFps {
  int fps;
};
struct ChooseLoop {
  bool loop, whole_climb;
};
struct FlightLength {
  double duration;
};  ///< of the flight now shown, s

// What is looked at.
struct ChooseRung {
  std::size_t rung;
};
struct ChooseCamera {
  CameraKind camera;
};
struct ChooseGaze {
  Gaze gaze;
};  ///< from the athlete's eyes, which become the camera
struct Compare {
  std::optional<Comparison> comparison;
};                   ///< refused in words when there is no such stage; empty: one stage again
struct AddStage {};  ///< one more, of what is not shown yet
struct DropStage {
  std::size_t stage;
};  ///< of the comparison, from 1
struct PickStage {
  std::size_t stage;
};  ///< opens the page that says what a stage shows, from 0
struct ChangeStage {
  std::size_t stage;
  StageChoice choice;
};  ///< of stage 0 only who made its flight
struct ShowWall {
  bool wall;
};
struct MoveCamera {
  CameraOffset offset;
};
struct ChooseToggles {
  Toggles toggles;
};
struct ShowCurves {
  bool curves;
};
struct ChooseSettings {
  Settings settings;
};
struct ScrollClimb {
  double scroll_px;
};

// Sheets, focus and notices.
struct ShowSheet {
  Sheet sheet;
};
struct ShowPage {
  PlanPage page;
};
struct ScrollList {
  int first;
};  ///< first line shown of a list longer than its page
struct PickStep {
  std::size_t rung;
};
struct ShowCard {
  int card;
};
struct Focus {
  std::string name;
};
struct Notice {
  std::string text;
  bool problem;
};
struct ShowFolder {
  std::string folder;
};
struct TypePath {
  std::string path;
};

// The class board. What is logged, undone or marked becomes a request: only the app opens the logbook.
struct ShowBoard {
  ClassBoard board;
};  ///< told by the app
struct ShowGates {
  std::vector<GateShown> gates;
  int crashes;
};  ///< of the chosen athlete, told by the app
struct ShowAir {
  std::vector<std::optional<AirShown>> air;
  std::string flown_by, logged;
};  ///< of the simulated flights, told by the app
struct ChooseBoardRung {
  int by;
};  ///< rungs above or below the one that is suggested to the athlete whose turn it is
struct ShowAthletes {
  std::vector<AthleteLine> athletes;
};  ///< told by the app
struct EditAthlete {
  std::int64_t id;
};  ///< 0: a new one
struct ShowAthlete {
  AthleteForm form;
};  ///< told by the app
struct TypeAthlete {
  AthleteForm form;
};
struct SaveAthlete {};
struct ShowSpread {
  std::shared_ptr<const SpreadShown> spread;
};  ///< told by the app
struct ChooseThreshold {
  double share;
};  ///< of controlled landings that a next step must reach
struct TapOutcome {
  AttemptOutcome outcome;
};  ///< the first tap; those that need no heading are logged at once
struct TapHeading {
  std::optional<double> error_deg;
};  ///< the second tap; short is negative, empty: not seen
struct Untap {};
struct PickPlace {
  std::size_t place;
};  ///< whose turn it is
struct SkipPlace {};
struct MarkAbsent {
  std::size_t place;
  bool absent;
};
struct UndoAttempt {};

// What a student is given. Only the app makes files.
struct ChooseHandOver {
  HandOverForm form;
};
struct TypeHandOver {
  std::string path;
};
struct StartHandOver {};
struct CancelHandOver {};
struct HandOverNews {
  bool running;
  int percent;
};  ///< told by the app

// A record of what really happened. All but the first are for the app, which reads and measures it.
struct ShowRecord {
  std::shared_ptr<const RecordShown> record;
};  ///< told by the app; null: none is open any more
struct OpenRecord {
  std::string path;
};  ///< empty: closes it
struct AnswerRecord {
  std::string option, words;
};  ///< an answer to its question, as an option of `halfturn measure`
struct MarkRecord {
  double takeoff_s, landing_s;
};                       ///< by hand, s of the record
struct UnmarkRecord {};  ///< takeoff and landing as they were found
struct LogRecord {
  AttemptOutcome outcome;
};  ///< as a measured attempt

// Files: `apply` only notes them; the app does them after the frame (see `Request`).
struct OpenFile {
  std::string path;
};
struct SaveFile {
  std::string path;
};  ///< empty: where it came from
struct Quit {};
struct Discard {};  ///< leave the plan without its changes
struct Saved {
  std::string path;
  Plan plan;  ///< as it was written
};            ///< told by the app when a file has been written

using Edit =
    std::variant<ChoosePlan, ChooseBase, ChooseTarget, ChooseStep, ChangeStep, SplitStep, ChooseSplit,
                 WriteCue, AddStep, RemoveStep, PickLink, AddLink, ChangeLink, RemoveLink, MoveLink, Undo,
                 Redo, BeginDrag, EndDrag, Tick, Seek, StepFrames, Play, ChooseRate, ChooseFps, ChooseLoop,
                 FlightLength, ChooseRung, ChooseCamera, ChooseGaze, Compare, AddStage, DropStage, PickStage,
                 ChangeStage, ShowWall, MoveCamera, ChooseToggles, ShowCurves, ChooseSettings, ScrollClimb,
                 ScrollList, ShowSheet, ShowPage, PickStep, ShowCard, Focus, Notice, ShowFolder, TypePath,
                 ShowBoard, ShowGates, ShowAir, ChooseBoardRung, ShowAthletes, EditAthlete, ShowAthlete,
                 TypeAthlete, SaveAthlete, ShowSpread, ChooseThreshold, TapOutcome, TapHeading, Untap,
                 PickPlace, SkipPlace, MarkAbsent, UndoAttempt, ChooseHandOver, TypeHandOver, StartHandOver,
                 CancelHandOver, HandOverNews, ShowRecord, OpenRecord, AnswerRecord, MarkRecord, UnmarkRecord,
                 LogRecord, OpenFile, SaveFile, Quit, Discard, Saved>;

/// Something only the app can do: files and the end of the program.
struct Request {
  enum class Kind {
    none,
    open,
    save,
    quit,
    log_attempt,
    undo_attempt,
    keep_attendance,
    choose_board_rung,
    edit_athlete,
    save_athlete,
    start_hand_over,
    cancel_hand_over,
    open_record,
    answer_record,
    mark_record,
    log_record
  } kind = Kind::none;
  std::string path;
  // Of an attempt to be logged for the athlete whose turn it is.
  AttemptOutcome outcome = AttemptOutcome::in_hand;
  std::optional<double> error_deg = std::nullopt;
  std::int64_t number = 0;                   ///< id of an athlete, or a rung
  std::string words = {};                    ///< answer to the option that `path` names
  std::optional<Span> marks = std::nullopt;  ///< takeoff and landing of a record; empty: as found
};

/// The session after an edit, and what is left for the app to do. Pure: the same arguments give the same
/// result.
struct Applied {
  Session session;
  Request request;
};
[[nodiscard]] Applied apply(Session session, const Edit& edit, const Library& library);

// The plan changes by themselves; `base` is the skill of the plan.
[[nodiscard]] Plan with_base(Plan plan, const Skill& base, const Skill& before);
[[nodiscard]] Plan with_target(Plan plan, const Skill& base, double twist_deg);
[[nodiscard]] Plan with_step(Plan plan, const Skill& base, double step_deg);
[[nodiscard]] Plan with_split(Plan plan, std::size_t rung, double by_deg = 0);

/// The page of the plan that a page goes back to.
[[nodiscard]] PlanPage page_above(PlanPage page);
/// The size that most steps of a plan have, degrees; 90 when it has none.
[[nodiscard]] double usual_step_deg(const Plan& plan);
/// Twist (or whole turn) of the target, degrees.
[[nodiscard]] double target_deg(const Plan& plan, const Skill& base);

}  // namespace halfturn
