#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

class SpreadPage {
 public:
  SpreadPage(Ui& ui, const Rect& area) : ui_(ui), area_(area), low_(ui.in.layout.form != Form::wide) {}

  void show() {
    const Session& s = ui_.session();
    const Palette& c = ui_.c();
    y_ = area_.y + (low_ ? 22 : 31);
    ui_.words("sheet/caption", Type::text, {area_.x, y_}, c.dim, "if takeoffs vary: an estimate of a model");
    y_ += low_ ? 36 : 48;
    const Type type = low_ ? Type::step : Type::title;
    ui_.words("sheet/title", type, {area_.x - 2, y_}, c.ink,
              ui_.paint.cut(type, s.rung_now().title, area_.w));
    y_ += low_ ? 26 : 40;
    const SpreadShown* shown = s.spread_now();
    if (shown == nullptr) {
      ui_.words("spread/computing", Type::text, {area_.x, y_ + 10}, c.dim, "computing");
    } else if (!shown->answer->landings) {
      show_no_flight(shown->answer->simulation.solved.feasibility.shortfalls);
    } else {
      show_landings(*shown, *shown->answer->landings);
    }
    show_bottom();
  }

 private:
  void show_no_flight(const std::vector<std::string>& shortfalls) {
    paragraph("spread/none", Type::text_bold,
              "No flight of this body lands as planned, so there is none to vary.");
    for (std::size_t i = 0; i < shortfalls.size(); ++i)
      paragraph(fmt::format("spread/short {}", i), Type::text, "short: " + shortfalls[i]);
  }

  void show_landings(const SpreadShown& shown, const RungSpread& landings) {
    const Palette& c = ui_.c();
    const LandingCounts& counts = landings.counts;
    y_ += 8;
    const double share = ui_.words("spread/share", Type::step, {area_.x, y_}, c.ink, share_words(landings));
    ui_.words("spread/controlled", Type::text, {area_.x + share + 12, y_}, c.dim, "controlled");
    y_ += 10;
    // The bar is the share, the bracket what chance leaves open.
    const Rect bar{area_.x, y_, area_.w, 16};
    ui_.paint.fill({bar.x, bar.y, bar.w * landings.share, bar.h}, c.passed, 4);
    ui_.paint.outline(bar, c.edge, 1.5, 4);
    const double threshold = bar.x + bar.w * ui_.session().spread_threshold;
    ui_.paint.line({threshold, bar.y - 4}, {threshold, bar.bottom() + 4}, c.ink, 3);
    y_ += 30;
    show_uprightness(landings);
    show_factors(counts);
    const Type said = low_ ? Type::label_bold : Type::text_bold;
    paragraph("spread/sensitive", said,
              fmt::format("most sensitive to: {}", takeoff_factor_word(shown.answer->most_sensitive)));
    paragraph("spread/next", said,
              next_step_words(*shown.answer, shown.question, ui_.session().rung_now().title));
    paragraph("spread/source", Type::label,
              fmt::format("{} flights; body: {}; spread: {}", counts.flights, shown.body, shown.source));
  }

  /// Long axis from vertical in steps of 5 degrees up to 60; the line is what still counts as upright.
  void show_uprightness(const RungSpread& landings) {
    const Palette& c = ui_.c();
    constexpr std::size_t bins = 60 / LandingCounts::upright_bin_deg;
    const LandingCounts& counts = landings.counts;
    const double limit_deg =
        ui_.session().rung_now().landing.contact_angle_deg + to_deg(landings.tolerance.upright);
    ui_.words("spread/upright", Type::label, {area_.x, y_ + 12}, c.dim,
              fmt::format("{:.0f} give or take {:.0f} degrees from upright, up to {:.0f} counts",
                          counts.angle_mean_deg(), counts.angle_sd_deg(), limit_deg));
    y_ += 22;
    if (low_) return;
    const double height = 48, width = area_.w / bins;
    const auto fullest = static_cast<double>(
        std::max<std::int64_t>(1, *std::max_element(counts.uprightness.begin(), counts.uprightness.end())));
    for (std::size_t i = 0; i < bins; ++i) {
      const double h = height * static_cast<double>(counts.uprightness[i]) / fullest;
      const Rect bin{area_.x + width * static_cast<double>(i), y_ + height - h, width - 2, h};
      ui_.paint.fill(bin, c.ghost);
    }
    ui_.paint.line({area_.x, y_ + height}, {area_.right(), y_ + height}, c.edge, 1.5);
    const double limit = area_.x + width * limit_deg / LandingCounts::upright_bin_deg;
    ui_.paint.line({limit, y_ - 2}, {limit, y_ + height}, c.ink, 3);
    for (const int degrees : {0, 30, 60}) {
      ui_.paint.text(Type::label, {area_.x + area_.w * degrees / 60, y_ + height + 18}, c.dim,
                     fmt::format("{}\u00b0", degrees),
                     degrees == 0    ? TextAlign::left
                     : degrees == 60 ? TextAlign::right
                                     : TextAlign::middle);
    }
    y_ += height + 34;
  }

  /// How far one usual error turns the landing, left and right of a middle line.
  void show_factors(const LandingCounts& counts) {
    const Palette& c = ui_.c();
    ui_.words("spread/factors", Type::label, {area_.x, y_ + 12}, c.dim,
              "one usual error turns the landing by");
    y_ += 22;
    double most = 10;
    for (const TakeoffFactor factor : takeoff_factors)
      most = std::max(most, std::abs(counts.heading_by_deg(factor)));
    const double left = area_.x + 190, middle = left + (area_.w - 190 - 70) / 2;
    for (const TakeoffFactor factor : takeoff_factors) {
      const double degrees = std::abs(counts.heading_by_deg(factor));
      const std::string name{takeoff_factor_word(factor)}, value = fmt::format("{:.0f}\u00b0", degrees);
      ui_.words("spread/factor " + name, Type::label_bold, {area_.x, y_ + 18}, c.ink, name);
      const double reach = (area_.w - 190 - 70) / 2 * degrees / most;
      ui_.paint.fill({middle - reach, y_ + 6, 2 * reach, 14}, c.ghost, 3);
      ui_.paint.line({middle, y_ + 2}, {middle, y_ + 24}, c.edge, 1.5);
      ui_.words("spread/by " + name, Type::label_bold, {area_.right(), y_ + 18}, c.ink, value,
                TextAlign::right);
      y_ += low_ ? 24 : 27;
    }
    y_ += 8;
  }

  void paragraph(const std::string& name, Type type, const std::string& text) {
    const double leading = type == Type::text_bold || type == Type::text ? 26 : 21;
    const int rows = ui_.paint.lines_of(type, area_.w, text);
    ui_.out.records.push_back(
        {WidgetRecord::Kind::words, name, text, "", false, {area_.x, y_, area_.w, rows * leading}});
    ui_.paint.paragraph(type, {area_.x, y_ + 18}, area_.w, leading, ui_.c().ink, text);
    y_ += rows * leading + 4;
  }

  void show_bottom() {
    const Session& s = ui_.session();
    const double y = area_.bottom() - 48, w = (area_.w - 32) / 3;
    const double above = y - (low_ ? 56 : 64);
    ui_.words("spread/threshold", Type::label, {area_.x, above + 30}, ui_.c().dim, "a step counts from");
    double x = area_.x + 160;
    for (const double share : {0.7, 0.8, 0.9}) {
      const std::string label = fmt::format("{:.0f} %", 100 * share);
      if (ui_.pill("threshold/" + label, label, {x, above, 84, 48},
                   std::abs(s.spread_threshold - share) < 1e-9, true)) {
        ui_.push(ChooseThreshold{share});
      }
      x += 92;
    }
    Toggles toggles = s.look.toggles;
    if (ui_.pill("spread/keep", "keep the rose", {area_.x, y, w + 16, 48}, toggles.landings, true)) {
      toggles.landings = !toggles.landings;
      ui_.push(ChooseToggles{toggles});
    }
    if (ui_.pill("sheet/done", "done", {area_.right() - w, y, w, 48}, true)) ui_.push(ShowSheet{Sheet::none});
  }

  Ui& ui_;
  Rect area_;
  bool low_;
  double y_ = 0;
};

}  // namespace

void show_spread_sheet(Ui& ui, const Rect& area) {
  SpreadPage(ui, area).show();
}

}  // namespace halfturn
