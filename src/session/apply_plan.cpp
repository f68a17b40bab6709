#include <algorithm>
#include <cmath>

#include "apply.hpp"

namespace halfturn {
namespace {

constexpr std::size_t most_undo = 500;

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

const Skill& base_of(const Session& s) {
  return *s.ladder->base;
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

}  // namespace

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

void Applier::operator()(const ChoosePlan& edit) {
  change_plan(s, edit.plan, library);
}

void Applier::operator()(const ChooseBase& edit) {
  const Skill* base = library.vocabulary.find(edit.name);
  if (base == nullptr) {
    say(s, "there is no skill named \"" + edit.name + "\"", true);
    return;
  }
  change_plan(s, with_base(s.plan, *base, base_of(s)), library);
}

void Applier::operator()(const ChooseTarget& edit) {
  change_plan(s, with_target(s.plan, base_of(s), edit.twist_deg), library);
}

void Applier::operator()(const ChooseStep& edit) {
  change_plan(s, with_step(s.plan, base_of(s), edit.step_deg), library);
}

void Applier::operator()(const ChangeStep& edit) {
  if (edit.rung == 0 || edit.rung > s.plan.steps.size()) return;
  Plan plan = s.plan;
  plan.steps[edit.rung - 1].twist_deg = edit.step_deg;
  change_plan(s, plan, library);
}

void Applier::operator()(const SplitStep& edit) {
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

void Applier::operator()(const ChooseSplit& edit) {
  s.split_deg = std::clamp(std::round(edit.by_deg), 1.0, 359.0);
}

void Applier::operator()(const WriteCue& edit) {
  if (edit.rung > s.plan.steps.size()) return;
  Plan plan = s.plan;
  (edit.rung == 0 ? plan.base_cue : plan.steps[edit.rung - 1].cue) = edit.cue;
  change_plan(s, plan, library);
}

void Applier::operator()(const AddStep& edit) {
  Plan plan = s.plan;
  Step step;
  step.twist_deg = edit.step_deg;
  plan.steps.push_back(step);
  change_plan(s, plan, library);
  s.picked_step = std::max<std::size_t>(1, s.plan.steps.size());
}

void Applier::operator()(const RemoveStep& edit) {
  if (edit.rung == 0 || edit.rung > s.plan.steps.size()) return;
  const std::size_t rung = s.rung;
  Plan plan = s.plan;
  plan.steps.erase(plan.steps.begin() + static_cast<std::ptrdiff_t>(edit.rung - 1));
  const std::size_t before = s.plan.steps.size();
  change_plan(s, plan, library);
  // The climb keeps its place: what was above the step is further down now. The highest went down by itself.
  if (s.plan.steps.size() < before && rung > edit.rung) choose_rung(s, rung - 1);
}

void Applier::operator()(const Undo&) {
  swap_history(s.history.undo, s.history.redo, "nothing to undo");
}

void Applier::operator()(const Redo&) {
  swap_history(s.history.redo, s.history.undo, "nothing to redo");
}

void Applier::operator()(const BeginDrag&) {
  if (!s.history.drag_start) s.history.drag_start = s.plan;
}

void Applier::operator()(const EndDrag&) {
  end_drag();
}

void Applier::operator()(const PickStep& edit) {
  s.picked_step = std::clamp<std::size_t>(edit.rung, 1, std::max<std::size_t>(1, s.plan.steps.size()));
}

void Applier::operator()(const OpenFile& edit) {
  request = leave(s, Leaving::open_file, edit.path, true);
}

void Applier::operator()(const SaveFile& edit) {
  const std::string path = edit.path.empty() ? s.path : edit.path;
  if (path.empty()) {
    s.sheet = Sheet::save_as;
    s.focus.clear();
  } else {
    request = {Request::Kind::save, path};
  }
}

void Applier::operator()(const Quit&) {
  request = leave(s, Leaving::quit, "", true);
}

void Applier::operator()(const Discard&) {
  request = leave(s, s.leaving, s.leaving_to, false);
}

void Applier::operator()(const Saved& edit) {
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

void Applier::end_drag() {
  if (!s.history.drag_start) return;
  if (*s.history.drag_start != s.plan) s.history.undo.push_back(*s.history.drag_start);
  s.history.drag_start.reset();
}

void Applier::swap_history(std::vector<Plan>& from, std::vector<Plan>& to, const char* nothing) {
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

}  // namespace halfturn
