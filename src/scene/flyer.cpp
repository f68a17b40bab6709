#include <algorithm>
#include <cmath>

#include "composer.hpp"

namespace halfturn {
namespace {

constexpr double past_s = 0.42, ahead_s = 0.27;  // of the traces
constexpr double mark_every_s = 1.0 / 15;
constexpr double sample_s = 1.0 / 120;

}  // namespace

void Composer::shadow() {
  const Figure figure = make_figure(body_, now_.body, palette_, {});
  // Growing steps make the edge soft; each is faint, together they are a shadow.
  Shadow shadow{footprint(figure), {}, palette_.shadow};
  const double opacity[] = {0.035, 0.04, 0.045, 0.05, 0.06};
  for (int i = 0; i < 5; ++i)
    shadow.layers.push_back({0.20 - 0.0375 * i, (view_.theme == Theme::dark ? 2.5 : 1.0) * opacity[i]});
  shadow.of_flyer = true;
  add(std::move(shadow));
}

void Composer::travel() {
  const Vec3 from = flight_.at(0).com_W, to = flight_.at(flight_.duration()).com_W;
  const double dx = to.x - from.x, dz = to.z - from.z;
  if (std::hypot(dx, dz) < 0.3) return;
  const Vec3 a(-0.5 * dx, 0, -0.5 * dz), b(0.5 * dx, 0, 0.5 * dz);
  add(Line{Space::world, {a, b}, stroke(palette_.dim, 1.6, 5, 5)});
  if (const auto p = px(a)) add(Marker{Marker::Shape::disc, p->x, p->y, 3.5 * px_, palette_.dim, {}});
  if (const auto p = px(b))
    add(Marker{Marker::Shape::disc, p->x, p->y, 4 * px_, palette_.mat, stroke(palette_.dim, 1.6)});
}

void Composer::traces() {
  if (!view_.toggles.traces || eyes()) return;
  const double end = flight_.duration();
  const double now = std::clamp(time_, 0.0, end);
  const double from = std::max(0.0, time_ - past_s), to = std::min(end, std::max(0.0, time_) + ahead_s);
  const Vec3 middle = flight_middle_W(flight_);
  struct Places {
    Vec3 head, left, right, kicking;
  };
  const bool left_kicks = rung_.kick && rung_.kick->leg == "left";
  const auto at = [&](double time) {
    const FlightSample s = flight_.at(time);
    const PlacedBody placed = lifted_to_floor(body_, place_by_com(body_, s.pose, s.q_WB, s.com_W - middle));
    return Places{head_centre_W(placed), hand_centre_W(placed, true), hand_centre_W(placed, false),
                  foot_centre_W(placed, left_kicks)};
  };
  const auto path = [&](double t0, double t1) {
    std::vector<Places> places;
    if (t1 - t0 < 1e-9) return places;
    const int steps = std::max(1, static_cast<int>(std::ceil((t1 - t0) / sample_s - 1e-9)));
    for (int i = 0; i <= steps; ++i) places.push_back(at(t0 + (t1 - t0) * i / steps));
    return places;
  };
  const std::vector<Places> past = path(std::min(from, now), now), ahead = path(now, to);
  std::vector<Places> beads;
  for (int k = static_cast<int>(std::ceil(from / mark_every_s - 1e-9)); k * mark_every_s <= now + 1e-9; ++k)
    beads.push_back(at(k * mark_every_s));
  const Color ink = palette_.ink;
  struct Trace {
    Vec3 Places::*place;
    Color color;
    Marker::Shape shape;
  };
  std::vector<Trace> traces;
  if (rung_.kick) {
    // Of a kick the foot tells, not the hands.
    traces.push_back({&Places::kicking, left_kicks ? palette_.left : palette_.right,
                      left_kicks ? Marker::Shape::disc : Marker::Shape::square});
    traces.push_back({&Places::head, ink, Marker::Shape::disc});
  } else {
    traces = {{&Places::right, palette_.right, Marker::Shape::square},
              {&Places::left, palette_.left, Marker::Shape::disc},
              {&Places::head, ink, Marker::Shape::disc}};
  }
  for (const Trace& trace : traces) {
    const auto line = [&](const std::vector<Places>& places, Stroke look) {
      if (places.size() < 2) return;
      Line path_line{Space::world, {}, look};
      for (const Places& p : places) path_line.points.push_back(p.*trace.place);
      add(std::move(path_line));
    };
    line(ahead, stroke(trace.color, 1.6, 3, 4));
    line(past, stroke(trace.color, 3));
    for (const Places& bead : beads) {
      if (const auto p = px(bead.*trace.place))
        add(Marker{trace.shape, p->x, p->y, (trace.shape == Marker::Shape::square ? 4 : 4.5) * px_,
                   trace.color, stroke(palette_.halo, 1.2)});
    }
  }
}

void Composer::flyer() {
  FigureStyle style;
  style.head = projector_.projection().camera.own_head;
  style.scale_px = px_;
  add(make_figure(body_, now_.body, palette_, style));
}

void Composer::strike() {
  if (!rung_.kick || !rung_.kick->strike_share || eyes()) return;
  const double time = *rung_.kick->strike_share * flight_.duration();
  if (time_ < time) return;
  const FlightSample s = flight_.at(time);
  const PlacedBody placed =
      lifted_to_floor(body_, place_by_com(body_, s.pose, s.q_WB, s.com_W - flight_middle_W(flight_)));
  const auto p = px(foot_centre_W(placed, rung_.kick->leg == "left"));
  if (!p) return;
  // Eight short rays around the place: struck here.
  for (int i = 0; i < 8; ++i) {
    const double angle = to_rad(22.5 + 45.0 * i);
    const double c = std::cos(angle), d = std::sin(angle);
    add(Line{Space::screen,
             {{p->x + 12 * px_ * c, p->y + 12 * px_ * d, 0}, {p->x + 22 * px_ * c, p->y + 22 * px_ * d, 0}},
             stroke(palette_.ink, 3)});
  }
  if (view_.toggles.labels && time_ < time + 0.25)
    place_label({"strike", p->x, p->y - 36 * px_, 16 * px_, Weight::bold, Align::centre, palette_.ink,
                 palette_.halo});
}

}  // namespace halfturn
