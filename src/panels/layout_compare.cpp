#include <algorithm>

#include "panels/layout.hpp"
#include "panels/pane_words.hpp"

namespace halfturn {
namespace {

constexpr double seam_px = 32;              // between two stages
constexpr double least_pane_px = 150;       // height under which two stages are of no use
constexpr double least_titled_px = 200;     // height under which titles would leave a stage no room
constexpr double wall_design_height = 450;  // titles of 44 are then more than a twelfth of the window

/// Two stages beside each other over one scrub.
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
  const double table = !comparison.table ? 0 : wide && w >= 1180 ? 88 : wide ? 168 : 140;
  if (comparison.table) l.table = {m, over - table, w - 2 * m, table};
  const double panes_top = l.compare_words.bottom() + 4, panes_end = over - table - (table > 0 ? 4 : 0);
  if (panes_end - panes_top < least_pane_px) return l;
  const double pane = (w - seam_px) / 2;
  l.panes = {Rect{0, panes_top, pane, panes_end - panes_top},
             Rect{w - pane, panes_top, pane, panes_end - panes_top}};
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

double pane_words_height(const Layout& l) {
  if (l.panes[0].h < least_titled_px && !l.table.empty()) return 0;
  return l.form == Form::wide ? 84 : 58;
}

Layout layout_of(const Session& session, int width_px, int height_px, double scale) {
  const Look& look = session.look;
  if (look.wall && session.sheet == Sheet::none) return on_the_wall(width_px, height_px, scale);
  const bool beside_each_other = look.comparison && session.partner.ladder && session.sheet == Sheet::none;
  Layout l = layout(width_px, height_px, scale, look.curves && !beside_each_other, session.sheet);
  if (!beside_each_other || l.form == Form::tiny) return l;
  const Layout two = beside(l, *look.comparison);
  return two.panes[0].empty() ? l : two;
}

}  // namespace halfturn
