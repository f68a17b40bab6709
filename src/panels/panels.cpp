#include "panels/panels.hpp"

#include <imgui.h>

#include <cmath>

#include "eyes.hpp"

namespace halfturn {
namespace {

/// Plain ground under the controls; the stage itself fades into it.
void show_ground(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Color air = ui.c().air;
  constexpr double faded_px = 36;
  // Through the athlete's eyes the own arms and the walls come under every word.
  if (ui.session().look.camera == CameraKind::eyes && l.wall_words.empty() && l.sheet.empty()) {
    const Rect answer = answer_extent(ui.session(), l, ui.in.fonts);
    ui.paint.fill({0, 0, answer.w + 16, answer.h}, faded(air, 0.85));
    ui.paint.fill(l.scrub_words, faded(air, 0.85));
  }
  if (!l.scrub.empty()) {
    const double top = (!l.curves.empty()        ? l.curves.y
                        : !l.scrub_words.empty() ? l.scrub_words.y
                                                 : l.scrub.y) +
                       faded_px;
    ui.paint.fill({0, top, l.width, l.height - top}, air);
  }
  if (!l.climb.empty()) ui.paint.fill({l.climb.x + 62, 0, l.width - l.climb.x - 62, l.height}, air);
  if (!l.sheet.empty()) ui.paint.fill(l.sheet, air);
}

}  // namespace

void show_stage(Ui& ui) {
  const Layout& l = ui.in.layout;
  const Session& s = ui.session();
  // Drawn last as an item, so that every control comes before it; a drag turns, pans or zooms the camera.
  if (s.sheet == Sheet::walk || s.sheet == Sheet::help || s.sheet == Sheet::board) return;
  const double k = ui.paint.scale();
  // A page is no part of it: the wheel and a drag over one are the page's own.
  const double left = l.sheet.right(), width = l.width - left;
  if (width < 1 || l.height < 1) return;
  ImGui::SetCursorScreenPos({static_cast<float>(left * k), 0});
  ImGui::InvisibleButton("stage", {static_cast<float>(width * k), static_cast<float>(l.height * k)},
                         ImGuiButtonFlags_MouseButtonLeft | ImGuiButtonFlags_MouseButtonRight |
                             ImGuiButtonFlags_MouseButtonMiddle);
  const ImGuiIO& io = ImGui::GetIO();
  CameraOffset offset = s.look.offset;
  if (ImGui::IsItemActivated() && !s.focus.empty()) ui.push(Focus{""});
  if (ImGui::IsItemActive() && (io.MouseDelta.x != 0 || io.MouseDelta.y != 0)) {
    const double dx = io.MouseDelta.x / k, dy = io.MouseDelta.y / k;
    if (io.MouseDown[1] || io.MouseDown[2] || io.KeyShift) {
      const double metres_a_pixel = 5.0 / std::max(1.0, l.height) / offset.zoom;
      offset.pan_right -= dx * metres_a_pixel;
      offset.pan_up += dy * metres_a_pixel;
    } else {
      offset.yaw -= dx * 0.008;
      offset.pitch += dy * 0.008;
    }
    ui.push(MoveCamera{offset});
    ui.out.dragging = true;
  }
  if (ImGui::IsItemHovered() && io.MouseWheel != 0) {
    offset.zoom *= std::pow(1.1, io.MouseWheel);
    ui.push(MoveCamera{offset});
    ui.out.dragging = true;
  }
}

PanelOutput show_panels(const PanelInput& input) {
  PanelOutput output;
  const Layout& l = input.layout;
  ImGui::SetNextWindowPos({0, 0});
  ImGui::SetNextWindowSize(ImGui::GetIO().DisplaySize);
  ImGui::PushStyleVar(ImGuiStyleVar_WindowPadding, ImVec2(0, 0));
  ImGui::PushStyleVar(ImGuiStyleVar_WindowBorderSize, 0.0f);
  ImGui::Begin("halfturn", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_NoBackground |
                   ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav |
                   ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoBringToFrontOnFocus);
  Paint paint(*ImGui::GetWindowDrawList(), input.fonts, palette_of(input.session.settings.theme), l.scale);
  Ui ui(input, paint, output);
  paint.fill({0, 0, l.width, l.height}, paint.colours().air);
  // Beside a page that leaves but a strip of it the stage would only disturb.
  const bool compares = !l.panes[0].empty();
  const bool strip = !l.sheet.empty() && l.width - l.sheet.right() < 400;
  const bool chain = !l.chain_stage.empty();
  if (input.stage_texture != 0 && l.walk_dial.empty() && !strip && !compares && !chain) {
    paint.image(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(input.stage_texture)),
                {0, 0, l.width, l.height});
  }
  if (compares && !l.sheet.empty()) show_compare(ui);
  if (chain && input.stage_texture != 0 && input.session.chain)
    paint.image(reinterpret_cast<ImTextureID>(static_cast<std::uintptr_t>(input.stage_texture)),
                l.chain_stage);
  if (!compares || !l.sheet.empty()) show_ground(ui);
  // The page that was opened comes first for Tab.
  show_sheet(ui);
  if (l.sheet.empty()) show_compare(ui);
  show_wall(ui);
  show_answer(ui);
  show_cameras(ui);
  show_gaze(ui);
  show_tools(ui);
  show_walk_dial(ui);
  show_chain_stage(ui);
  show_record_scrub(ui);
  if (compares) {
    show_compare_scrub(ui);
  } else if (!l.wall_words.empty()) {
    show_wall_scrub(ui);
  } else {
    show_scrub(ui);
  }
  show_curves(ui);
  show_climb(ui);
  show_notice(ui);
  show_stage(ui);
  find_hovered_words(ui);
  show_tip(ui);
  ImGui::End();
  ImGui::PopStyleVar(2);
  return output;
}

std::vector<std::string_view> texts_of(const Session& session, const std::vector<FileEntry>& files) {
  const Plan& plan = session.plan;
  std::vector<std::string_view> texts{plan.title,      plan.athlete,     plan.walls.front, plan.walls.left,
                                      plan.walls.back, plan.walls.right, session.notice,   session.typed_path,
                                      session.folder,  session.path};
  for (const Rung& rung : session.ladder->rungs) {
    texts.push_back(rung.title);
    texts.push_back(rung.description);
    texts.push_back(rung.cue);
  }
  if (session.chain) {
    for (const ChainStop& stop : session.chain->stops) texts.push_back(stop.title);
  }
  for (const AthleteLine& athlete : session.athletes) {
    texts.push_back(athlete.name);
    texts.push_back(athlete.more);
  }
  for (const std::string* typed :
       {&session.form.name, &session.form.surface, &session.form.plan, &session.hand_over.path})
    texts.push_back(*typed);
  for (const BoardPlace& place : session.board.places) {
    texts.push_back(place.name);
    texts.push_back(place.rung_title);
  }
  if (session.record) {
    texts.push_back(session.record->path);
    texts.push_back(session.record->athlete);
    if (session.record->question) texts.push_back(session.record->question->text);
  }
  for (const std::string& path : session.recent) texts.push_back(path);
  for (const FileEntry& file : files) texts.push_back(file.name);
  return texts;
}

}  // namespace halfturn
