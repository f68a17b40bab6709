#include "stage_picture.hpp"

#include "panels/fonts.hpp"
#include "scene/chain_scene.hpp"
#include "scene/compose.hpp"
#include "session/stage_view.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

/// All that the picture depends on.
struct Key {
  Plan plan;
  std::size_t rung = 0;
  double time = 0;
  View view;
  Quality quality = Quality::full;
  std::vector<std::string> names;       // of companions
  std::vector<double> companion_times;  // of them, s
};

class RenderedStage final : public StagePicture {
 public:
  explicit RenderedStage(std::unique_ptr<Renderer> renderer) : renderer_(std::move(renderer)) {}

  unsigned draw(const Session& s, const Flight& flight, const Flight& flight_before, const Layout& l,
                const Rect& answer, int width_px, int height_px, bool moving) override {
    View view = stage_view(s, l.scale, width_px, height_px);
    set_insets(view, l, answer);
    // Small numbers on the dial say nothing across a gym.
    if (s.look.wall) view.toggles.labels = false;
    StageShot shot = stage_shot(s, flight.duration(), flight_before.duration(), std::move(view));
    Key key{s.plan, shot.rung, shot.time, std::move(shot.view)};
    key.quality = moving ? Quality::draft : Quality::full;
    return shown_picture(std::move(key), *s.ladder, shot.shows_before ? flight_before : flight, {});
  }

  unsigned draw_pane(const Session& s, const Pane& pane, double scale, bool moving) override {
    View view = stage_view(s, scale, pane.width_px, pane.height_px);
    // Low enough that a flight passes under the words, as large as that allows.
    view.inset_top_px = pane.words_w_px > 0 ? 0 : 0.5 * pane.words_px;
    view.inset_left_px = pane.words_w_px;
    view.inset_bottom_px = 36 * scale;
    view.answer_width_px = pane.words_w_px > 0 ? pane.words_w_px : 0.6 * pane.width_px;
    view.answer_height_px = pane.words_px;
    StageShot shot = pane_shot(s, pane.ladder, pane.rung, pane.flight.duration(), pane.time, std::move(view));
    Key key{pane.ladder.plan, shot.rung, shot.time, std::move(shot.view)};
    key.quality = moving ? Quality::draft : Quality::full;
    for (const Companion& companion : pane.companions) {
      key.names.push_back(companion.name);
      key.companion_times.push_back(companion.time);
    }
    return shown_picture(std::move(key), pane.ladder, pane.flight, pane.companions);
  }

  unsigned draw_chain(const Session& s, const std::vector<std::optional<Flight>>& flights, const Layout& l,
                      bool moving) override {
    Key key;
    key.plan = s.plan;
    key.rung = whole_chain;
    key.time = s.chain_t + s.chain_landed;
    key.view = stage_view(s, l.scale, static_cast<int>(l.chain_stage.w * l.scale),
                          static_cast<int>(l.chain_stage.h * l.scale));
    key.view.inset_top_px = 76 * l.scale;
    key.view.inset_bottom_px = 12 * l.scale;
    key.quality = moving ? Quality::draft : Quality::full;
    if (!is_shown(key)) {
      renderer_->render(compose_chain(*s.chain, flights, key.time, s.plan.walls, key.view), key.view.width_px,
                        key.view.height_px, key.quality);
      last_ = std::move(key);
      last_flights_.clear();
    }
    return renderer_->texture();
  }

 private:
  static constexpr std::size_t whole_chain = static_cast<std::size_t>(-1);  // in place of a rung
  [[nodiscard]] bool is_shown(const Key& key) const {
    return last_ && last_->plan == key.plan && last_->rung == key.rung && last_->time == key.time &&
           last_->quality == key.quality && last_->view == key.view && last_->names == key.names &&
           last_->companion_times == key.companion_times;
  }
  unsigned shown_picture(Key key, const Ladder& ladder, const Flight& flight,
                         const std::vector<Companion>& companions) {
    const bool same = is_shown(key) && same_flights(flight, companions);
    if (!same) {
      renderer_->render(compose(ladder, key.rung, flight, key.time, key.view, companions), key.view.width_px,
                        key.view.height_px, key.quality);
      last_ = std::move(key);
      last_flights_ = {flight};
      for (const Companion& companion : companions) last_flights_.push_back(companion.flight);
    }
    return renderer_->texture();
  }

  [[nodiscard]] bool same_flights(const Flight& flight, const std::vector<Companion>& companions) const {
    if (last_flights_.size() != companions.size() + 1 || !last_flights_[0].is(flight)) return false;
    for (std::size_t i = 0; i < companions.size(); ++i) {
      if (!last_flights_[i + 1].is(companions[i].flight)) return false;
    }
    return true;
  }

  /// What panels cover: the subject is centred in the rest, signs and names keep out.
  static void set_insets(View& view, const Layout& l, const Rect& answer) {
    const double k = l.scale;
    if (!l.cameras.empty() || !l.answer.empty()) view.inset_top_px = (l.form == Form::wide ? 80 : 68) * k;
    if (!l.climb.empty()) view.inset_right_px = (l.width - l.climb.x + (l.form == Form::wide ? 8 : 0)) * k;
    if (!l.sheet.empty()) view.inset_left_px = (l.sheet.right() + 60) * k;
    const Rect& lowest = !l.curves.empty() ? l.curves : !l.scrub_words.empty() ? l.scrub_words : l.scrub;
    if (!lowest.empty()) view.inset_bottom_px = (l.height - lowest.y) * k;
    if (!l.wall_words.empty()) {
      // The words stand beside the stage, as far down as they go.
      view.inset_left_px = 0.30 * l.width * k;
      view.answer_width_px = l.wall_words.right() * k;
      view.answer_height_px = 0.7 * l.height * k;
      return;
    }
    view.answer_width_px = answer.right() * k;
    view.answer_height_px = answer.bottom() * k;
  }

  std::unique_ptr<Renderer> renderer_;
  std::optional<Key> last_;
  std::vector<Flight> last_flights_;
};

}  // namespace

Result<std::unique_ptr<StagePicture>> StagePicture::create(void* (*load)(const char*)) {
  Result<std::unique_ptr<Renderer>> renderer =
      Renderer::create(load, {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return renderer.problem();
  return std::unique_ptr<StagePicture>(std::make_unique<RenderedStage>(std::move(renderer).value()));
}

}  // namespace halfturn
