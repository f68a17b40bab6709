#include "compare_stages.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {

const CompareInput* CompareStages::draw(SessionKeeper& keeper, const Layout& l, bool moving) {
  shown_.reset();
  if (l.panes[0].empty()) return nullptr;
  const Session& s = keeper.session();
  shown_.emplace();
  shown_->flights = keeper.stage_flights();
  for (std::size_t i = 0; i < s.stages.size(); ++i)
    shown_->coaching.push_back(&keeper.stage_coaching(i, shown_->flights[i]));
  std::vector<double> times = compared_times(s, shown_->flights);
  if (s.playback.landed > 0) {
    for (std::size_t i = 0; i < times.size(); ++i)
      times[i] = std::max(times[i], shown_->flights[i].duration()) + s.playback.landed;
  }
  // Beside its page stands the stage that is picked.
  if (s.sheet == Sheet::stage || s.sheet == Sheet::record) {
    const std::size_t picked = std::min(s.picked_stage, s.stages.size() - 1);
    shown_->textures = {draw_stage(keeper, picked, l.panes[0], l, times, moving)};
    return &*shown_;
  }
  const std::size_t pictures = s.look.comparison->overlaid ? 1 : s.stages.size();
  for (std::size_t i = 0; i < pictures; ++i)
    shown_->textures.push_back(draw_stage(keeper, i, l.panes[i], l, times, moving));
  return &*shown_;
}

unsigned CompareStages::draw_stage(const SessionKeeper& keeper, std::size_t index, const Rect& area,
                                   const Layout& l, const std::vector<double>& times, bool moving) {
  std::unique_ptr<StagePicture>& picture = stages_[index];
  if (!picture) {
    // Without a picture the words still stand.
    Result<std::unique_ptr<StagePicture>> made = StagePicture::create(load_);
    if (!made) return 0;
    picture = std::move(made).value();
  }
  const Session& s = keeper.session();
  const ComparedStage& stage = s.stages[index];
  Pane pane{*stage.ladder,
            stage.rung,
            shown_->flights[index],
            times[index],
            static_cast<int>(std::lround(area.w * l.scale)),
            static_cast<int>(std::lround(area.h * l.scale)),
            l.pane_words * l.scale,
            l.pane_words_w * l.scale};
  if (s.look.comparison->overlaid && s.sheet == Sheet::none) {
    for (std::size_t i = 1; i < s.stages.size(); ++i)
      pane.companions.push_back({s.stages[i].now(), shown_->flights[i], times[i], stage_name(i, s.stages)});
  }
  return picture->draw_pane(s, pane, l.scale, moving);
}

}  // namespace halfturn
