#include <algorithm>

#include "panels/layout.hpp"

namespace halfturn {
namespace {

constexpr double seam_px = 32;              // between two stages
constexpr double narrow_seam_px = 12;       // between more than two
constexpr double least_pane_px = 110;       // height under which a stage is of no use
constexpr double least_titled_px = 200;     // height under which titles would leave a stage no room
constexpr double least_large_px = 420;      // width under which titles are small
constexpr double wall_design_height = 450;  // titles of 44 are then more than a twelfth of the window

/// Stages in as many columns as make them largest, for pictures somewhat wider than high.
void place_panes(Layout& l, const Rect& area, std::size_t count) {
  constexpr double wanted_aspect = 1.3;
  const double seam = count > 2 ? narrow_seam_px : seam_px;
  double best = 0;
  for (std::size_t columns = 1; columns <= count; ++columns) {
    const std::size_t rows = (count + columns - 1) / columns;
    const double w = (area.w - seam * static_cast<double>(columns - 1)) / static_cast<double>(columns);
    const double h = (area.h - seam * static_cast<double>(rows - 1)) / static_cast<double>(rows);
    const double size = std::min(w / wanted_aspect, h);
    if (h < least_pane_px || size <= best) continue;
    best = size;
    for (std::size_t i = 0; i < count; ++i) {
      l.panes[i] = {area.x + (w + seam) * static_cast<double>(i % columns),
                    area.y + (h + seam) * static_cast<double>(i / columns), w, h};
    }
  }
}

/// Several stages beside each other, or all flyers in one, over one scrub.
Layout beside(Layout l, const Comparison& comparison) {
  const double w = l.width, h = l.height;
  const bool wide = l.form == Form::wide;
  const double m = wide ? 40 : 24, top = wide ? 16 : 8;
  l.lead = l.answer = l.tools = l.notice = l.curves = {};
  l.climb = l.climb_header = {};
  const double cameras = l.cameras.w;
  l.cameras = {w - m - cameras, top, cameras, 48};
  l.pairs = {m, top, l.cameras.x - m - 16, 48};
  l.compare_words = {m, top + 52, w - 2 * m, wide ? 56.0 : 40.0};
  const double right = wide ? 250 : 176, left = l.scrub.x;
  l.scrub_words.w = l.scrub.w = w - left - right;
  l.locks = wide ? Rect{w - 40 - 190, h - 184, 190, 160} : Rect{w - m - 140, h - 92, 140, 48};
  const double over = l.scrub_words.y - 8;
  // All facts in one row where there is room, else in two.
  const std::size_t stages = comparison.beside.size() + 1;
  const double lines = static_cast<double>(stages + 1);
  const double table = !comparison.table   ? 0
                       : wide && w >= 1180 ? 16 + 24 * lines
                       : wide              ? 24 + 48 * lines
                       : stages == 2       ? 14 + 42 * lines
                                           : 10 + 40 * lines;
  if (comparison.table) l.table = {m, over - table, w - 2 * m, table};
  const double panes_top = l.compare_words.bottom() + 4, panes_end = over - table - (table > 0 ? 4 : 0);
  if (panes_end - panes_top < least_pane_px) return l;
  place_panes(l, {0, panes_top, w, panes_end - panes_top}, comparison.overlaid ? 1 : stages);
  if (comparison.overlaid) {
    // Lower where the pane is, down to one line for each.
    const double pitch = std::clamp(l.panes[0].h / static_cast<double>(stages), 28.0, wide ? 90.0 : 62.0);
    l.pane_words = pitch * static_cast<double>(stages);
    l.pane_words_w = wide ? 340 : 250;
  } else if (l.panes[0].h >= least_titled_px || l.table.empty()) {
    l.pane_words = wide && l.panes[0].w >= least_large_px ? 84 : 58;
  }
  l.notice = {m, panes_end - 52, std::min(720.0, w - 2 * m), 44};
  return l;
}

/// Stage, dial and very large words alone.
Layout on_the_wall(int width_px, int height_px, double scale) {
  Layout l;
  l.scale = std::max(scale, height_px / wall_design_height);
  l.width = width_px / l.scale;
  l.height = height_px / l.scale;
  l.margin = 18;
  l.wall_words = {l.margin, 12, 0.42 * l.width, l.height - 24};
  const double left = 0.24 * l.width;
  l.scrub = {left, l.height - 84, l.width - left - 40, 84};
  l.ground_y = l.height - 34;
  l.arc_height = 26;
  return l;
}

}  // namespace

Layout layout_of(const Session& session, int width_px, int height_px, double scale) {
  const Look& look = session.look;
  if (look.wall && session.sheet == Sheet::none) return on_the_wall(width_px, height_px, scale);
  const bool beside_each_other = look.comparison && !session.stages.empty() && session.sheet == Sheet::none;
  Layout l = layout(width_px, height_px, scale, look.curves && !beside_each_other, session.sheet);
  // Beside the page of a stage stands that stage.
  if (session.sheet == Sheet::stage && !session.stages.empty() && l.width - l.sheet.right() >= 400)
    l.panes[0] = {l.sheet.right(), 0, l.width - l.sheet.right(), l.height};
  if (session.sheet == Sheet::record && session.recorded_now() != nullptr && !session.stages.empty() &&
      !l.record_scrub.empty())
    l.panes[0] = {l.sheet.right(), 0, l.width - l.sheet.right(), l.record_scrub.y};
  if (!beside_each_other || l.form == Form::tiny) return l;
  const Layout two = beside(l, *look.comparison);
  return two.panes[0].empty() ? l : two;
}

}  // namespace halfturn
