#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "session/words.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

constexpr int samples = 160;
/// Over this angle from vertical the heading swings wildly and means nothing: the twist so far is shown
/// instead.
constexpr double head_low = 110.0;

/// Rounds up to a whole number of 90 degrees, at least one.
double up_to_quarter(double value) {
  return std::max(90.0, 90.0 * std::ceil(value / 90.0 - 1e-9));
}

}  // namespace

// Curves of somersault, tilt, twist and heading over the scrub, on its own time axis, and the numbers of now.
void show_curves(Ui& ui) {
  const Rect& area = ui.in.layout.curves;
  if (area.empty()) return;
  const Session& s = ui.session();
  const Palette& c = ui.c();
  const Flight& flight = ui.in.flight;
  const Rung& rung = s.rung_now();
  const double duration = flight.duration();
  const bool wide = ui.in.layout.form == Form::wide;

  std::vector<double> flip, lean, twist;
  std::vector<std::optional<double>> facing;
  double high = 360, low = 0;
  for (int i = 0; i <= samples; ++i) {
    const FlightSample sample = flight.at(duration * i / samples);
    flip.push_back(to_deg(sample.angles.flip));
    lean.push_back(to_deg(sample.angles.lean));
    twist.push_back(to_deg(sample.angles.twist));
    const auto way = heading(sample.q_WB);
    const bool told = way && to_deg(angle_from_vertical(sample.q_WB)) <= head_low;
    facing.push_back(told ? std::optional(wrap_deg(to_deg(*way))) : std::nullopt);
    high = std::max({high, flip.back(), twist.back(), facing.back().value_or(0)});
    low = std::min({low, twist.back(), facing.back().value_or(0)});
  }
  high = up_to_quarter(high);
  low = low < 0 ? -up_to_quarter(-low) : 0;

  const Rect plot{area.x, area.y + 44, area.w, area.h - 52};
  const auto point = [&](int i, double value) {
    return Point{plot.x + plot.w * i / samples, plot.bottom() - plot.h * (value - low) / (high - low)};
  };
  const double grid = plot.h / ((high - low) / 90) >= 22    ? 90
                      : plot.h / ((high - low) / 180) >= 22 ? 180
                                                            : 360;
  for (double value = grid * std::ceil(low / grid); value <= high; value += grid) {
    const double y = point(0, value).y;
    ui.paint.line({plot.x, y}, {plot.right(), y}, c.hair, value == 0 ? 1.5 : 1);
    ui.paint.text(Type::label, {plot.x - 10, y + 6}, c.dim, fmt::format("{:.0f}", value), TextAlign::right);
  }
  const auto curve = [&](const std::vector<double>& values, Color tint, double width) {
    std::vector<Point> points;
    for (int i = 0; i <= samples; ++i) points.push_back(point(i, values[static_cast<std::size_t>(i)]));
    ui.paint.polyline(points, tint, width);
  };
  const auto dashed = [&](const std::vector<double>& values, Color tint, int on, int off) {
    for (int i = 0; i < samples; i += on + off) {
      std::vector<Point> points;
      for (int k = i; k <= std::min(samples, i + on); ++k)
        points.push_back(point(k, values[static_cast<std::size_t>(k)]));
      ui.paint.polyline(points, tint, 3);
    }
  };
  curve(flip, c.ink, 3);
  dashed(lean, c.ink, 2, 2);
  curve(twist, rung.side == Side::left ? c.left : c.right, 4);
  // The heading is the way the chest points: the only yellow curve, outlined, with gaps while the head is
  // low.
  for (const double width : {6.0, 3.0}) {
    std::vector<Point> points;
    for (int i = 0; i <= samples; ++i) {
      const auto& value = facing[static_cast<std::size_t>(i)];
      const bool jump = !points.empty() && value && i > 0 && facing[static_cast<std::size_t>(i - 1)] &&
                        std::abs(*value - *facing[static_cast<std::size_t>(i - 1)]) > 180;
      if (!value || jump) {
        if (points.size() > 1) ui.paint.polyline(points, width > 4 ? c.line : c.front, width / c.line_factor);
        points.clear();
      }
      if (value) points.push_back(point(i, *value));
    }
    if (points.size() > 1) ui.paint.polyline(points, width > 4 ? c.line : c.front, width / c.line_factor);
  }

  // The cursor, and the numbers now, each after a sample of its line.
  const FlightSample now = flight.at(std::clamp(s.playback.t, 0.0, duration));
  const double x = plot.x + plot.w * now.time / duration;
  ui.paint.line({x, plot.y}, {x, area.bottom()}, c.ink, 2);
  const auto way = heading(now.q_WB);
  const bool told = way && to_deg(angle_from_vertical(now.q_WB)) <= head_low;
  struct Entry {
    std::string name, value;
    Color tint;
    int style;
  };
  std::string twisted = fmt::format("{:.0f}\u00b0", std::abs(to_deg(now.angles.twist)));
  if (wide) twisted += " " + std::string(word(rung.side));
  const Entry entries[] = {
      {wide ? "somersault" : "flip", fmt::format("{:.0f}\u00b0", to_deg(now.angles.flip)), c.ink, 0},
      {"tilt", fmt::format("{:.0f}\u00b0", to_deg(now.angles.lean)), c.ink, 1},
      {"twist", twisted, rung.side == Side::left ? c.left : c.right, 0},
      {wide ? "heading" : "faces",
       told   ? fmt::format("{:.0f}\u00b0", wrap_deg(to_deg(*way)) + 0.0)
       : wide ? "head low"
              : "low",
       c.front, 2},
  };
  const double slot = area.w / 4, sample = wide ? 24 : 14;
  for (int i = 0; i < 4; ++i) {
    const Entry& entry = entries[i];
    const double ex = area.x + slot * i, ey = area.y + 22;
    if (entry.style == 2) ui.paint.line({ex, ey - 6}, {ex + sample, ey - 6}, c.line, 7 / c.line_factor);
    if (entry.style == 1) {
      ui.paint.line({ex, ey - 6}, {ex + 0.38 * sample, ey - 6}, entry.tint, 3);
      ui.paint.line({ex + 0.62 * sample, ey - 6}, {ex + sample, ey - 6}, entry.tint, 3);
    } else {
      ui.paint.line({ex, ey - 6}, {ex + sample, ey - 6}, entry.tint, 4 / c.line_factor);
    }
    const double label_w = ui.paint.text(Type::label, {ex + sample + 8, ey}, c.dim, entry.name);
    ui.words("curve/" + entry.name, Type::label_bold, {ex + sample + 14 + label_w, ey}, c.ink, entry.value);
  }
}

}  // namespace halfturn
