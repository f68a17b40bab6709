#include "panels/layout.hpp"

#include <doctest/doctest.h>

#include <vector>

using namespace halfturn;

namespace {

std::vector<Rect> parts(const Layout& l) {
  std::vector<Rect> all;
  for (const Rect& rect : {l.lead, l.answer, l.cameras, l.tools, l.climb_header, l.climb, l.play, l.speed,
                           l.scrub_words, l.scrub, l.curves, l.notice, l.sheet, l.walk_dial}) {
    if (!rect.empty()) all.push_back(rect);
  }
  return all;
}

bool overlap(const Rect& a, const Rect& b) {
  const double slack = 1e-9;
  return a.x < b.right() - slack && b.x < a.right() - slack && a.y < b.bottom() - slack &&
         b.y < a.bottom() - slack;
}

void check(const Layout& l) {
  const std::vector<Rect> all = parts(l);
  for (std::size_t i = 0; i < all.size(); ++i) {
    CAPTURE(i);
    CHECK(all[i].x >= -1e-9);
    CHECK(all[i].y >= -1e-9);
    CHECK(all[i].right() <= l.width + 1e-9);
    CHECK(all[i].bottom() <= l.height + 1e-9);
    for (std::size_t k = i + 1; k < all.size(); ++k) {
      CAPTURE(k);
      CHECK_FALSE(overlap(all[i], all[k]));
    }
  }
}

}  // namespace

// Scales by hand from the rule min(w/1440, h/900) in quarters, at least the monitor's.
TEST_CASE("the scale of the interface") {
  CHECK(ui_scale(1440, 900, 1, TextSize::normal) == 1);
  CHECK(ui_scale(1280, 800, 1, TextSize::normal) == 1);
  CHECK(ui_scale(1920, 1080, 1, TextSize::normal) == 1);
  CHECK(ui_scale(3840, 2160, 1, TextSize::normal) == 2.25);
  CHECK(ui_scale(2560, 1440, 1, TextSize::normal) == 1.5);
  CHECK(ui_scale(1440, 900, 2, TextSize::normal) == 2);
  CHECK(ui_scale(1440, 900, 1, TextSize::large) == 1.25);
  CHECK(ui_scale(1440, 900, 1, TextSize::wall) == 1.6);
  CHECK(ui_scale(900, 600, 1, TextSize::wall) == 1.25);
}

TEST_CASE("the forms") {
  const auto form = [](int w, int h) { return layout(w, h, 1, false, Sheet::none).form; };
  CHECK(form(1440, 900) == Form::wide);
  CHECK(form(1280, 800) == Form::wide);
  CHECK(form(900, 600) == Form::compact);
  CHECK(form(500, 400) == Form::tiny);
  CHECK(layout(3840, 2160, 2.25, false, Sheet::none).form == Form::wide);
}

TEST_CASE("nothing overlaps or leaves the window, at every size, with every sheet") {
  for (const int w :
       {1, 40, 200, 320, 480, 640, 720, 800, 900, 1024, 1099, 1100, 1280, 1440, 1920, 2560, 3840}) {
    for (const int h :
         {1, 40, 120, 240, 320, 400, 480, 560, 600, 699, 700, 768, 800, 900, 1080, 1440, 2160}) {
      for (const double monitor : {1.0, 1.5, 2.0}) {
        for (int sheet = 0; sheet < sheet_count; ++sheet) {
          for (const bool curves : {false, true}) {
            CAPTURE(w);
            CAPTURE(h);
            CAPTURE(sheet);
            CAPTURE(curves);
            const double scale = ui_scale(w, h, monitor, TextSize::normal);
            check(layout(w, h, scale, curves, static_cast<Sheet>(sheet)));
          }
        }
      }
    }
  }
}

TEST_CASE("targets are big enough for a finger") {
  for (const auto& [w, h] : {std::pair{1280, 800}, {900, 600}, {1920, 1080}, {3840, 2160}}) {
    const Layout l = layout(w, h, ui_scale(w, h, 1, TextSize::normal), false, Sheet::none);
    CHECK(l.play.w >= 64);
    CHECK(l.play.h >= 64);
    CHECK(l.speed.h >= 48);
    CHECK(l.cameras.h >= 48);
    CHECK(l.tools.h >= 48);
    CHECK(l.plate_h >= 48);
  }
}
