// The scrub of a record: the time of the record, not of a flight, so that takeoff and landing can be moved.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "ui.hpp"

namespace halfturn {
namespace {

constexpr double grip = 48;               // px, of the handle of an end
constexpr double shortest_flight = 0.05;  // s that two ends keep apart
constexpr double most_felt_g = 5;         // top of the curve

class RecordScrub {
 public:
  RecordScrub(Ui& ui, const RecordShown& shown, const RecordedAttempt& attempt)
      : ui_(ui),
        shown_(shown),
        flight_(attempt.measured.flight),
        duration_(attempt.flight.duration()),
        area_(ui.in.layout.record_scrub),
        strip_{area_.x, area_.y + 26, area_.w, area_.h - 26 - 24} {}

  void show() {
    const Palette& c = ui_.c();
    ui_.paint.fill(strip_, c.plate, 4);
    const double from = x_of(flight_.takeoff), to = x_of(flight_.landing);
    ui_.paint.fill({from, strip_.y, to - from, strip_.h}, c.mat);
    show_felt();
    ui_.paint.outline(strip_, c.edge, 1.5, 4);
    touch_cursor(from, to);
    for (const bool takeoff : {true, false}) show_end(takeoff);
  }

 private:
  [[nodiscard]] double x_of(double time) const {
    return strip_.x + strip_.w * (time - shown_.from_s) / (shown_.to_s - shown_.from_s);
  }
  [[nodiscard]] double time_of(double x) const {
    return shown_.from_s + (shown_.to_s - shown_.from_s) * (x - strip_.x) / strip_.w;
  }

  /// What the accelerometer felt: nothing in the air.
  void show_felt() {
    const std::size_t count = shown_.felt_g.size();
    if (count < 2) return;
    std::vector<Point> curve;
    for (std::size_t i = 0; i < count; ++i) {
      const double share = static_cast<double>(i) / static_cast<double>(count - 1);
      const double g = std::min(most_felt_g, static_cast<double>(shown_.felt_g[i]));
      curve.push_back({strip_.x + strip_.w * share, strip_.bottom() - 2 - (strip_.h - 4) * g / most_felt_g});
    }
    ui_.paint.polyline(curve, ui_.c().dim, 2);
    ui_.words("record scrub/felt", Type::label, {area_.x, area_.bottom() - 6}, ui_.c().dim,
              "felt by the sensor: nothing in the air");
  }

  /// The cursor runs from takeoff to landing; a press between them seeks.
  void touch_cursor(double from, double to) {
    const Session& s = ui_.session();
    const double share = s.duration > 0 ? std::clamp(s.playback.t / s.duration, 0.0, 1.0) : 0;
    const double x = from + share * (to - from);
    // The grips of both ends lie over it.
    const Rect between{from, strip_.y, std::max(1.0, to - from), strip_.h};
    const Ui::Touched touched = ui_.touch({WidgetRecord::Kind::slider, "record scrub/time", "time",
                                           fmt::format("{:.3f}", share * duration_), false, between},
                                          4);
    if (touched.held) {
      const double at = std::clamp((touched.mouse.x - from) / std::max(1.0, to - from), 0.0, 1.0);
      ui_.push(Seek{at * s.duration});
      ui_.out.dragging = true;
    }
    ui_.paint.line({x, strip_.y}, {x, strip_.bottom()}, ui_.c().ink, 4);
    ui_.paint.disc({x, strip_.bottom()}, 7, ui_.c().ink);
  }

  void show_end(bool takeoff) {
    const Palette& c = ui_.c();
    const double time = takeoff ? flight_.takeoff : flight_.landing, x = x_of(time);
    // Outwards of its line, so that the two never cover each other.
    const Rect rect{takeoff ? x - grip : x, area_.y, grip, strip_.bottom() - area_.y};
    const std::string name = takeoff ? "takeoff" : "landing";
    const Ui::Touched touched = ui_.touch(
        {WidgetRecord::Kind::slider, "record scrub/" + name, name, fmt::format("{:.3f}", time), false, rect},
        4);
    const Color tint = touched.hovered || touched.held ? c.ink : c.edge;
    ui_.paint.line({x, strip_.y - 8}, {x, strip_.bottom()}, c.ink, 3);
    ui_.paint.polygon({{x, strip_.y + 4}, {x, strip_.y + 36}, {takeoff ? x - 18 : x + 18, strip_.y + 20}},
                      tint);
    ui_.words("record scrub/at " + name, Type::label_bold, {takeoff ? x - 6 : x + 6, area_.y + 16}, c.ink,
              fmt::format("{} {:.3f} s", name, time), takeoff ? TextAlign::right : TextAlign::left);
    if (!touched.held || touched.moved.x == 0) return;
    // Where the mouse is, less the place at which the grip is usually taken: a step of a pixel is a step.
    const double moved = time_of(x + touched.moved.x) - time;
    double from = flight_.takeoff, to = flight_.landing;
    (takeoff ? from : to) += moved;
    from = std::clamp(from, shown_.from_s, to - shortest_flight);
    to = std::clamp(to, from + shortest_flight, shown_.to_s);
    ui_.push(MarkRecord{from, to});
    ui_.out.dragging = true;
  }

  Ui& ui_;
  const RecordShown& shown_;
  const FoundFlight& flight_;
  double duration_;
  Rect area_, strip_;
};

}  // namespace

void show_record_scrub(Ui& ui) {
  const Session& s = ui.session();
  const RecordedAttempt* attempt = s.recorded_now();
  if (ui.in.layout.record_scrub.empty() || attempt == nullptr || attempt->by_eye) return;
  if (s.record->to_s <= s.record->from_s) return;
  RecordScrub(ui, *s.record, *attempt).show();
}

}  // namespace halfturn
