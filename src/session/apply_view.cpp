#include <algorithm>

#include "apply.hpp"

namespace halfturn {

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

void Applier::operator()(const ChooseRung& edit) {
  choose_rung(s, edit.rung);
}

void Applier::operator()(const ChooseCamera& edit) {
  begin_camera_change();
  s.look.camera = edit.camera;
  s.look.offset = {};
}

void Applier::operator()(const ChooseGaze& edit) {
  begin_camera_change();
  s.look.camera = CameraKind::eyes;
  s.look.gaze = edit.gaze;
  s.look.offset = {};
}

void Applier::operator()(const Compare& edit) {
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

void Applier::operator()(const AddStage&) {
  const Result<Comparison> more = with_stage(s, library);
  if (!more) return say(s, more.problem().text, true);
  (*this)(Compare{*more});
}

void Applier::operator()(const DropStage& edit) {
  if (!s.look.comparison) return;
  s.look.comparison = without_stage(*s.look.comparison, edit.stage);
  close_sheet();
}

void Applier::operator()(const PickStage& edit) {
  if (!s.look.comparison || edit.stage > s.look.comparison->beside.size()) return;
  (*this)(ShowSheet{Sheet::stage});
  s.picked_stage = edit.stage;
}

void Applier::operator()(const ChangeStage& edit) {
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

void Applier::operator()(const ShowWall& edit) {
  s.look.wall = edit.wall;
  s.look.comparison.reset();
  close_sheet();
}

void Applier::operator()(const MoveCamera& edit) {
  s.look.offset = edit.offset;
  s.look.offset.zoom = std::clamp(s.look.offset.zoom, 0.3, 6.0);
  s.look.offset.pitch = std::clamp(s.look.offset.pitch, -1.5, 1.5);
  s.look.offset.pan_right = std::clamp(s.look.offset.pan_right, -5.0, 5.0);
  s.look.offset.pan_up = std::clamp(s.look.offset.pan_up, -5.0, 5.0);
}

void Applier::operator()(const ChooseToggles& edit) {
  s.look.toggles = edit.toggles;
}

void Applier::operator()(const ShowCurves& edit) {
  s.look.curves = edit.curves;
}

void Applier::operator()(const ChooseSettings& edit) {
  s.settings = edit.settings;
}

void Applier::operator()(const ScrollClimb& edit) {
  s.climb_scroll_px = edit.scroll_px;
}

void Applier::operator()(const ScrollList& edit) {
  s.list_first = std::max(0, edit.first);
}

void Applier::operator()(const ShowSheet& edit) {
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

void Applier::operator()(const ShowPage& edit) {
  end_drag();
  s.page = edit.page;
  s.focus.clear();
}

void Applier::operator()(const ShowCard& edit) {
  show_card(edit.card);
}

void Applier::operator()(const Focus& edit) {
  s.focus = edit.name;
}

void Applier::operator()(const Notice& edit) {
  say(s, edit.text, edit.problem);
}

void Applier::operator()(const ShowFolder& edit) {
  s.folder = edit.folder;
  s.list_first = 0;
}

void Applier::operator()(const TypePath& edit) {
  s.typed_path = edit.path;
}

void Applier::show_card(int card) {
  s.walk_card = std::clamp(card, 0, 2);
  s.motion.walk = 0;
}

void Applier::walk_on() {
  if (!s.playback.playing || s.motion.walk < walk_card_time) return;
  if (s.walk_card < 2) return show_card(s.walk_card + 1);
  if (s.rung + 1 >= s.ladder->rungs.size()) {
    s.playback.playing = false;
    return;
  }
  choose_rung(s, s.rung + 1);
  show_card(0);
}

void Applier::close_sheet() {
  end_drag();
  s.sheet = Sheet::none;
  s.focus.clear();
  s.notice.clear();
}

void Applier::begin_camera_change() {
  s.motion.camera_from = s.look.camera;
  s.motion.offset_from = s.look.offset;
  s.motion.gaze_from = s.look.gaze;
  s.motion.camera = 0;
}

}  // namespace halfturn
