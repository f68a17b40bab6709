#pragma once

#include <string>

#include "session/edit.hpp"

namespace halfturn {

// What the files apply_*.cpp share: the applier of edits, a file a subject, and what several of them change.

void say(Session& s, std::string text, bool problem = false);
/// Another length of the flight, s: the cursor keeps its share of it, or its time.
void set_flight_length(Session& s, double duration, bool keep_share);
/// The chain of the plan, run through, or why it cannot be.
void find_chain(Session& s, const Library& library);
/// Takes a plan that gives a ladder; says in words why not otherwise, and leaves the session as it was.
[[nodiscard]] bool take_plan(Session& s, const Plan& plan, const Library& library);
/// The same as one step that can be undone, with a word on what a new step is to be careful about.
void change_plan(Session& s, const Plan& plan, const Library& library);
/// The cursor keeps its share of the flight. Beyond the target: the target.
void choose_rung(Session& s, std::size_t rung);

/// Applies one edit to a session; what only the app can do is left in `request`.
struct Applier {
  Session& s;
  const Library& library;
  Request request;

  // apply_plan.cpp: the plan, its history and its file
  void operator()(const ChoosePlan& edit);
  void operator()(const ChooseBase& edit);
  void operator()(const ChooseTarget& edit);
  void operator()(const ChooseStep& edit);
  void operator()(const ChangeStep& edit);
  void operator()(const SplitStep& edit);
  void operator()(const ChooseSplit& edit);
  void operator()(const WriteCue& edit);
  void operator()(const AddStep& edit);
  void operator()(const RemoveStep& edit);
  void operator()(const Undo&);
  void operator()(const Redo&);
  void operator()(const BeginDrag&);
  void operator()(const EndDrag&);
  void operator()(const PickStep& edit);
  void operator()(const OpenFile& edit);
  void operator()(const SaveFile& edit);
  void operator()(const Quit&);
  void operator()(const Discard&);
  void operator()(const Saved& edit);

  // apply_playback.cpp: the chain and the cursor
  void operator()(const PickLink& edit);
  void operator()(const AddLink& edit);
  void operator()(const ChangeLink& edit);
  void operator()(const RemoveLink&);
  void operator()(const MoveLink& edit);
  void operator()(const Tick& edit);
  void operator()(const Seek& edit);
  void operator()(const StepFrames& edit);
  void operator()(const Play& edit);
  void operator()(const ChooseRate& edit);
  void operator()(const ChooseFps& edit);
  void operator()(const ChooseLoop& edit);
  void operator()(const FlightLength& edit);

  // apply_view.cpp: rung, cameras, stages, sheets
  void operator()(const ChooseRung& edit);
  void operator()(const ChooseCamera& edit);
  void operator()(const ChooseGaze& edit);
  void operator()(const Compare& edit);
  void operator()(const AddStage&);
  void operator()(const DropStage& edit);
  void operator()(const PickStage& edit);
  void operator()(const ChangeStage& edit);
  void operator()(const ShowWall& edit);
  void operator()(const MoveCamera& edit);
  void operator()(const ChooseToggles& edit);
  void operator()(const ShowCurves& edit);
  void operator()(const ChooseSettings& edit);
  void operator()(const ScrollClimb& edit);
  void operator()(const ScrollList& edit);
  void operator()(const ShowSheet& edit);
  void operator()(const ShowPage& edit);
  void operator()(const ShowCard& edit);
  void operator()(const Focus& edit);
  void operator()(const Notice& edit);
  void operator()(const ShowFolder& edit);
  void operator()(const TypePath& edit);

  // apply_board.cpp: what the app keeps or finds out: class, athletes, spread, handing over, records
  void operator()(const ShowBoard& edit);
  void operator()(const ShowGates& edit);
  void operator()(const ShowAir& edit);
  void operator()(const ChooseBoardRung& edit);
  void operator()(const ShowAthletes& edit);
  void operator()(const EditAthlete& edit);
  void operator()(const ShowAthlete& edit);
  void operator()(const TypeAthlete& edit);
  void operator()(const SaveAthlete&);
  void operator()(const ShowSpread& edit);
  void operator()(const ChooseThreshold& edit);
  void operator()(const ChooseHandOver& edit);
  void operator()(const TypeHandOver& edit);
  void operator()(const StartHandOver&);
  void operator()(const CancelHandOver&);
  void operator()(const HandOverNews& edit);
  void operator()(const TapOutcome& edit);
  void operator()(const TapHeading& edit);
  void operator()(const Untap&);
  void operator()(const PickPlace& edit);
  void operator()(const SkipPlace&);
  void operator()(const MarkAbsent& edit);
  void operator()(const UndoAttempt&);
  void operator()(const ShowRecord& edit);
  void operator()(const OpenRecord& edit);
  void operator()(const AnswerRecord& edit);
  void operator()(const MarkRecord& edit);
  void operator()(const UnmarkRecord&);
  void operator()(const LogRecord& edit);

 private:
  /// A widget that goes away while it is being changed cannot say so itself.
  void end_drag();
  void change_chain(const Plan& plan, std::size_t picked);
  [[nodiscard]] Playback chain_playback() const;
  void chain_on(double dt);
  void show_card(int card);
  /// While the floor walk plays: card after card, rung after rung, up to the target.
  void walk_on();
  void close_sheet();
  void begin_camera_change();
  void swap_history(std::vector<Plan>& from, std::vector<Plan>& to, const char* nothing);
};

}  // namespace halfturn
