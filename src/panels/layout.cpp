#include "panels/layout.hpp"

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

constexpr double design_width = 1440, design_height = 900;
constexpr double wide_width = 1100, wide_height = 700;       // least room for the wide form
constexpr double compact_width = 700, compact_height = 460;  // and for the compact one

Layout wide(Layout l, bool curves) {
  const double w = l.width, h = l.height;
  l.margin = 40;
  const double climb_left = w - 412;
  l.climb_header = {w - 324, 20, 302, 84};
  l.climb = {climb_left, 112, 412, h - 112};
  // Room for every tool beside the cameras comes before large letters on them.
  l.small_pills = w < 1400;
  const double cameras = l.small_pills ? 290 : 358;
  l.cameras = {climb_left - 34 - cameras, 24, cameras, 48};
  l.lead = {l.margin, 24, 150, 44};
  l.answer = {l.margin, 76, std::min(720.0, climb_left - l.margin - 40), 176};
  l.tools = {l.lead.right(), 24, l.cameras.x - l.lead.right() - 8, 48};
  l.play = {40, h - 133, 64, 64};
  l.speed = {24, h - 66, 96, 48};
  l.scrub_words = {150, h - 202, w - 564, 32};
  l.scrub = {150, h - 142, w - 564, 142};
  l.ground_y = h - 76;
  l.arc_height = 62;
  const double above = curves ? std::min(214.0, h - 440) : 0;
  if (curves) l.curves = {150, h - 202 - 8 - above, w - 564, above};
  l.notice = {150, h - 202 - 8 - above - 52, std::min(w - 564, 720.0), 44};
  l.answer.h = std::min(l.answer.h, l.notice.y - 4 - l.answer.y);
  return l;
}

Layout compact(Layout l, bool curves) {
  const double w = l.width, h = l.height;
  l.margin = 24;
  l.plate_w = 248;
  l.plate_h = 64;
  l.pitch = 120;
  const double climb_left = w - 350;
  l.climb_header = {w - 262, 12, 248, 40};
  l.climb = {climb_left, 60, 350, h - 60};
  l.cameras = {climb_left - 16 - 140, 16, 140, 48};
  l.lead = {l.margin, 16, 130, 44};
  l.small_pills = true;
  l.answer = {l.margin, 66, climb_left - l.margin - 16, 142};
  l.tools = {l.lead.right(), 16, l.cameras.x - l.lead.right() - 8, 48};
  l.play = {24, h - 114, 64, 64};
  l.speed = {16, h - 48, 80, 48};
  l.scrub_words = {116, h - 162, climb_left - 132, 32};
  l.scrub = {116, h - 106, climb_left - 132, 106};
  l.ground_y = h - 54;
  l.arc_height = 40;
  const double above = curves ? 150 : 0;
  if (curves) l.curves = {116, h - 166 - above, climb_left - 132, above};
  l.notice = {116, h - 214 - above, climb_left - 132, 44};
  l.answer.h = std::min(l.answer.h, l.notice.y - 2 - l.answer.y);
  return l;
}

/// What does not fit is left out, the least needed first.
Layout tiny(Layout l) {
  const double w = l.width, h = l.height;
  l.margin = 12;
  l.arc_height = 30;
  if (w >= 160 && h >= 64) l.answer = {l.margin, 4, w - 2 * l.margin, std::min(h - 4, 84.0)};
  if (w >= 260 && h >= 230) {
    l.play = {12, h - 100, 64, 64};
    l.scrub = {96, h - 92, w - 120, 92};
    l.ground_y = h - 44;
  }
  if (w >= 380 && h >= 300) {
    l.scrub_words = {96, h - 128, w - 120, 32};
    l.notice = {12, h - 176, w - 24, 44};
  }
  if (w >= 380 && h >= 360) l.tools = {l.margin, 116, w - 2 * l.margin, 48};
  return l;
}

}  // namespace

double ui_scale(int width_px, int height_px, double monitor_scale, TextSize text_size) {
  const double fit = std::min(width_px / design_width, height_px / design_height);
  const double scale = std::max({std::floor(fit * 4) / 4, monitor_scale, 0.5});
  const double larger = text_size == TextSize::normal ? 1.0 : text_size == TextSize::large ? 1.25 : 1.6;
  const double most = std::min(width_px / compact_width, height_px / compact_height);
  const double wanted = scale * larger;
  return wanted <= most ? wanted : std::max(scale, std::floor(most * 4) / 4);
}

Layout layout(int width_px, int height_px, double scale, bool curves, Sheet sheet) {
  Layout l;
  l.scale = scale;
  l.width = std::max(0.0, width_px / scale);
  l.height = std::max(0.0, height_px / scale);
  if (l.width >= wide_width && l.height >= wide_height) {
    l.form = Form::wide;
    l = wide(l, curves);
  } else if (l.width >= compact_width && l.height >= compact_height) {
    l.form = Form::compact;
    l = compact(l, curves && l.height >= 560);
  } else {
    l.form = Form::tiny;
    l = tiny(l);
  }
  if (sheet != Sheet::none) {
    const bool beside_climb = sheet == Sheet::plan && !l.climb.empty();
    const double room = beside_climb ? l.climb.x : l.width;
    // The stage beside them is part of what they say.
    const bool beside =
        sheet == Sheet::finish || sheet == Sheet::spread || sheet == Sheet::record || sheet == Sheet::terms;
    const double wanted = sheet == Sheet::board                                          ? l.width
                          : sheet == Sheet::help || sheet == Sheet::more                 ? 1320.0
                          : beside && l.form == Form::wide                               ? 640.0
                          : (beside || sheet == Sheet::chain) && l.form == Form::compact ? l.width - 400
                          : l.form == Form::wide                                         ? 540.0
                                                                                         : 620.0;
    l.sheet = {0, 0, std::min(room, wanted), l.height};
    if (sheet == Sheet::walk && l.width - l.sheet.w >= 360) {
      l.walk_dial = {l.sheet.w, 0, l.width - l.sheet.w, l.height};
    }
    l.lead = l.answer = l.tools = l.notice = {};
    l.play = l.speed = l.scrub_words = l.scrub = l.curves = {};
    if (!beside_climb) l.climb = l.climb_header = {};
    if (sheet == Sheet::chain && l.width - l.sheet.w >= 300 && l.height >= 240) {
      const double x = l.sheet.right(), w = l.width - x;
      l.chain_scrub = {x + 112, l.height - 84, w - 112 - 40, 84};
      l.play = {x + 24, l.height - 76, 64, 64};
      l.chain_stage = {x, 0, w, l.height - 84};
      l.cameras = {l.width - l.margin - l.cameras.w, l.form == Form::wide ? 24.0 : 16.0, l.cameras.w, 48};
    }
    if (sheet == Sheet::record && l.width - l.sheet.w >= 300 && l.height >= 400)
      l.record_scrub = {l.sheet.right() + 60, l.height - 126, l.width - l.sheet.right() - 120, 118};
    if (sheet == Sheet::walk || l.cameras.x < l.sheet.right()) l.cameras = {};
  }
  return l;
}

}  // namespace halfturn
