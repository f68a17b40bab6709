#include <algorithm>
#include <cmath>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double see_through = 0.62;  // opacity of a companion
constexpr double name_over_m = 0.30;  // of its name, over the highest of head, hands and feet
constexpr double way_inner_m = 0.30, way_outer_m = 1.46, way_half_deg = 3;

}  // namespace

// Where each of the others will face: a narrow way in its own colour, under the names.
void Composer::companion_landings() {
  for (std::size_t i = 0; i < companions_.size(); ++i) {
    const double heading = companions_[i].rung.landing.heading_deg;
    // Beside each other where several face the same way.
    double aside = 0;
    for (std::size_t k = 0; k < i; ++k) {
      if (companions_[k].rung.landing.heading_deg == heading) aside += 2.4 * way_half_deg;
    }
    const double middle = heading + aside, from = middle - way_half_deg, to = middle + way_half_deg;
    add(Polygon{Space::world,
                {on_dial(way_inner_m, middle), on_dial(way_outer_m, from), on_dial(way_outer_m, to)},
                palette_.companions[i],
                stroke(palette_.line, 1)});
  }
}

void Composer::companions() {
  if (companions_.empty() || eyes()) return;
  struct Other {
    std::size_t index = 0;
    double distance = 0;
    Moment moment;
  };
  std::vector<Other> others;
  for (std::size_t i = 0; i < companions_.size(); ++i) {
    const Companion& companion = companions_[i];
    Other other{i, 0, moment_at(body_, companion.rung, companion.flight, companion.time)};
    other.distance = projector_.to_view(other.moment.sample.com_W).z;
    others.push_back(std::move(other));
  }
  // The farthest first.
  std::stable_sort(others.begin(), others.end(),
                   [](const Other& a, const Other& b) { return a.distance > b.distance; });
  for (const Other& other : others) {
    FigureStyle style;
    style.scale_px = px_;
    style.opacity = see_through;
    style.body = palette_.companions[other.index];
    add(make_figure(body_, other.moment.body, palette_, style));
  }
  if (!view_.toggles.labels) return;
  const auto name = [&](const PlacedBody& placed, const std::string& text) {
    Vec3 highest = head_centre_W(placed);
    for (const bool left : {true, false}) {
      for (const Vec3& p : {hand_centre_W(placed, left), foot_centre_W(placed, left)}) {
        if (p.y > highest.y) highest = p;
      }
    }
    const auto p = px(highest + Vec3(0, name_over_m, 0));
    if (!p) return;
    Label label{text, p->x, p->y, 16 * px_, Weight::bold, Align::centre, palette_.ink, palette_.halo};
    if (view_.theme == Theme::dark) label.halo = palette_.wall2;
    // Over a name that stands there already.
    for (int tries = 0; tries < 5; ++tries, label.y_px -= 8 * px_) {
      if (!place_label(label)) continue;
      taken_.back().y0 -= 5 * px_;
      taken_.back().y1 += 5 * px_;
      return;
    }
  };
  for (const Other& other : others) name(other.moment.body, companions_[other.index].name);
}

}  // namespace halfturn
