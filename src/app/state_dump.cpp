#include "state_dump.hpp"

#include "format/json_reader.hpp"
#include "format/ladder_json.hpp"

namespace halfturn {

std::string state_json(const Session& session, const Layout& layout, const std::vector<WidgetRecord>& records,
                       const WindowState& window) {
  Json json;
  json["frame_drawn"] = window.frame;
  json["scale"] = layout.scale;
  json["form"] = layout.form == Form::wide ? "wide" : layout.form == Form::compact ? "compact" : "tiny";
  json["path"] = session.path;
  json["dirty"] = session.dirty();
  json["base"] = session.plan.base;
  json["side"] = word(session.plan.side);
  json["undo"] = session.history.undo.size();
  json["sheet"] = static_cast<int>(session.sheet);
  json["focus"] = session.focus;
  json["notice"] = session.notice;
  json["theme"] = static_cast<int>(session.settings.theme);
  json["shown_frame"] = frame_at(session.playback.t, session.duration, session.playback.fps);
  json["last_frame"] = last_frame(session.duration, session.playback.fps);
  json["simulating"] = window.simulating;
  json["mouse"] = {{"x", window.mouse_x}, {"y", window.mouse_y}, {"down", window.mouse_down}};
  json["at_rest"] = session.motion.camera >= camera_change && session.motion.rung >= rung_change;
  json["view"] = view_json(session);
  Json rungs = Json::array();
  for (const Rung& rung : session.ladder->rungs) {
    rungs.push_back(
        {{"title", rung.title}, {"twist_deg", rung.twist_deg}, {"landing_deg", rung.landing.heading_deg}});
  }
  json["rungs"] = std::move(rungs);
  static const char* const kinds[] = {"button", "choice", "slider", "field", "words"};
  Json widgets = Json::array();
  for (const WidgetRecord& record : records) {
    const double k = layout.scale;
    const Rect& r = record.rect;
    widgets.push_back({{"kind", kinds[static_cast<std::size_t>(record.kind)]},
                       {"name", record.name},
                       {"label", record.label},
                       {"value", record.value},
                       {"on", record.on},
                       {"rect", {r.x * k, r.y * k, r.w * k, r.h * k}}});
  }
  json["widgets"] = std::move(widgets);
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace halfturn
