#pragma once

#include <doctest/doctest.h>
#include <imgui.h>

#include <list>
#include <optional>

#include "body/pose.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "panels/panels.hpp"

namespace halfturn {

/// The panels in process, with no window and no OpenGL: one Dear ImGui frame at a time, clicks by the name of
/// a widget.
class PanelDriver {
 public:
  explicit PanelDriver(int width = 1280, int height = 800) : width_(width), height_(height) {
    ImGui::CreateContext();
    ImGuiIO& io = ImGui::GetIO();
    io.IniFilename = nullptr;
    scale_ = ui_scale(width, height, 1, TextSize::normal);
    fonts_ = build_fonts(*io.Fonts, scale_, {});
    io.Fonts->SetTexID(reinterpret_cast<ImTextureID>(1));
    PlanFile file;
    file.plan.base = "back flip";
    file.plan.steps = equal_steps(0, 360, 90);
    file.view = Json::object();
    Result<Session> session = open_session(file, "", library_, {});
    REQUIRE(session);
    session_ = std::move(session).value();
    frame();
  }
  ~PanelDriver() { ImGui::DestroyContext(); }
  PanelDriver(const PanelDriver&) = delete;
  PanelDriver& operator=(const PanelDriver&) = delete;

  void frame(bool activate = false) {
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = {static_cast<float>(width_), static_cast<float>(height_)};
    io.DeltaTime = 1.0f / 60;
    const Layout l = layout_of(session_, width_, height_, scale_);
    const Flight flight = drawn_flight(session_.rung_now(), shapes_);
    const Coaching coaching = coaching_of(*session_.ladder, session_.rung, flight);
    static const std::vector<KeyHelp> keys{{"space", "play or pause", "play"},
                                           {"H", "halve the step to this rung", "other;step/*"}};
    std::list<Coaching> kept;
    std::optional<CompareInput> compare;
    if (!l.panes[0].empty()) {
      compare.emplace();
      for (const ComparedStage& stage : session_.stages) {
        compare->flights.push_back(drawn_flight(stage.now(), shapes_));
        kept.push_back(coaching_of(*stage.ladder, stage.rung, compare->flights.back()));
        compare->coaching.push_back(&kept.back());
      }
    }
    if (l.scale != fonts_.scale) {
      ImGui::GetIO().Fonts->Clear();
      fonts_ = build_fonts(*ImGui::GetIO().Fonts, l.scale, {});
      ImGui::GetIO().Fonts->SetTexID(reinterpret_cast<ImTextureID>(1));
    }
    layout_ = l;
    ImGui::NewFrame();
    output_ = show_panels({session_, library_, flight, l, fonts_, 0, keys, files_, activate, tip_, &coaching,
                           compare ? &*compare : nullptr});
    ImGui::Render();
    for (const Edit& edit : output_.edits) push(edit);
  }
  void push(const Edit& edit) {
    Applied applied = apply(std::move(session_), edit, library_);
    session_ = std::move(applied.session);
    if (applied.request.kind != Request::Kind::none) request_ = applied.request;
  }

  [[nodiscard]] const WidgetRecord* find(const std::string& name) const {
    for (const WidgetRecord& record : output_.records) {
      if (record.name == name) return &record;
    }
    return nullptr;
  }
  void mouse(double x, double y, bool down) {
    ImGuiIO& io = ImGui::GetIO();
    io.MousePos = {static_cast<float>(x * layout_.scale), static_cast<float>(y * layout_.scale)};
    io.MouseDown[0] = down;
    frame();
  }
  /// One transition a frame, as Dear ImGui 1.86 needs it.
  void click(const std::string& name) {
    frame();
    const WidgetRecord* record = find(name);
    CAPTURE(name);
    REQUIRE(record != nullptr);
    const Rect rect = record->rect;
    mouse(rect.mid_x(), rect.mid_y(), false);
    mouse(rect.mid_x(), rect.mid_y(), true);
    mouse(rect.mid_x(), rect.mid_y(), false);
    mouse(-100, -100, false);
    frame();
  }

  [[nodiscard]] const Session& session() const { return session_; }
  [[nodiscard]] const std::vector<WidgetRecord>& records() const { return output_.records; }
  [[nodiscard]] const Layout& layout_now() const { return layout_; }
  [[nodiscard]] const Fonts& fonts() const { return fonts_; }
  [[nodiscard]] const Request& request() const { return request_; }
  [[nodiscard]] const std::string& hovered() const { return output_.hovered; }
  std::vector<FileEntry> files_;
  std::string tip_;

 private:
  int width_, height_;
  double scale_ = 1;
  Layout layout_;
  Library library_{built_in_vocabulary(), built_in_difficulty()};
  ShapeBook shapes_ = embedded_shapes();
  Fonts fonts_;
  Session session_;
  PanelOutput output_;
  Request request_;
};

}  // namespace halfturn
