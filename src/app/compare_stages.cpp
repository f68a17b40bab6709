#include "compare_stages.hpp"

#include <algorithm>
#include <cmath>

#include "panels/pane_words.hpp"

namespace halfturn {

const CompareInput* CompareStages::draw(SessionKeeper& keeper, const Layout& l, bool moving) {
  shown_.reset();
  if (l.panes[0].empty()) return nullptr;
  const Session& s = keeper.session();
  const Flight &first = keeper.flight(s.rung), &second = keeper.partner_flight();
  shown_.emplace(CompareInput{second, keeper.partner_coaching()});
  const std::array<double, 2> times = compared_times(s, first, second);
  for (std::size_t i = 0; i < stages_.size(); ++i) {
    if (!stages_[i]) {
      // Without a picture the words still stand.
      Result<std::unique_ptr<StagePicture>> stage = StagePicture::create(load_);
      if (!stage) continue;
      stages_[i] = std::move(stage).value();
    }
    const bool own = i == 0;
    const Flight& flight = own ? first : second;
    double time = times[i];
    if (s.playback.landed > 0) time = std::max(time, flight.duration()) + s.playback.landed;
    const double title = pane_words_height(l) * l.scale;
    shown_->texture[i] =
        stages_[i]->draw_pane(s,
                              {own ? *s.ladder : *s.partner.ladder, own ? s.rung : s.partner.rung, flight,
                               time, static_cast<int>(std::lround(l.panes[i].w * l.scale)),
                               static_cast<int>(std::lround(l.panes[i].h * l.scale)), title},
                              l.scale, moving);
  }
  return &*shown_;
}

}  // namespace halfturn
