#pragma once

#include <string>
#include <string_view>

#include "paint.hpp"
#include "panels/panels.hpp"

namespace halfturn {

/// One frame of widgets: draws in the look's own style, records what it drew, collects edits.
class Ui {
 public:
  Ui(const PanelInput& input, Paint& painter, PanelOutput& output) : in(input), paint(painter), out(output) {}

  const PanelInput& in;
  Paint& paint;
  PanelOutput& out;

  [[nodiscard]] const Session& session() const { return in.session; }
  [[nodiscard]] const Palette& c() const { return paint.colours(); }
  void push(Edit edit) { out.edits.push_back(std::move(edit)); }

  /// What a widget that lies over `rect` was told this frame.
  struct Touched {
    bool pressed = false;  ///< clicked, or pressed by key
    bool held = false;     ///< the mouse holds it
    bool hovered = false;
    bool began = false, ended = false;  ///< of holding
    Point mouse, moved;                 ///< design pixels
  };
  /// A hit area with a record and a focus ring (radius of its corners).
  Touched touch(WidgetRecord record, double ring_radius);

  /// A pill with a word; `on` fills it inversely.
  bool pill(const std::string& name, std::string_view label, const Rect& rect, bool on = false,
            bool is_choice = false, Type type = Type::text_bold);
  /// Pills in rows; returns the y below them. Calls `chosen(index)` for the one that was pressed.
  struct Choice {
    std::string label;
    bool on = false;
  };
  template <class F>
  double pills(const std::string& group, const std::vector<Choice>& choices, const Rect& area, F&& chosen,
               Type type = Type::text_bold) {
    double x = area.x, y = area.y;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      const double w = pill_width(choices[i].label, type);
      if (x > area.x && x + w > area.right()) {
        x = area.x;
        y += 56;
      }
      if (pill(group + "/" + choices[i].label, choices[i].label, {x, y, w, 48}, choices[i].on, true, type))
        chosen(i);
      x += w + 8;
    }
    return choices.empty() ? y : y + 56;
  }
  [[nodiscard]] double pill_width(std::string_view label, Type type = Type::text_bold) const;
  /// A plate with a dim caption and a value.
  bool plate(const std::string& name, std::string_view caption, std::string_view value, const Rect& rect);
  /// A text field; true when the text changed. `entered` is set when it was finished with the enter key.
  bool field(const std::string& name, std::string& text, const Rect& rect, bool* entered = nullptr);
  /// A line of words that is also in the outline.
  double words(const std::string& name, Type type, Point at, Color tint, std::string_view text,
               TextAlign align = TextAlign::left);

 private:
  void focus_ring(const Rect& rect, double radius);
};

/// Lines [first, first + count) of a list that is longer than its page are shown; "up" and "down" and the
/// wheel go through it.
struct ListPart {
  int first = 0, count = 0;
};
[[nodiscard]] ListPart list_part(Ui& ui, int lines, int room, const Rect& list, const Rect& buttons);

void show_answer(Ui& ui);
void find_hovered_words(Ui& ui);
void show_tip(Ui& ui);
void show_cameras(Ui& ui);
void show_tools(Ui& ui);
void show_climb(Ui& ui);
void show_scrub(Ui& ui);
void show_curves(Ui& ui);
void show_notice(Ui& ui);
void show_stage(Ui& ui);
void show_sheet(Ui& ui);
void show_plan_sheet(Ui& ui, const Rect& area);
void show_walk_sheet(Ui& ui, const Rect& area);
void show_walk_dial(Ui& ui);
void show_more_sheet(Ui& ui, const Rect& area);
void show_open_sheet(Ui& ui, const Rect& area);
void show_save_sheet(Ui& ui, const Rect& area);
void show_help_sheet(Ui& ui, const Rect& area);
void show_unsaved_sheet(Ui& ui, const Rect& area);
void show_compare(Ui& ui);
void show_compare_scrub(Ui& ui);
void show_wall(Ui& ui);
void show_wall_scrub(Ui& ui);
void show_board_sheet(Ui& ui, const Rect& area);
void show_finish_sheet(Ui& ui, const Rect& area);
void show_athletes_sheet(Ui& ui, const Rect& area);
void show_athlete_sheet(Ui& ui, const Rect& area);
void show_spread_sheet(Ui& ui, const Rect& area);
void show_hand_over_sheet(Ui& ui, const Rect& area);
void show_record_page(Ui& ui, const Rect& area);
void show_record_scrub(Ui& ui);
void show_terms_page(Ui& ui, const Rect& area);
void show_stage_page(Ui& ui, const Rect& area);
void show_chain_page(Ui& ui, const Rect& area);
void show_chain_stage(Ui& ui);

}  // namespace halfturn
