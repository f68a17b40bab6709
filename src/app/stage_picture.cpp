#include "stage_picture.hpp"

#include <algorithm>

#include "panels/fonts.hpp"
#include "rotation/heading.hpp"
#include "scene/compose.hpp"
#include "stage/renderer.hpp"

namespace halfturn {
namespace {

constexpr double ghost_in_flight = 0.35, ghost_fade = 0.25;  // opacity; s

/// All that the picture depends on.
struct Key {
  Plan plan;
  std::size_t rung = 0;
  double time = 0;
  View view;
  Quality quality = Quality::full;
};

bool same(const View& a, const View& b) {
  return a.theme == b.theme && a.camera == b.camera && a.offset == b.offset && a.toggles == b.toggles &&
         a.width_px == b.width_px && a.height_px == b.height_px && a.scale == b.scale &&
         a.inset_left_px == b.inset_left_px && a.inset_right_px == b.inset_right_px &&
         a.inset_top_px == b.inset_top_px && a.inset_bottom_px == b.inset_bottom_px && a.passed == b.passed &&
         a.ghost_opacity == b.ghost_opacity && a.sign_opacity == b.sign_opacity && a.between == b.between;
}

/// Ghosts are full until takeoff, fade in flight and come back on landing.
double ghost_opacity(double t, double duration, bool reduced_motion) {
  if (t <= 0 || t >= duration) return 1;
  if (reduced_motion) return ghost_in_flight;
  return 1 - (1 - ghost_in_flight) * std::min(1.0, t / ghost_fade);
}

class RenderedStage final : public StagePicture {
 public:
  explicit RenderedStage(std::unique_ptr<Renderer> renderer) : renderer_(std::move(renderer)) {}

  unsigned draw(const Session& s, const Flight& flight, const Flight& flight_before, const Layout& l,
                int width_px, int height_px, bool moving) override {
    const bool still = s.settings.reduced_motion;
    Key key;
    key.plan = s.plan;
    View& view = key.view;
    view.theme = s.settings.theme;
    view.camera = s.look.camera;
    view.offset = s.look.offset;
    view.toggles = s.look.toggles;
    view.width_px = width_px;
    view.height_px = height_px;
    view.scale = l.scale;
    set_insets(view, l);
    for (const GateShown& gate : s.gates) view.passed.push_back(gate.passed);
    // For the first half of a rung change the old sign fades out over the old rung, then the new one in.
    key.rung = s.rung;
    const Flight* shown = &flight;
    double share = s.duration > 0 ? s.playback.t / s.duration : 0;
    if (!still && s.motion.rung < rung_change) {
      const double half = rung_change / 2;
      if (s.motion.rung < half && s.motion.rung_from < s.ladder->rungs.size()) {
        key.rung = s.motion.rung_from;
        shown = &flight_before;
        view.sign_opacity = 1 - s.motion.rung / half;
      } else {
        view.sign_opacity = s.motion.rung / half - 1;
      }
    }
    key.time = share * shown->duration();
    view.ghost_opacity = ghost_opacity(key.time, shown->duration(), still);
    // Past contact the athlete stands up on the landing.
    if (s.playback.landed > 0) key.time = shown->duration() + s.playback.landed;
    if (!still && s.motion.camera < camera_change) {
      view.between = CameraChange{s.motion.camera_from, s.motion.offset_from,
                                  minimum_jerk(s.motion.camera / camera_change)};
    }
    key.quality = moving ? Quality::draft : Quality::full;
    if (!last_ || last_->plan != key.plan || last_->rung != key.rung || last_->time != key.time ||
        last_->quality != key.quality || !same(last_->view, view)) {
      renderer_->render(compose(*s.ladder, key.rung, *shown, key.time, view), width_px, height_px,
                        key.quality);
      last_ = std::move(key);
    }
    return renderer_->texture();
  }

 private:
  static void set_insets(View& view, const Layout& l) {
    const double k = l.scale;
    if (!l.answer.empty()) view.inset_top_px = (l.form == Form::wide ? 64 : 56) * k;
    if (!l.climb.empty()) view.inset_right_px = (l.width - l.climb.x - 20) * k;
    if (!l.sheet.empty()) view.inset_left_px = l.sheet.right() * k;
    const Rect& lowest = !l.curves.empty() ? l.curves : !l.scrub_words.empty() ? l.scrub_words : l.scrub;
    if (!lowest.empty()) view.inset_bottom_px = (l.height - lowest.y) * k;
  }

  std::unique_ptr<Renderer> renderer_;
  std::optional<Key> last_;
};

}  // namespace

Result<std::unique_ptr<StagePicture>> StagePicture::create(void* (*load)(const char*)) {
  Result<std::unique_ptr<Renderer>> renderer =
      Renderer::create(load, {medium_font_file(), bold_font_file(), heavy_font_file()});
  if (!renderer) return renderer.problem();
  return std::unique_ptr<StagePicture>(std::make_unique<RenderedStage>(std::move(renderer).value()));
}

}  // namespace halfturn
