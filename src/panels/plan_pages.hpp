#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "ui.hpp"

namespace halfturn {

/// One page of choices for a part of the plan.
class PlanPages {
 public:
  PlanPages(Ui& page_ui, const Rect& page_area)
      : ui_(page_ui), area_(page_area), s_(page_ui.session()), plan_(s_.plan), base_(*s_.ladder->base) {}

  void show();

 private:
  [[nodiscard]] const Vocabulary& s_page_vocabulary() const;
  [[nodiscard]] std::string target_words() const;
  [[nodiscard]] std::string step_words() const;
  void title(std::string_view caption, std::string_view words);
  void caption(const char* text);
  void pills(const char* group, const std::vector<Ui::Choice>& choices,
             const std::function<void(std::size_t)>& chosen);
  void choose(const std::function<void(Plan&)>& change);
  void show_all();
  void show_bases();
  void show_target();
  void show_steps();
  void show_side();
  void show_takeoffs();
  void show_words(const char* group, const char* what, const std::vector<std::string>& options,
                  const std::string& own, std::optional<std::string> Plan::*part);
  void show_hold();
  void show_heading();
  void show_timing();
  void show_air_time();
  void show_walls();
  void show_title();
  void show_details();
  void show_step();

  Ui& ui_;
  Rect area_;
  const Session& s_;
  const Plan& plan_;
  const Skill& base_;
  double y_ = 0;
};

}  // namespace halfturn
