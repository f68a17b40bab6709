// How the picture is laid out beside the controls: what must stay in sight, clear and large enough. Measures
// are those of the page of the look or of the window's issue; the projection is the reference.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "rotation/heading.hpp"
#include "scene/compose.hpp"
#include "scene/projection.hpp"
#include "scene_items.hpp"

using namespace halfturn;

namespace {

Ladder ladder_of(const std::string& base, Side side, double first_deg_, double to_deg_, double step_deg) {
  Plan plan;
  plan.base = base;
  plan.side = side;
  plan.steps = equal_steps(first_deg_, to_deg_, step_deg);
  return make_ladder(plan, built_in_vocabulary(), built_in_difficulty()).value();
}

/// A view as the window has it at scale 1: free right of nothing, left of the climb, between buttons and
/// scrub.
View window_view(CameraKind camera, int width, int height) {
  View view;
  view.camera = camera;
  view.width_px = width;
  view.height_px = height;
  const bool wide = width >= 1100 && height >= 700;
  view.inset_top_px = wide ? 80 : 68;
  view.inset_right_px = wide ? 420 : 350;
  view.inset_bottom_px = wide ? 188 : 148;
  view.answer_width_px = wide ? 360 : 262;
  view.answer_height_px = wide ? 184 : 152;
  return view;
}

constexpr std::pair<int, int> window_sizes[] = {{1280, 800}, {900, 600}, {1440, 900}, {1920, 1080}};

bool is_yellow(const Color& c) {
  return c.r == 0xF0 && c.g == 0xE4 && c.b == 0x42;
}

/// The wall sign: the yellow polygon that stands off the floor; null when a tag takes its place.
const Polygon* sign_of_wall(const Scene& scene) {
  for (const SceneItem& item : scene.items) {
    const Polygon* p = std::get_if<Polygon>(&item);
    if (p != nullptr && p->space == Space::world && is_yellow(p->fill) && p->points[0].y > 0.5) return p;
  }
  return nullptr;
}

const Label* label_of(const std::vector<Label>& labels, const std::string& text) {
  const auto found =
      std::find_if(labels.begin(), labels.end(), [&](const Label& l) { return l.text == text; });
  return found == labels.end() ? nullptr : &*found;
}

}  // namespace

TEST_CASE("law: the wall sign stands whole in the part that controls leave free, clear of the answer") {
  int signs = 0;
  for (const auto& [width, height] : window_sizes) {
    for (const char* base : {"back flip", "front flip", "cheat kick", "gainer"}) {
      const bool kick = std::string(base) == "cheat kick";
      for (const Side side : {Side::left, Side::right}) {
        const Ladder ladder = ladder_of(base, side, kick ? 360 : 0, 720, 90);
        for (std::size_t rung = 0; rung < ladder.rungs.size(); ++rung) {
          const View view = window_view(CameraKind::side, width, height);
          const Flight flight = drawn_flight(ladder.rungs[rung], embedded_shapes());
          const Scene scene = compose(ladder, rung, flight, 0.3, view);
          const Polygon* sign = sign_of_wall(scene);
          if (sign == nullptr) continue;
          ++signs;
          const Projector projector(scene.projection);
          CAPTURE(width);
          CAPTURE(base);
          CAPTURE(rung);
          double low_x = 1e9, low_y = 1e9;
          for (const Vec3& corner : sign->points) {
            const auto p = projector.to_px(corner);
            REQUIRE(p.has_value());
            CHECK(p->x >= 0);
            CHECK(p->x <= width - view.inset_right_px);
            CHECK(p->y <= height - view.inset_bottom_px);
            low_x = std::min(low_x, p->x);
            low_y = std::min(low_y, p->y);
          }
          CHECK_FALSE((low_x < view.answer_width_px - 12 && low_y < view.answer_height_px - 12));
        }
      }
    }
  }
  CHECK(signs > 100);
}

TEST_CASE("law: the mark stands on its heading, not beside it") {
  int marks = 0;
  for (const char* base : {"back flip", "cheat kick", "butterfly", "side flip"}) {
    const bool kick = std::string(base) == "cheat kick";
    const Ladder ladder = ladder_of(base, Side::left, kick ? 360 : 0, 720, 180);
    for (const CameraKind camera : {CameraKind::side, CameraKind::front}) {
      for (std::size_t rung = 0; rung < ladder.rungs.size(); ++rung) {
        const Flight flight = drawn_flight(ladder.rungs[rung], embedded_shapes());
        const Scene scene = compose(ladder, rung, flight, 0.2, window_view(camera, 1280, 800));
        for (const Shadow& shadow : items_of<Shadow>(scene)) {
          if (shadow.footprint.size() != 1 || shadow.footprint[0].a_W != shadow.footprint[0].b_W) continue;
          ++marks;
          const Vec3 foot = shadow.footprint[0].a_W;
          CAPTURE(base);
          CHECK(std::abs(wrap_deg(to_deg(std::atan2(-foot.z, foot.x)) - ladder.rungs[rung].mark_deg)) < 1e-9);
        }
      }
    }
  }
  CHECK(marks > 8);
}

TEST_CASE("law: landings on one heading share one arrow, their numbers side by side") {
  const Ladder ladder = ladder_of("cheat kick", Side::left, 360, 1080, 180);
  REQUIRE(ladder.rungs.size() == 5);
  for (const CameraKind camera : {CameraKind::side, CameraKind::front, CameraKind::above}) {
    const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
    const Scene scene = compose(ladder, 2, flight, 0.2, window_view(camera, 1280, 800));
    const std::vector<Label> labels = items_of<Label>(scene);
    const Label* before = label_of(labels, "B");
    REQUIRE(before != nullptr);
    for (const char* text : {"1", "2", "3", "4"}) {
      const Label* next = label_of(labels, text);
      REQUIRE(next != nullptr);
      CHECK(next->y_px == before->y_px);
      // Discs of at least the height of a figure and a rim: the numbers do not touch.
      CHECK(next->x_px - before->x_px > 0.9 * next->size_px);
      CHECK(next->x_px - before->x_px < 2.2 * next->size_px);
      before = next;
    }
    int yellow_arrows = 0;
    for (const Polygon& p : items_of<Polygon>(scene))
      yellow_arrows += is_yellow(p.fill) && p.fill.opacity == 1 && p.points.size() == 7 ? 1 : 0;
    CHECK(yellow_arrows == 1);
  }
}

TEST_CASE("law: the highest flight stays under the buttons and over the scrub") {
  for (const char* base : {"trampoline back", "back flip", "gainer"}) {
    const Ladder ladder = ladder_of(base, Side::left, 0, 720, 360);
    for (const auto& [width, height] : window_sizes) {
      for (const CameraKind camera : {CameraKind::side, CameraKind::front}) {
        const View view = window_view(camera, width, height);
        for (std::size_t rung = 0; rung < ladder.rungs.size(); ++rung) {
          const Flight flight = drawn_flight(ladder.rungs[rung], embedded_shapes());
          for (int i = 0; i <= 20; ++i) {
            const Scene scene = compose(ladder, rung, flight, flight.duration() * i / 20, view);
            const std::vector<Figure> figures = items_of<Figure>(scene);
            const Projector projector(scene.projection);
            CAPTURE(base);
            CAPTURE(width);
            CAPTURE(rung);
            CAPTURE(i);
            double highest = 1e9, lowest = -1e9;
            for (const Capsule& c : figures.back().capsules) {
              for (const Vec3& p_W : {c.a_W, c.b_W}) {
                const auto p = projector.to_px(p_W);
                REQUIRE(p.has_value());
                highest = std::min(highest, p->y);
                lowest = std::max(lowest, p->y);
              }
            }
            CHECK(highest > view.inset_top_px);
            CHECK(lowest < height - view.inset_bottom_px);
          }
        }
      }
    }
  }
}

TEST_CASE("law: figures on the dial are a thirtieth of the picture high") {
  // Height of a capital and a figure in Inter: 1490 of 2048 units of the em (its OS/2 table).
  const double figure_em = 1490.0 / 2048;
  const Ladder ladder = ladder_of("back flip", Side::left, 0, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  for (const auto& [width, height] : window_sizes) {
    for (const CameraKind camera : {CameraKind::side, CameraKind::front, CameraKind::above}) {
      const Scene scene = compose(ladder, 2, flight, 0.3, window_view(camera, width, height));
      const std::vector<Label> labels = items_of<Label>(scene);
      int seen = 0;
      for (const char* text : {"B", "1", "2", "3", "4", "45 L", "135 L", "45 R", "135 R"}) {
        const Label* label = label_of(labels, text);
        if (label == nullptr) continue;
        ++seen;
        CAPTURE(text);
        CHECK(label->size_px * figure_em >= height / 30.0 - 0.01);
      }
      CHECK(seen >= 6);
    }
  }
}

TEST_CASE("law: from above the dial keeps off the answer's words") {
  for (const auto& [width, height] : window_sizes) {
    const Ladder ladder = ladder_of("back flip", Side::left, 0, 360, 90);
    const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
    const View view = window_view(CameraKind::above, width, height);
    const Scene scene = compose(ladder, 2, flight, 0.3, view);
    const Projector projector(scene.projection);
    CAPTURE(width);
    for (int a = 0; a < 360; a += 3) {
      const auto p = projector.to_px({1.62 * std::cos(to_rad(a)), 0, 1.62 * std::sin(to_rad(a))});
      REQUIRE(p.has_value());
      CHECK_FALSE((p->x < view.answer_width_px && p->y < view.answer_height_px));
      CHECK(p->x > 0);
      CHECK(p->x < width - view.inset_right_px);
      CHECK(p->y > view.inset_top_px);
      CHECK(p->y < height - view.inset_bottom_px);
    }
  }
}

TEST_CASE("law: lines of the instructor's view keep off the answer's words") {
  const Ladder ladder = ladder_of("gainer", Side::left, 0, 720, 180);
  for (const auto& [width, height] : window_sizes) {
    for (std::size_t rung = 0; rung < ladder.rungs.size(); ++rung) {
      const Flight flight = drawn_flight(ladder.rungs[rung], embedded_shapes());
      for (const double share : {0.0, 0.2, 0.5, 0.8}) {
        View view = window_view(CameraKind::side, width, height);
        view.toggles.traces = false;
        view.toggles.flip_axis = true;
        const Scene plain = compose(ladder, rung, flight, share * flight.duration(), view);
        const Projector projector(plain.projection);
        for (const Line& line : items_of<Line>(plain)) {
          if (line.space != Space::world || line.points.size() != 2 || line.points[0].y < 0.05) continue;
          if (line.stroke.dash_px == 0) continue;
          for (int i = 0; i <= 20; ++i) {
            const Vec3 at = line.points[0] + (i / 20.0) * (line.points[1] - line.points[0]);
            const auto p = projector.to_px(at);
            REQUIRE(p.has_value());
            CAPTURE(width);
            CAPTURE(rung);
            CHECK_FALSE((p->x < view.answer_width_px - 2 && p->y < view.answer_height_px - 2));
          }
        }
      }
    }
  }
}

TEST_CASE("the beam points where the view says while the rung changes") {
  const Ladder ladder = ladder_of("back flip", Side::left, 0, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[2], embedded_shapes());
  const auto beam_middle_deg = [](const Scene& scene) {
    for (const Polygon& p : items_of<Polygon>(scene)) {
      if (!is_yellow(p.fill) || p.points[0] != Vec3(0)) continue;
      const Vec3 a = p.points[1], b = p.points.back();
      return to_deg(std::atan2(-(a.z + b.z), a.x + b.x));
    }
    return 1e9;
  };
  View view = window_view(CameraKind::side, 1280, 800);
  CHECK(std::abs(wrap_deg(beam_middle_deg(compose(ladder, 2, flight, 0.3, view)) - 180)) < 1e-9);
  view.beam_heading_deg = 130;
  CHECK(std::abs(beam_middle_deg(compose(ladder, 2, flight, 0.3, view)) - 130) < 1e-9);
}

TEST_CASE("a climb of many ways shows where it comes from, where it goes and what is next") {
  const Ladder ladder = ladder_of("back flip", Side::left, 0, 1440, 1);
  const Flight flight = drawn_flight(ladder.rungs[700], embedded_shapes());
  const Scene scene = compose(ladder, 700, flight, 0.3, window_view(CameraKind::above, 1280, 800));
  const std::vector<Label> labels = items_of<Label>(scene);
  for (const char* text : {"B", "700"}) CHECK(label_of(labels, text) != nullptr);
  CHECK(scene.items.size() < 400);
}

TEST_CASE("the twin is the mirror image beside the dial, with a sign of its own") {
  const Ladder ladder = ladder_of("back flip", Side::left, 0, 360, 90);
  const Flight flight = drawn_flight(ladder.rungs[1], embedded_shapes());
  View view = window_view(CameraKind::side, 1440, 900);
  const auto flyers = [](const Scene& scene) {
    std::vector<Figure> found = items_of<Figure>(scene);
    std::erase_if(found, [](const Figure& f) { return f.ghost; });
    return found;
  };
  CHECK(flyers(compose(ladder, 1, flight, 0.3, view)).size() == 1);
  view.toggles.both_sides = true;
  const Scene scene = compose(ladder, 1, flight, 0.3, view);
  const std::vector<Figure> both = flyers(scene);
  REQUIRE(both.size() == 2);
  // Mirrored at the upright plane of the held start, heading 0: z -> -z, smaller by one factor, elsewhere.
  const Figure &twin = both[0], &flyer = both[1];
  const Vec3 a = twin.capsules[3].a_W - twin.capsules[1].a_W,
             b = flyer.capsules[3].a_W - flyer.capsules[1].a_W;
  const double factor = std::sqrt((a.x * a.x + a.y * a.y + a.z * a.z) / (b.x * b.x + b.y * b.y + b.z * b.z));
  CHECK(factor > 0.5);
  CHECK(factor < 1);
  for (std::size_t i = 2; i < 4; ++i) {
    const Vec3 p = twin.capsules[i].a_W - twin.capsules[1].a_W,
               r = flyer.capsules[i].a_W - flyer.capsules[1].a_W;
    CHECK(std::abs(p.x - factor * r.x) < 1e-9);
    CHECK(std::abs(p.y - factor * r.y) < 1e-9);
    CHECK(std::abs(p.z + factor * r.z) < 1e-9);
  }
  CHECK(std::hypot(twin.capsules[1].a_W.x, twin.capsules[1].a_W.z) > 2);
  // A quarter: the left twister faces the left wall, the twin the right one.
  std::set<std::string> on_yellow;
  const auto texts = items_of<SurfaceText>(scene);
  for (const SurfaceText& t : texts) on_yellow.insert(t.text);
  CHECK(on_yellow.contains("right wall"));
  int signs = 0;
  for (const Polygon& p : items_of<Polygon>(scene))
    signs += p.space == Space::world && is_yellow(p.fill) && p.points[0].y > 0.5 ? 1 : 0;
  CHECK(signs >= 1);
}
