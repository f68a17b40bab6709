// The page of what really happened: what a record came to, its questions, its ends, and logging it.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "skill/stance.hpp"
#include "ui.hpp"

namespace halfturn {
namespace {

constexpr double small_nudge = 0.010;  // s, of takeoff or landing by a press

std::string turned(const std::optional<double>& degrees) {
  if (!degrees) return "not known";
  const double whole = std::round(std::abs(*degrees)) + 0.0;
  return whole == 0 ? "0\u00b0" : fmt::format("{:.0f}\u00b0 {}", whole, *degrees < 0 ? "right" : "left");
}

std::string file_name(const std::string& path) {
  const std::size_t slash = path.find_last_of('/');
  return slash == std::string::npos ? path : path.substr(slash + 1);
}

class RecordPage {
 public:
  RecordPage(Ui& ui, const Rect& area)
      : ui_(ui), area_(area), s_(ui.session()), low_(ui.in.layout.form != Form::wide) {}

  void show() {
    const RecordShown* shown = s_.record.get();
    title(shown == nullptr ? "open a record" : file_name(shown->path));
    if (shown == nullptr) {
      show_open();
    } else if (shown->reading) {
      ui_.words("record/reading", Type::text, {area_.x, y_ + 20}, ui_.c().dim, "reading");
    } else if (shown->question) {
      show_question(*shown->question);
    } else if (const RecordedAttempt* attempt = s_.recorded_now()) {
      show_attempt(*shown, *attempt);
    }
    show_bottom(shown != nullptr);
  }

 private:
  void title(const std::string& words) {
    const Palette& c = ui_.c();
    y_ = area_.y + (low_ ? 22 : 31);
    ui_.words("sheet/caption", Type::text, {area_.x, y_}, c.dim, "what really happened: a record");
    y_ += low_ ? 34 : 48;
    const Type type = low_ ? Type::step : Type::title;
    ui_.words("sheet/title", type, {area_.x - 2, y_}, c.ink, ui_.paint.cut(type, words, area_.w));
    y_ += low_ ? 16 : 28;
  }

  void paragraph(const std::string& name, Type type, const std::string& text, Color tint) {
    const double leading = type == Type::text || type == Type::text_bold ? 26 : 20;
    const int rows = ui_.paint.lines_of(type, area_.w, text);
    ui_.out.records.push_back(
        {WidgetRecord::Kind::words, name, text, "", false, {area_.x, y_, area_.w, rows * leading}});
    ui_.paint.paragraph(type, {area_.x, y_ + 18}, area_.w, leading, tint, text);
    y_ += rows * leading + 6;
  }

  void typed(const std::string& name, const char* label, const auto& entered_with) {
    std::string text = s_.typed_path;
    bool entered = false;
    if (ui_.field(name, text, {area_.x, y_ + 8, area_.w - 112, 48}, &entered)) ui_.push(TypePath{text});
    if (ui_.pill(name + " go", label, {area_.right() - 104, y_ + 8, 104, 48}) || entered) entered_with(text);
    y_ += 64;
  }

  void show_open() {
    paragraph("record/what", Type::text,
              "A CSV or BVH file of a sensor on the trunk, or of motion capture. Drop it on the window, or "
              "type where it is.",
              ui_.c().ink);
    typed("record/path", "open", [&](const std::string& text) {
      if (!text.empty()) ui_.push(OpenRecord{text});
    });
  }

  void show_question(const RecordQuestion& question) {
    paragraph("record/question", low_ ? Type::label_bold : Type::text_bold, question.text, ui_.c().ink);
    if (question.option.empty()) return;
    if (question.choices.empty()) {
      ui_.words("record/option", Type::label, {area_.x, y_ + 14}, ui_.c().dim, question.option);
      y_ += 14;
      typed("record/answer", "answer", [&](const std::string& text) {
        ui_.push(AnswerRecord{question.option, text});
      });
      return;
    }
    std::vector<Ui::Choice> choices;
    for (const std::string& words : question.choices) choices.push_back({words, false});
    y_ = ui_.pills("answer", choices, {area_.x, y_ + 8, area_.w, 0}, [&](std::size_t i) {
      ui_.push(AnswerRecord{question.option, question.choices[i]});
    });
  }

  void row(const char* caption, const std::string& value, bool bold = false) {
    const double pitch = low_ ? 22 : 26, column = low_ ? 116 : 150;
    Type type = low_ ? (bold ? Type::label_bold : Type::label) : (bold ? Type::text_bold : Type::text);
    if (ui_.paint.text_width(type, value) > area_.w - column) type = bold ? Type::label_bold : Type::label;
    ui_.paint.text(Type::label, {area_.x, y_ + 18}, ui_.c().dim, caption);
    ui_.words(std::string("record/") + caption, type, {area_.x + column, y_ + 18}, ui_.c().ink,
              ui_.paint.cut(type, value, area_.w - column));
    y_ += pitch;
  }

  void show_attempt(const RecordShown& shown, const RecordedAttempt& attempt) {
    const AttemptMeasures& m = attempt.measured.measures;
    const FlightMeasures& f = m.flight;
    const Rung& flown = attempt.ladder->rungs[attempt.rung];
    row("held against", s_.rung_now().title);
    row("air time", fmt::format("{:.2f} s, give or take {:.3f}", f.air_time_s, m.doubt.air_time_s));
    if (f.flips)
      row("flip", f.somersault_deg
                      ? fmt::format("{:.0f}\u00b0 in the air", std::abs(std::round(*f.somersault_deg)))
                      : "not known");
    row("twist", f.twist_deg ? fmt::format("{} in the air, give or take {:.0f}\u00b0", turned(f.twist_deg),
                                           std::ceil(m.doubt.twist_deg))
                             : "not known");
    if (m.floor_turn_deg) row("on the floor", turned(m.floor_turn_deg) + " before takeoff");
    row("lands facing", facing_words(flown.landing.heading_deg, s_.plan.walls));
    row("first contact", against_words(attempt).empty() ? "cannot be told" : against_words(attempt), true);
    if (!attempt.by_eye) show_ends(shown, attempt);
    show_log();
    // What was taken for granted and what to be careful about, as far as there is room.
    const double bottom = area_.bottom() - 60;
    y_ += 4;
    std::vector<std::string> said = m.cautions;
    for (const Convention& c : attempt.measured.conventions) {
      if (c.how.starts_with("assumed")) said.push_back(fmt::format("{}: {} ({})", c.what, c.value, c.how));
    }
    for (std::size_t k = 0; k < said.size(); ++k) {
      if (y_ + 20.0 * ui_.paint.lines_of(Type::label, area_.w, said[k]) > bottom) break;
      paragraph(fmt::format("record/note {}", k), Type::label, said[k], ui_.c().dim);
    }
  }

  /// Takeoff and landing by small steps; on the scrub they are dragged.
  void show_ends(const RecordShown& shown, const RecordedAttempt& attempt) {
    const FoundFlight& now = attempt.measured.flight;
    const double half = (area_.w - 16) / 2;
    const auto end = [&](const char* name, double x, double time, double takeoff, double landing) {
      ui_.words(std::string("record/at ") + name, Type::label, {x, y_ + 18}, ui_.c().dim,
                fmt::format("{} {:.3f} s", name, time));
      const double w = (half - 8) / 2;
      for (const int way : {-1, 1}) {
        const Rect rect{x + (way < 0 ? 0 : w + 8), y_ + 26, w, 48};
        const std::string name_of = fmt::format("{}/{}", name, way < 0 ? "earlier" : "later");
        if (ui_.pill(name_of, way < 0 ? "- 10 ms" : "+ 10 ms", rect, false, false, Type::label_bold))
          ui_.push(MarkRecord{now.takeoff + way * takeoff, now.landing + way * landing});
      }
    };
    end("takeoff", area_.x, now.takeoff, small_nudge, 0);
    end("landing", area_.x + half + 16, now.landing, 0, small_nudge);
    y_ += 82;
    const std::size_t count = attempt.measured.flights.size();
    std::vector<Ui::Choice> flights;
    if (count > 1 && count <= 8) {
      for (std::size_t k = 0; k < count; ++k)
        flights.push_back({fmt::format("flight {}", k + 1), k == attempt.measured.chosen});
    }
    if (shown.by_hand) flights.push_back({"as found", false});
    y_ = ui_.pills(
        "flight", flights, {area_.x, y_, area_.w, 0},
        [&](std::size_t i) {
          if (shown.by_hand && i + 1 == flights.size()) return ui_.push(UnmarkRecord{});
          ui_.push(AnswerRecord{"--flight", fmt::format("{}", i + 1)});
        },
        Type::label_bold);
  }

  void show_log() {
    const std::string& name = s_.record->athlete;
    ui_.words("record/log", Type::label, {area_.x, y_ + 16}, ui_.c().dim,
              name.empty() ? "to log it, name the athlete in the plan"
                           : ui_.paint.cut(Type::label, fmt::format("log it for {} as", name), area_.w));
    y_ += 22;
    if (name.empty()) return;
    static constexpr AttemptOutcome outcomes[] = {AttemptOutcome::in_hand, AttemptOutcome::controlled,
                                                  AttemptOutcome::on_feet, AttemptOutcome::hand_down,
                                                  AttemptOutcome::fall};
    std::vector<Ui::Choice> choices;
    for (const AttemptOutcome outcome : outcomes) choices.push_back({std::string(word(outcome)), false});
    y_ = ui_.pills(
        "log", choices, {area_.x, y_, area_.w, 0}, [&](std::size_t i) { ui_.push(LogRecord{outcomes[i]}); },
        Type::label_bold);
  }

  void show_bottom(bool open) {
    const double w = (area_.w - 32) / 3, y = area_.bottom() - 48;
    if (!s_.notice.empty()) {
      // Over the middle of the bottom row, whatever stands above it.
      const Type type = Type::label_bold;
      ui_.paint.fill({area_.x, y - 30, area_.w, 26}, ui_.c().air);
      ui_.words(s_.notice_is_problem ? "notice/problem" : "notice/done", type, {area_.x, y - 12}, ui_.c().ink,
                ui_.paint.cut(type, s_.notice, area_.w));
    }
    if (open && ui_.pill("record/close", "close it", {area_.x, y, w, 48})) ui_.push(OpenRecord{""});
    if (ui_.pill("sheet/done", "done", {area_.right() - w, y, w, 48}, true)) ui_.push(ShowSheet{Sheet::none});
  }

  Ui& ui_;
  Rect area_;
  const Session& s_;
  bool low_;
  double y_ = 0;
};

}  // namespace

void show_record_page(Ui& ui, const Rect& area) {
  RecordPage(ui, area).show();
}

}  // namespace halfturn
