#include "apply.hpp"

#include <algorithm>

namespace halfturn {
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

void say(Session& s, std::string text, bool problem) {
  s.notice = std::move(text);
  s.notice_is_problem = problem;
}

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
