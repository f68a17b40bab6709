#include <algorithm>
#include <cmath>

#include "format/link_file.hpp"
#include "session/edit.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_undo = 500;

void say(Session& s, std::string text, bool problem = false) {
  s.notice = std::move(text);
  s.notice_is_problem = problem;
}

/// Whether the cursor is a time that two flights share: it then stands for itself and no share of a flight.
bool locked_by_time(const Session& s) {
  return s.look.comparison && s.look.comparison->lock == Lock::time;
}

/// Another length of the flight: the cursor keeps its share of it, or its time.
void set_flight_length(Session& s, double duration, bool keep_share) {
  // Of two flights that share a time the longer counts; who knows both tells its length next.
  if (locked_by_time(s) && !keep_share) return;
  if (keep_share && !locked_by_time(s))
    s.playback.t = s.playback.t >= s.duration ? duration : s.playback.t * duration / s.duration;
  s.duration = duration;
  s.playback.t = std::min(s.playback.t, s.duration);
  if (s.playback.t < s.duration) s.playback.landed = 0;
}

/// The chain of the plan, run through, or why it cannot be.
void find_chain(Session& s, const Library& library) {
  s.chain = nullptr;
  s.chain_problem.clear();
  s.picked_link = std::min(s.picked_link, std::max<std::size_t>(1, s.plan.chain.size()) - 1);
  if (s.plan.chain.empty()) return;
  Result<ChainRun> run = run_chain(s.plan, library.vocabulary, built_in_links(), library.difficulty);
  if (!run) {
    s.chain_problem = run.problem().text;
    return;
  }
  s.chain = std::make_shared<const ChainRun>(std::move(run).value());
  s.chain_t = std::min(s.chain_t, s.chain->duration());
}

/// Takes a plan that gives a ladder; says in words why not otherwise, and leaves the session as it was.
bool take_plan(Session& s, const Plan& plan, const Library& library) {
  const Result<Ladder> ladder = make_ladder(plan, library.vocabulary, library.difficulty);
  if (!ladder) {
    const Problem& problem = ladder.problem();
    say(s, problem.place.empty() ? problem.text : problem.place + ": " + problem.text, true);
    return false;
  }
  s.plan = plan;
  s.ladder = std::make_shared<const Ladder>(*ladder);
  find_chain(s, library);
  s.rung = std::min(s.rung, s.ladder->rungs.size() - 1);
  s.picked_step = std::clamp<std::size_t>(s.picked_step, 1, std::max<std::size_t>(1, s.plan.steps.size()));
  set_flight_length(s, drawn_duration(s.rung_now()), false);
  return true;
}

/// Says what a step is to be careful about, when a change has brought it in.
void warn_of_new(Session& s, const Ladder& before) {
  const auto known = [&](const std::string& warning) {
    return std::any_of(before.rungs.begin(), before.rungs.end(), [&](const Rung& rung) {
      return std::find(rung.warnings.begin(), rung.warnings.end(), warning) != rung.warnings.end();
    });
  };
  for (const Rung& rung : s.ladder->rungs) {
    for (const std::string& warning : rung.warnings) {
      if (!known(warning)) return say(s, rung.title + ": " + warning, true);
    }
  }
}

void change_plan(Session& s, const Plan& plan, const Library& library) {
  if (plan == s.plan) return;
  Plan before = s.plan;
  const std::shared_ptr<const Ladder> ladder = s.ladder;
  if (!take_plan(s, plan, library)) return;
  s.notice.clear();
  warn_of_new(s, *ladder);
  s.history.redo.clear();
  if (s.history.drag_start) return;
  s.history.undo.push_back(std::move(before));
  if (s.history.undo.size() > most_undo) s.history.undo.erase(s.history.undo.begin());
}

const Skill& base_of(const Session& s) {
  return *s.ladder->base;
}

void choose_rung(Session& s, std::size_t rung) {
  rung = std::min(rung, s.ladder->rungs.size() - 1);
  if (rung == s.rung) return;
  // The cursor keeps its share of the flight, so that two rungs can be compared at one moment.
  const double share = s.duration > 0 ? s.playback.t / s.duration : 0;
  s.motion.rung = 0;
  s.motion.rung_from = s.rung;
  s.rung = rung;
  s.duration = drawn_duration(s.rung_now());
  s.playback.t = share * s.duration;
  s.climb_scroll_px = 0;
  s.walk_card = 0;
}

/// Leaves the plan for something else: at once, or after asking about unsaved changes.
Request leave(Session& s, Leaving to, const std::string& path, bool ask) {
  if (ask && s.dirty()) {
    s.leaving = to;
    s.leaving_to = path;
    s.sheet = Sheet::unsaved;
    s.playback.playing = false;
    s.focus.clear();
    return {};
  }
  s.leaving = Leaving::nothing;
  switch (to) {
    case Leaving::nothing:
      s.sheet = Sheet::none;
      break;
    case Leaving::quit:
      return {Request::Kind::quit, ""};
    case Leaving::open_sheet:
      s.sheet = Sheet::open;
      break;
    case Leaving::open_file:
      return {Request::Kind::open, path};
  }
  return {};
}

struct Applier {
  Session& s;
  const Library& library;
  Request request;

  void operator()(const ChoosePlan& edit) { change_plan(s, edit.plan, library); }
  void operator()(const ChooseBase& edit) {
    const Skill* base = library.vocabulary.find(edit.name);
    if (base == nullptr) {
      say(s, "there is no skill named \"" + edit.name + "\"", true);
      return;
    }
    change_plan(s, with_base(s.plan, *base, base_of(s)), library);
  }
  void operator()(const ChooseTarget& edit) {
    change_plan(s, with_target(s.plan, base_of(s), edit.twist_deg), library);
  }
  void operator()(const ChooseStep& edit) {
    change_plan(s, with_step(s.plan, base_of(s), edit.step_deg), library);
  }
  void operator()(const ChangeStep& edit) {
    if (edit.rung == 0 || edit.rung > s.plan.steps.size()) return;
    Plan plan = s.plan;
    plan.steps[edit.rung - 1].twist_deg = edit.step_deg;
    change_plan(s, plan, library);
  }
  void operator()(const SplitStep& edit) {
    if (edit.rung >= 1 && edit.rung <= s.plan.steps.size()) {
      const double step = s.plan.steps[edit.rung - 1].twist_deg;
      if (step < 2) return say(s, "a step of 1 degree cannot be split", true);
      if (edit.by_deg >= step) return say(s, "the step is no larger than that already", true);
    }
    const std::size_t before = s.plan.steps.size();
    change_plan(s, with_split(s.plan, edit.rung, edit.by_deg), library);
    // The climb keeps its place: what was above the split is further up now.
    const std::size_t more = s.plan.steps.size() - before;
    if (s.rung > edit.rung) choose_rung(s, s.rung + more);
  }
  void operator()(const ChooseSplit& edit) { s.split_deg = std::clamp(std::round(edit.by_deg), 1.0, 359.0); }
  void operator()(const WriteCue& edit) {
    if (edit.rung > s.plan.steps.size()) return;
    Plan plan = s.plan;
    (edit.rung == 0 ? plan.base_cue : plan.steps[edit.rung - 1].cue) = edit.cue;
    change_plan(s, plan, library);
  }
  void operator()(const AddStep& edit) {
    Plan plan = s.plan;
    Step step;
    step.twist_deg = edit.step_deg;
    plan.steps.push_back(step);
    change_plan(s, plan, library);
    s.picked_step = std::max<std::size_t>(1, s.plan.steps.size());
  }
  void operator()(const RemoveStep& edit) {
    if (edit.rung == 0 || edit.rung > s.plan.steps.size()) return;
    Plan plan = s.plan;
    plan.steps.erase(plan.steps.begin() + static_cast<std::ptrdiff_t>(edit.rung - 1));
    change_plan(s, plan, library);
  }
  void operator()(const PickLink& edit) {
    if (edit.link >= s.plan.chain.size()) return;
    s.picked_link = edit.link;
    // The cursor goes along, so that the stage shows what is spoken of.
    if (s.chain) s.chain_t = s.chain->stops[edit.link].start_s;
    s.chain_landed = 0;
  }
  void operator()(const AddLink& edit) {
    Plan plan = s.plan;
    const std::size_t at = plan.chain.empty() ? 0 : s.picked_link + 1;
    plan.chain.insert(plan.chain.begin() + static_cast<std::ptrdiff_t>(at), edit.item);
    change_chain(plan, at);
  }
  void operator()(const ChangeLink& edit) {
    if (s.plan.chain.empty()) return (*this)(AddLink{edit.item});
    Plan plan = s.plan;
    plan.chain[s.picked_link] = edit.item;
    change_chain(plan, s.picked_link);
  }
  void operator()(const RemoveLink&) {
    if (s.plan.chain.empty()) return;
    Plan plan = s.plan;
    plan.chain.erase(plan.chain.begin() + static_cast<std::ptrdiff_t>(s.picked_link));
    change_chain(plan, s.picked_link == 0 ? 0 : s.picked_link - 1);
  }
  void operator()(const MoveLink& edit) {
    const auto count = static_cast<std::ptrdiff_t>(s.plan.chain.size());
    const auto from = static_cast<std::ptrdiff_t>(s.picked_link), to = from + edit.by;
    if (from >= count || to < 0 || to >= count) return;
    Plan plan = s.plan;
    std::swap(plan.chain[static_cast<std::size_t>(from)], plan.chain[static_cast<std::size_t>(to)]);
    change_chain(plan, static_cast<std::size_t>(to));
  }
  void operator()(const Undo&) { swap_history(s.history.undo, s.history.redo, "nothing to undo"); }
  void operator()(const Redo&) { swap_history(s.history.redo, s.history.undo, "nothing to redo"); }
  void operator()(const BeginDrag&) {
    if (!s.history.drag_start) s.history.drag_start = s.plan;
  }
  void operator()(const EndDrag&) { end_drag(); }

  void operator()(const Tick& edit) {
    const double dt = std::clamp(edit.dt, 0.0, 0.1);
    s.motion.camera += dt;
    s.motion.rung += dt;
    s.motion.walk += dt;
    if (s.sheet == Sheet::walk) return walk_on();
    if (s.plays_chain()) return chain_on(dt);
    const Ticked next = ticked(s.playback, dt, s.duration);
    s.playback = next.playback;
    if (next.next_rung) choose_rung(s, (s.rung + 1) % s.ladder->rungs.size());
  }
  void operator()(const Seek& edit) {
    if (s.plays_chain()) {
      s.chain_t = std::isfinite(edit.t) ? std::clamp(edit.t, 0.0, s.chain->duration()) : 0;
      s.chain_landed = 0;
      s.playback.playing = false;
      return;
    }
    s.playback.t = std::isfinite(edit.t) ? std::clamp(edit.t, 0.0, s.duration) : 0;
    s.playback.playing = false;
    s.playback.landed = 0;
  }
  void operator()(const StepFrames& edit) {
    if (s.plays_chain()) {
      const Playback moved = stepped(chain_playback(), edit.frames, s.chain->duration());
      s.chain_t = moved.t;
      s.chain_landed = 0;
      s.playback.playing = false;
      return;
    }
    s.playback = stepped(s.playback, edit.frames, s.duration);
  }
  void operator()(const Play& edit) {
    s.playback.playing = edit.playing;
    s.motion.walk = 0;
    if (s.plays_chain()) {
      if (edit.playing && s.chain_t >= s.chain->duration()) s.chain_t = 0;
      s.chain_landed = 0;
      return;
    }
    if (edit.playing && s.playback.t >= s.duration) s.playback.t = 0;
    s.playback.landed = 0;
  }
  void operator()(const ChooseRate& edit) { s.playback.rate = std::clamp(edit.rate, slowest_rate, 1.0); }
  void operator()(const ChooseFps& edit) { s.playback.fps = std::clamp(edit.fps, slowest_fps, fastest_fps); }
  void operator()(const ChooseLoop& edit) {
    s.playback.loop = edit.loop;
    s.playback.whole_climb = edit.whole_climb;
  }
  void operator()(const FlightLength& edit) {
    if (edit.duration <= 0 || edit.duration == s.duration) return;
    set_flight_length(s, edit.duration, true);
  }

  void operator()(const ChooseRung& edit) { choose_rung(s, edit.rung); }
  void operator()(const ChooseCamera& edit) {
    begin_camera_change();
    s.look.camera = edit.camera;
    s.look.offset = {};
  }
  void operator()(const ChooseGaze& edit) {
    begin_camera_change();
    s.look.camera = CameraKind::eyes;
    s.look.gaze = edit.gaze;
    s.look.offset = {};
  }
  void operator()(const Compare& edit) {
    if (edit.comparison) {
      const std::size_t count = edit.comparison->beside.size();
      if (count < 1 || count + 1 > most_stages) return;
      for (const StageChoice& choice : edit.comparison->beside) {
        const Result<ComparedStage> stage = stage_of(s.ladder, s.rung, choice, library);
        if (!stage) return say(s, stage.problem().text, true);
      }
    }
    s.look.comparison = edit.comparison;
    s.look.wall = false;
    close_sheet();
  }
  void operator()(const AddStage&) {
    const Result<Comparison> more = with_stage(s, library);
    if (!more) return say(s, more.problem().text, true);
    (*this)(Compare{*more});
  }
  void operator()(const DropStage& edit) {
    if (!s.look.comparison) return;
    s.look.comparison = without_stage(*s.look.comparison, edit.stage);
    close_sheet();
  }
  void operator()(const PickStage& edit) {
    if (!s.look.comparison || edit.stage > s.look.comparison->beside.size()) return;
    (*this)(ShowSheet{Sheet::stage});
    s.picked_stage = edit.stage;
  }
  void operator()(const ChangeStage& edit) {
    if (!s.look.comparison || edit.stage > s.look.comparison->beside.size()) return;
    s.notice.clear();
    if (edit.stage == 0) {
      s.look.comparison->source = edit.choice.source;
      return;
    }
    const Result<ComparedStage> stage = stage_of(s.ladder, s.rung, edit.choice, library);
    if (!stage) return say(s, stage.problem().text, true);
    if (edit.choice.source == FlightSource::recorded && s.recorded_now() == nullptr)
      return say(s, "there is no record of this rung", true);
    s.look.comparison->beside[edit.stage - 1] = edit.choice;
  }
  void operator()(const ShowWall& edit) {
    s.look.wall = edit.wall;
    s.look.comparison.reset();
    close_sheet();
  }
  void operator()(const MoveCamera& edit) {
    s.look.offset = edit.offset;
    s.look.offset.zoom = std::clamp(s.look.offset.zoom, 0.3, 6.0);
    s.look.offset.pitch = std::clamp(s.look.offset.pitch, -1.5, 1.5);
    s.look.offset.pan_right = std::clamp(s.look.offset.pan_right, -5.0, 5.0);
    s.look.offset.pan_up = std::clamp(s.look.offset.pan_up, -5.0, 5.0);
  }
  void operator()(const ChooseToggles& edit) { s.look.toggles = edit.toggles; }
  void operator()(const ShowCurves& edit) { s.look.curves = edit.curves; }
  void operator()(const ChooseSettings& edit) { s.settings = edit.settings; }
  void operator()(const ScrollClimb& edit) { s.climb_scroll_px = edit.scroll_px; }

  void operator()(const ScrollList& edit) { s.list_first = std::max(0, edit.first); }

  void operator()(const ShowSheet& edit) {
    end_drag();
    s.list_first = 0;
    s.sheet = edit.sheet;
    s.page = PlanPage::all;
    s.focus.clear();
    s.notice.clear();
    // On the way to somewhere else the question may be left for the page that saves, and come back.
    if (edit.sheet != Sheet::unsaved && edit.sheet != Sheet::save_as) s.leaving = Leaving::nothing;
    s.walk_card = 0;
    if (edit.sheet == Sheet::walk) s.playback.playing = false;
    if (edit.sheet == Sheet::record) s.typed_path.clear();
    if (edit.sheet == Sheet::record && s.recorded_now() != nullptr) {
      s.look.comparison = with_record(s.look.comparison);
      s.picked_stage = recorded_stage(s.look.comparison);
    }
  }
  void operator()(const ShowPage& edit) {
    end_drag();
    s.page = edit.page;
    s.focus.clear();
  }
  void operator()(const PickStep& edit) {
    s.picked_step = std::clamp<std::size_t>(edit.rung, 1, std::max<std::size_t>(1, s.plan.steps.size()));
  }
  void operator()(const ShowCard& edit) { show_card(edit.card); }
  void operator()(const Focus& edit) { s.focus = edit.name; }
  void operator()(const Notice& edit) { say(s, edit.text, edit.problem); }
  void operator()(const ShowFolder& edit) {
    s.folder = edit.folder;
    s.list_first = 0;
  }
  void operator()(const TypePath& edit) { s.typed_path = edit.path; }

  void operator()(const ShowBoard& edit) { s.board = edit.board; }
  void operator()(const ShowGates& edit) {
    s.gates = edit.gates;
    s.crashes = edit.crashes;
  }
  void operator()(const ShowAir& edit) {
    s.air = edit.air;
    s.flown_by = edit.flown_by;
    s.flown_by_logged = edit.logged;
  }
  void operator()(const ChooseBoardRung& edit) {
    const BoardPlace* place = s.board.now();
    if (place == nullptr || place->plan.empty()) return;
    const auto rung = static_cast<std::int64_t>(place->rung) + edit.by;
    if (rung < 0) return;
    request.kind = Request::Kind::choose_board_rung;
    request.number = rung;
  }
  void operator()(const ShowAthletes& edit) { s.athletes = edit.athletes; }
  void operator()(const EditAthlete& edit) {
    request.kind = Request::Kind::edit_athlete;
    request.number = edit.id;
  }
  void operator()(const ShowAthlete& edit) {
    (*this)(ShowSheet{Sheet::athlete});
    s.form = edit.form;
  }
  void operator()(const TypeAthlete& edit) { s.form = edit.form; }
  void operator()(const SaveAthlete&) { request.kind = Request::Kind::save_athlete; }
  void operator()(const ShowSpread& edit) { s.spread = edit.spread; }
  void operator()(const ChooseThreshold& edit) { s.spread_threshold = std::clamp(edit.share, 0.5, 0.99); }
  void operator()(const ChooseHandOver& edit) {
    if (s.hand_over.running) return;
    s.hand_over.path = hand_over_path(s, s.hand_over, edit.form);
    s.hand_over.form = edit.form;
    s.notice.clear();
  }
  void operator()(const TypeHandOver& edit) {
    if (!s.hand_over.running) s.hand_over.path = edit.path;
  }
  void operator()(const StartHandOver&) {
    if (!s.hand_over.running) request.kind = Request::Kind::start_hand_over;
  }
  void operator()(const CancelHandOver&) {
    if (s.hand_over.running) request.kind = Request::Kind::cancel_hand_over;
  }
  void operator()(const HandOverNews& edit) {
    s.hand_over.running = edit.running;
    s.hand_over.percent = edit.percent;
  }
  void operator()(const TapOutcome& edit) {
    const BoardPlace* place = s.board.now();
    if (place == nullptr || place->plan.empty()) return say(s, "this athlete has no plan in work yet", true);
    s.board.tapped = edit.outcome;
    if (needs_no_heading(edit.outcome)) request = {Request::Kind::log_attempt, "", edit.outcome, {}};
  }
  void operator()(const TapHeading& edit) {
    if (s.board.tapped) request = {Request::Kind::log_attempt, "", *s.board.tapped, edit.error_deg};
  }
  void operator()(const Untap&) { s.board.tapped.reset(); }
  void operator()(const PickPlace& edit) {
    s.board.tapped.reset();
    if (edit.place < s.board.places.size()) s.board.next = edit.place;
  }
  void operator()(const SkipPlace&) {
    s.board.tapped.reset();
    s.board.next = next_place(s.board, s.board.next);
  }
  void operator()(const MarkAbsent& edit) {
    if (edit.place >= s.board.places.size()) return;
    s.board.places[edit.place].absent = edit.absent;
    if (edit.absent && edit.place == s.board.next) (*this)(SkipPlace{});
    request = {Request::Kind::keep_attendance, ""};
  }
  void operator()(const UndoAttempt&) {
    s.board.tapped.reset();
    request = {Request::Kind::undo_attempt, ""};
  }

  void operator()(const ShowRecord& edit) {
    // A coach who has put the recorded stage away is not shown it again with every rung.
    const bool is_new = !s.record || !s.record->attempt || s.sheet == Sheet::record;
    s.record = edit.record;
    if (s.recorded_now() == nullptr) {
      if (s.look.comparison) s.look.comparison = without_record(*s.look.comparison);
      return;
    }
    if (is_new) s.look.comparison = with_record(s.look.comparison);
    s.look.wall = false;
    if (s.sheet == Sheet::record) s.picked_stage = recorded_stage(s.look.comparison);
  }
  void operator()(const OpenRecord& edit) { request = {Request::Kind::open_record, edit.path}; }
  void operator()(const AnswerRecord& edit) {
    request = {Request::Kind::answer_record, edit.option};
    request.words = edit.words;
  }
  void operator()(const MarkRecord& edit) {
    request.kind = Request::Kind::mark_record;
    request.marks = Span{edit.takeoff_s, edit.landing_s};
  }
  void operator()(const UnmarkRecord&) { request.kind = Request::Kind::mark_record; }
  void operator()(const LogRecord& edit) {
    request.kind = Request::Kind::log_record;
    request.outcome = edit.outcome;
  }

  void operator()(const OpenFile& edit) { request = leave(s, Leaving::open_file, edit.path, true); }
  void operator()(const SaveFile& edit) {
    const std::string path = edit.path.empty() ? s.path : edit.path;
    if (path.empty()) {
      s.sheet = Sheet::save_as;
      s.focus.clear();
    } else {
      request = {Request::Kind::save, path};
    }
  }
  void operator()(const Quit&) { request = leave(s, Leaving::quit, "", true); }
  void operator()(const Discard&) { request = leave(s, s.leaving, s.leaving_to, false); }
  void operator()(const Saved& edit) {
    end_drag();
    s.path = edit.path;
    s.saved_plan = edit.plan;
    std::erase(s.recent, edit.path);
    s.recent.insert(s.recent.begin(), edit.path);
    if (s.recent.size() > 12) s.recent.resize(12);
    say(s, "saved as " + edit.path);
    if (s.leaving != Leaving::nothing) {
      request = leave(s, s.leaving, s.leaving_to, false);
    } else if (s.sheet == Sheet::save_as) {
      s.sheet = Sheet::none;
    }
  }

 private:
  /// A widget that goes away while it is being changed cannot say so itself.
  void end_drag() {
    if (!s.history.drag_start) return;
    if (*s.history.drag_start != s.plan) s.history.undo.push_back(*s.history.drag_start);
    s.history.drag_start.reset();
  }
  void change_chain(const Plan& plan, std::size_t picked) {
    change_plan(s, plan, library);
    s.picked_link = picked;
    s.page = PlanPage::all;
    s.focus.clear();
    if (s.chain) s.chain_t = s.chain->stops[std::min(picked, s.chain->stops.size() - 1)].start_s;
    s.chain_landed = 0;
  }
  [[nodiscard]] Playback chain_playback() const {
    Playback playback = s.playback;
    playback.t = s.chain_t;
    playback.landed = s.chain_landed;
    playback.whole_climb = false;
    return playback;
  }
  void chain_on(double dt) {
    const Playback moved = ticked(chain_playback(), dt, s.chain->duration()).playback;
    s.chain_t = moved.t;
    s.chain_landed = moved.landed;
    s.playback.playing = moved.playing;
  }
  void show_card(int card) {
    s.walk_card = std::clamp(card, 0, 2);
    s.motion.walk = 0;
  }
  /// While the floor walk plays: card after card, rung after rung, up to the target.
  void walk_on() {
    if (!s.playback.playing || s.motion.walk < walk_card_time) return;
    if (s.walk_card < 2) return show_card(s.walk_card + 1);
    if (s.rung + 1 >= s.ladder->rungs.size()) {
      s.playback.playing = false;
      return;
    }
    choose_rung(s, s.rung + 1);
    show_card(0);
  }
  void close_sheet() {
    end_drag();
    s.sheet = Sheet::none;
    s.focus.clear();
    s.notice.clear();
  }
  void begin_camera_change() {
    s.motion.camera_from = s.look.camera;
    s.motion.offset_from = s.look.offset;
    s.motion.gaze_from = s.look.gaze;
    s.motion.camera = 0;
  }
  void swap_history(std::vector<Plan>& from, std::vector<Plan>& to, const char* nothing) {
    if (from.empty()) {
      say(s, nothing);
      return;
    }
    const Plan plan = from.back();
    Plan before = s.plan;
    if (!take_plan(s, plan, library)) return;
    from.pop_back();
    to.push_back(std::move(before));
    s.notice.clear();
  }
};

}  // namespace

namespace {

/// What the stages of a comparison show, for the rung that is chosen now. Where a pair does not exist for it,
/// the next rung stands in. A recorded stage waits for the app until its record is measured for this rung.
void find_stages(Session& s, const Library& library) {
  s.stages.clear();
  if (!s.look.comparison) return;
  s.stages.push_back({s.ladder, s.rung, s.look.comparison->source});
  std::vector<StageChoice>& beside = s.look.comparison->beside;
  for (auto choice = beside.begin(); choice != beside.end();) {
    Result<ComparedStage> stage = stage_of(s.ladder, s.rung, *choice, library);
    if (!stage) {
      say(s, stage.problem().text, true);
      *choice = {.source = choice->source};
      stage = stage_of(s.ladder, s.rung, *choice, library);
    }
    if (stage) {
      s.stages.push_back(std::move(stage).value());
      if (const RecordedAttempt* attempt = s.recorded_now();
          attempt != nullptr && choice->source == FlightSource::recorded)
        s.stages.back().ladder = attempt->ladder;
      ++choice;
    } else {
      choice = beside.erase(choice);
    }
  }
  if (beside.empty()) {
    s.stages.clear();
    s.look.comparison.reset();
  }
}

}  // namespace

Applied apply(Session session, const Edit& edit, const Library& library) {
  const std::shared_ptr<const Ladder> ladder = session.ladder;
  const std::size_t rung = session.rung;
  const std::optional<Comparison> comparison = session.look.comparison;
  const std::shared_ptr<const RecordShown> record = session.record;
  Applied applied{std::move(session), {}};
  Session& after = applied.session;
  Applier applier{after, library, {}};
  std::visit(applier, edit);
  applied.request = applier.request;
  if (after.ladder != ladder || after.rung != rung || after.look.comparison != comparison ||
      after.record != record)
    find_stages(after, library);
  return applied;
}

Result<Session> open_session(const PlanFile& file, const std::string& path, const Library& library,
                             const Settings& settings) {
  Result<Ladder> ladder = make_ladder(file.plan, library.vocabulary, library.difficulty);
  if (!ladder) {
    Problem problem = ladder.problem();
    problem.file = path;
    return problem;
  }
  Session session;
  session.plan = file.plan;
  session.saved_plan = file.plan;
  session.ladder = std::make_shared<const Ladder>(std::move(ladder).value());
  session.settings = settings;
  session.path = path;
  session.notes = file.notes;
  if (file.view.is_null()) {
    // Never seen before: half way up, with the figure moving.
    session.rung = session.ladder->rungs.size() / 2;
    session.playback.playing = true;
  }
  session.duration = drawn_duration(session.rung_now());
  find_chain(session, library);
  restore_view(session, file.view);
  find_stages(session, library);
  return session;
}

PlanFile plan_file(const Session& session) {
  return {session.plan, view_json(session), session.notes};
}

}  // namespace halfturn
