#include "ui.hpp"

#include <imgui_stdlib.h>

#include <algorithm>
#include <cmath>

namespace halfturn {

void Ui::focus_ring(const Rect& rect, double radius) {
  const Rect outer{rect.x - 5, rect.y - 5, rect.w + 10, rect.h + 10};
  paint.outline({outer.x - 2, outer.y - 2, outer.w + 4, outer.h + 4}, c().air, 2, radius + 7);
  paint.outline(outer, c().ink, 3, radius + 5);
}

Ui::Touched Ui::touch(WidgetRecord record, double ring_radius) {
  Touched touched;
  const Rect rect = record.rect;
  const double s = paint.scale();
  if (rect.empty()) return touched;
  ImGui::SetCursorScreenPos({static_cast<float>(rect.x * s), static_cast<float>(rect.y * s)});
  ImGui::InvisibleButton(record.name.c_str(),
                         {static_cast<float>(rect.w * s), static_cast<float>(rect.h * s)});
  const bool focused = !record.name.empty() && session().focus == record.name;
  touched.hovered = ImGui::IsItemHovered();
  touched.held = ImGui::IsItemActive();
  touched.began = ImGui::IsItemActivated();
  touched.ended = ImGui::IsItemDeactivated();
  touched.pressed = (touched.ended && touched.hovered) || (focused && in.activate);
  const ImGuiIO& io = ImGui::GetIO();
  touched.mouse = {io.MousePos.x / s, io.MousePos.y / s};
  touched.moved = {io.MouseDelta.x / s, io.MouseDelta.y / s};
  if (focused) focus_ring(rect, ring_radius);
  if (touched.hovered) out.hovered = record.name;
  out.records.push_back(std::move(record));
  return touched;
}

double Ui::pill_width(std::string_view label, Type type) const {
  const bool small = type == Type::label_bold;
  return std::max(small ? 56.0 : 72.0, std::round(paint.text_width(type, label) + (small ? 24 : 32)));
}

bool Ui::pill(const std::string& name, std::string_view label, const Rect& rect, bool on, bool is_choice,
              Type type) {
  WidgetRecord record{is_choice ? WidgetRecord::Kind::choice : WidgetRecord::Kind::button,
                      name,
                      std::string(label),
                      "",
                      on,
                      rect};
  const double radius = std::min(rect.h / 2, 24.0);
  const Touched touched = touch(std::move(record), radius);
  const bool lit = touched.hovered && !on;
  paint.fill(rect, on ? c().selected : c().plate, radius);
  if (!on) paint.outline(rect, lit || touched.held ? c().ink : c().edge, 2, radius);
  paint.text(type, {rect.mid_x(), rect.mid_y() + 0.36 * type_size(type)}, on ? c().on_selected : c().ink,
             paint.cut(type, label, rect.w - 16), TextAlign::middle);
  return touched.pressed;
}

bool Ui::plate(const std::string& name, std::string_view caption, std::string_view value, const Rect& rect) {
  const Touched touched =
      touch({WidgetRecord::Kind::button, name, std::string(caption), std::string(value), false, rect}, 8);
  paint.fill(rect, c().plate, 8);
  paint.outline(rect, touched.hovered ? c().ink : c().edge, 2, 8);
  const bool low = rect.h < 60;
  const Type type = low ? Type::label_bold : Type::text_bold;
  paint.text(Type::label, {rect.x + 16, rect.y + (low ? 20 : 25)}, c().dim, caption);
  paint.text(type, {rect.x + 16, rect.y + (low ? 40 : 50)}, c().ink, paint.cut(type, value, rect.w - 32));
  return touched.pressed;
}

bool Ui::field(const std::string& name, std::string& text, const Rect& rect, bool* entered) {
  const double s = paint.scale();
  const auto px = [&](double v) { return static_cast<float>(v * s); };
  paint.fill(rect, c().plate, 8);
  const ImVec4 ink = ImGui::ColorConvertU32ToFloat4(IM_COL32(c().ink.r, c().ink.g, c().ink.b, 255));
  const ImVec4 none{0, 0, 0, 0};
  ImGui::PushStyleColor(ImGuiCol_FrameBg, none);
  ImGui::PushStyleColor(ImGuiCol_Text, ink);
  ImGui::PushStyleColor(ImGuiCol_TextSelectedBg, ImVec4(ink.x, ink.y, ink.z, 0.25f));
  ImGui::PushStyleVar(ImGuiStyleVar_FramePadding, ImVec2(px(14), px((rect.h - 24.2) / 2)));
  ImGui::PushStyleVar(ImGuiStyleVar_FrameBorderSize, 0.0f);
  ImGui::PushFont(in.fonts[Type::text]);
  ImGui::SetCursorScreenPos({px(rect.x), px(rect.y)});
  ImGui::SetNextItemWidth(px(rect.w));
  const bool focused = session().focus == name;
  if (focused && in.activate) ImGui::SetKeyboardFocusHere();
  const std::string before = text;
  const bool enter = ImGui::InputText(
      ("##" + name).c_str(), &text, ImGuiInputTextFlags_EnterReturnsTrue | ImGuiInputTextFlags_AutoSelectAll);
  const bool active = ImGui::IsItemActive();
  const bool began = ImGui::IsItemActivated(), ended = ImGui::IsItemDeactivated();
  const bool hovered = ImGui::IsItemHovered();
  ImGui::PopFont();
  ImGui::PopStyleVar(2);
  ImGui::PopStyleColor(3);
  paint.outline(rect, active || hovered ? c().ink : c().edge, active ? 3 : 2, 8);
  if (focused && !active) focus_ring(rect, 8);
  if (began) push(Focus{name});
  if (began) push(BeginDrag{});
  if (ended) push(EndDrag{});
  if (active) out.typing = true;
  if (entered != nullptr) *entered = enter;
  out.records.push_back(
      {WidgetRecord::Kind::field, name, name.substr(name.find('/') + 1), text, active, rect});
  return text != before;
}

double Ui::words(const std::string& name, Type type, Point at, Color tint, std::string_view text,
                 TextAlign align) {
  const double width = paint.text(type, at, tint, text, align);
  const double left = align == TextAlign::left     ? at.x
                      : align == TextAlign::middle ? at.x - width / 2
                                                   : at.x - width;
  out.records.push_back({WidgetRecord::Kind::words,
                         name,
                         std::string(text),
                         "",
                         false,
                         {left, at.y - type_size(type), width, type_size(type) * 1.25}});
  return width;
}

std::string next_focus(const std::vector<WidgetRecord>& records, const std::string& focus, int direction) {
  std::vector<const WidgetRecord*> stops;
  for (const WidgetRecord& record : records) {
    if (record.takes_focus()) stops.push_back(&record);
  }
  if (stops.empty()) return "";
  const auto count = static_cast<int>(stops.size());
  int at = direction > 0 ? -1 : count;
  for (int i = 0; i < count; ++i) {
    if (stops[static_cast<std::size_t>(i)]->name == focus) at = i;
  }
  return stops[static_cast<std::size_t>((at + direction + count) % count)]->name;
}

std::string text_outline(const std::vector<WidgetRecord>& records) {
  std::string lines;
  for (const WidgetRecord& record : records) {
    static const char* const kinds[] = {"button", "choice", "slider", "field", "words"};
    lines += std::string(kinds[static_cast<std::size_t>(record.kind)]) + ": " + record.label;
    if (!record.value.empty()) lines += " = " + record.value;
    if (record.on) lines += " (chosen)";
    lines += "\n";
  }
  return lines;
}

}  // namespace halfturn
