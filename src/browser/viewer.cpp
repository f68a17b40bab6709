// The functions that the page's script calls. Texts go in and out as UTF-8; what comes out stays valid until
// the next call that gives a text.
#include <emscripten.h>
#include <emscripten/html5.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "browser_letters.hpp"
#include "format/attempt_file.hpp"
#include "format/flights_file.hpp"
#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "scene/compose.hpp"
#include "session/edit.hpp"
#include "session/flight_cache.hpp"
#include "session/stage_view.hpp"
#include "stage/renderer.hpp"
#include "state_json.hpp"

namespace halfturn {
namespace {

/// Where the picture is drawn and what lies over it, pixels of the canvas.
struct Canvas {
  int width_px = 0, height_px = 0;
  double scale = 1;  ///< pixels per design pixel
  double inset_top_px = 0, inset_bottom_px = 0, answer_width_px = 0, answer_height_px = 0;
};

class Viewer {
 public:
  explicit Viewer(Session session)
      : library_{built_in_vocabulary(), built_in_difficulty()},
        session_(std::move(session)),
        cache_(embedded_shapes()),
        stage_caches_{cache_, cache_, cache_, cache_} {}

  [[nodiscard]] const Session& session() const { return session_; }
  [[nodiscard]] const Flight& flight() { return flight(session_.rung); }

  void apply(const Edit& edit) {
    session_ = halfturn::apply(std::move(session_), edit, library_).session;
    const double duration = session_.stages.empty()
                                ? flight().duration()
                                : compared_duration(*session_.look.comparison, stage_flights());
    if (duration != session_.duration)
      session_ = halfturn::apply(std::move(session_), FlightLength{duration}, library_).session;
  }

  /// Flights that were solved elsewhere take the place of the drawn ones. The problem names the key.
  [[nodiscard]] Outcome take_flights(const char* text) {
    const Result<FlownPlan> flown = read_flights(text, "flights");
    if (!flown) return flown.problem();
    const std::size_t rungs = session_.ladder->rungs.size();
    if (flown->rungs.size() != rungs)
      return Problem{"flights", "rungs", "are those of another plan: as many as it has rungs are needed"};
    static_cast<void>(flight());  // the cache belongs to this plan from now on
    made_.clear();
    std::vector<std::optional<AirShown>> air(rungs);
    for (std::size_t k = 0; k < rungs; ++k) {
      const FlownRung& rung = flown->rungs[k];
      made_.push_back({flown->whose, rung.why_drawn});
      if (rung.flight) cache_.put(session_.plan, k, *rung.flight);
      if (rung.air_time_needed_s) air[k] = AirShown{*rung.air_time_needed_s, rung.air_time_margin_s};
    }
    apply(ShowAir{std::move(air), flown->whose, ""});
    return std::nullopt;
  }

  [[nodiscard]] std::string maker() {
    const bool known = session_.rung < made_.size();
    return maker_words(flight(), known ? made_[session_.rung] : MadeWords{});
  }
  [[nodiscard]] Coaching coaching() {
    return coaching_of(*session_.ladder, session_.rung, flight(), human_body(Athlete{}), session_.flown_by);
  }

  /// Of all stages of a comparison; none while there is one stage.
  [[nodiscard]] std::vector<Flight> stage_flights() {
    std::vector<Flight> flights;
    for (std::size_t i = 0; i < session_.stages.size(); ++i) {
      const ComparedStage& stage = session_.stages[i];
      FlightCache& cache = stage.ladder == session_.ladder ? cache_ : stage_caches_[i];
      flights.push_back(cache.flight(*stage.ladder, stage.rung));
    }
    return flights;
  }

  /// The comparison with one more stage; a Problem in words where there is none.
  [[nodiscard]] Result<Comparison> wider() const { return with_stage(session_, library_); }

  /// What was drawn is gone with its context: everything is made anew for the next picture.
  void forget_pictures() {
    for (std::unique_ptr<Renderer>& renderer : renderers_) renderer.reset();
  }

  [[nodiscard]] Outcome draw(const Canvas& canvas, bool moving) {
    const Quality quality = moving ? Quality::draft : Quality::full;
    if (session_.stages.empty()) {
      View view = view_of(canvas, canvas.width_px);
      const std::size_t before = std::min(session_.motion.rung_from, session_.ladder->rungs.size() - 1);
      const StageShot shot =
          stage_shot(session_, flight().duration(), flight(before).duration(), std::move(view));
      return draw_pane(0, 0, *session_.ladder, flight(shot.rung), shot, quality);
    }
    const std::vector<Flight> flights = stage_flights();
    const std::vector<double> times = compared_times(session_, flights);
    const int count = static_cast<int>(flights.size());
    for (std::size_t i = 0; i < flights.size(); ++i) {
      const int x = static_cast<int>(i) * canvas.width_px / count;
      const int next = (static_cast<int>(i) + 1) * canvas.width_px / count;
      const ComparedStage& stage = session_.stages[i];
      double time = times[i];
      if (session_.playback.landed > 0)
        time = std::max(time, flights[i].duration()) + session_.playback.landed;
      const StageShot shot = pane_shot(session_, *stage.ladder, stage.rung, flights[i].duration(), time,
                                       view_of(canvas, next - x));
      if (const Outcome problem = draw_pane(i, x, *stage.ladder, flights[i], shot, quality)) return problem;
    }
    return std::nullopt;
  }

 private:
  [[nodiscard]] const Flight& flight(std::size_t rung) { return cache_.flight(*session_.ladder, rung); }

  [[nodiscard]] View view_of(const Canvas& canvas, int width_px) const {
    View view = stage_view(session_, canvas.scale, width_px, canvas.height_px);
    view.inset_top_px = canvas.inset_top_px;
    view.inset_bottom_px = canvas.inset_bottom_px;
    view.answer_width_px = std::min<double>(canvas.answer_width_px, width_px);
    view.answer_height_px = canvas.answer_height_px;
    return view;
  }

  [[nodiscard]] Outcome draw_pane(std::size_t pane, int x_px, const Ladder& ladder, const Flight& shown,
                                  const StageShot& shot, Quality quality) {
    std::unique_ptr<Renderer>& renderer = renderers_[pane];
    if (!renderer) {
      Result<std::unique_ptr<Renderer>> made = Renderer::create(browser_letters());
      if (!made) return made.problem();
      renderer = std::move(made).value();
    }
    renderer->render(compose(ladder, shot.rung, shown, shot.time, shot.view), shot.view.width_px,
                     shot.view.height_px, quality);
    renderer->show(x_px, 0);
    return std::nullopt;
  }

  Library library_;
  Session session_;
  FlightCache cache_;
  std::array<FlightCache, most_stages> stage_caches_;  // of those that show another climb
  std::array<std::unique_ptr<Renderer>, most_stages> renderers_;
  std::vector<MadeWords> made_;  // by rung; empty while all flights are drawn
};

std::unique_ptr<Viewer> viewer;
std::string given;  // the text given out last

const char* give(std::string text) {
  given = std::move(text);
  return given.c_str();
}

const char* give(const Json& json) {
  return give(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

/// The attempts of such a file that can be read; `refused` says of the others how many, and what is wrong
/// with the first. One that is spoilt must not make a crash look like none.
std::vector<AttemptRecord> readable_records(const char* text, std::string& refused) {
  std::vector<AttemptRecord> records;
  const auto take = [&](const Result<std::vector<AttemptRow>>& rows) {
    for (const AttemptRow& row : *rows) records.push_back(row.record);
  };
  const Result<std::vector<AttemptRow>> all = read_attempts_json(text, "attempts", built_in_vocabulary());
  if (all) {
    take(all);
    return records;
  }
  const std::string why = all.problem().place + ": " + all.problem().text;
  const Result<Json> document = parse_json(text, "attempts");
  if (!document || !document->is_object() || !document->contains("attempts") ||
      !(*document)["attempts"].is_array()) {
    refused = why;
    return records;
  }
  int left_out = 0;
  for (const Json& attempt : (*document)["attempts"]) {
    Json alone = *document;
    alone["attempts"] = Json::array({attempt});
    const Result<std::vector<AttemptRow>> one =
        read_attempts_json(alone.dump(), "attempts", built_in_vocabulary());
    one ? take(one) : static_cast<void>(++left_out);
  }
  refused = std::to_string(left_out) + " left out; " + why;
  return records;
}

}  // namespace
}  // namespace halfturn

using namespace halfturn;

extern "C" {

/// Takes a plan file's text. Empty when it gives a ladder, else what is wrong with it.
EMSCRIPTEN_KEEPALIVE const char* viewer_open(const char* plan) {
  const Result<PlanFile> file = read_plan(plan, "plan");
  if (!file) return give(file.problem().message());
  const Library library{built_in_vocabulary(), built_in_difficulty()};
  Result<Session> opened = open_session(*file, "", library, Settings{});
  if (!opened) return give(opened.problem().message());
  viewer = std::make_unique<Viewer>(std::move(opened).value());
  return give(std::string());
}

/// Takes flights of the plan that is open, format "halfturn-flights". Empty, or what is wrong with them: then
/// all stay drawn.
EMSCRIPTEN_KEEPALIVE const char* viewer_take_flights(const char* flights) {
  const Outcome problem = viewer->take_flights(flights);
  return give(problem ? problem->message() : std::string());
}

/// Takes a canvas by its selector. Empty when it gives WebGL 2, else why not.
EMSCRIPTEN_KEEPALIVE const char* viewer_use_canvas(const char* selector) {
  EmscriptenWebGLContextAttributes wishes;
  emscripten_webgl_init_context_attributes(&wishes);
  wishes.majorVersion = 2;
  wishes.alpha = false;
  wishes.antialias = false;  // the stage smooths its own edges
  wishes.depth = false;
  wishes.preserveDrawingBuffer = true;
  const EMSCRIPTEN_WEBGL_CONTEXT_HANDLE context = emscripten_webgl_create_context(selector, &wishes);
  if (context <= 0) return give(std::string("this browser draws no WebGL 2"));
  if (emscripten_webgl_make_context_current(context) != EMSCRIPTEN_RESULT_SUCCESS)
    return give(std::string("WebGL 2 does not start here"));
  return give(std::string());
}

/// The canvas has lost its context and got another: phones take it from pages that are not looked at.
EMSCRIPTEN_KEEPALIVE void viewer_forget_pictures() {
  viewer->forget_pictures();
}

/// Draws into the canvas: sizes in its pixels, `scale` of them per CSS pixel. Empty, or why nothing is drawn.
EMSCRIPTEN_KEEPALIVE const char* viewer_draw(int width, int height, double scale, double inset_top,
                                             double inset_bottom, double answer_width, double answer_height,
                                             int moving) {
  const Canvas canvas{width, height, scale, inset_top, inset_bottom, answer_width, answer_height};
  const Outcome problem = viewer->draw(canvas, moving != 0);
  return give(problem ? problem->message() : std::string());
}

// What the page shows besides: JSON, see state_json.hpp.
EMSCRIPTEN_KEEPALIVE const char* viewer_climb() {
  return give(climb_json(viewer->session()));
}
EMSCRIPTEN_KEEPALIVE const char* viewer_now() {
  return give(now_json(viewer->session(), viewer->flight()));
}
EMSCRIPTEN_KEEPALIVE const char* viewer_arc() {
  Json arc = arc_json(viewer->session().rung_now(), viewer->flight());
  arc["maker"] = viewer->maker();
  return give(arc);
}
EMSCRIPTEN_KEEPALIVE const char* viewer_compared() {
  if (viewer->session().stages.empty()) return give(std::string("null"));
  return give(compare_json(viewer->session(), viewer->stage_flights()));
}
EMSCRIPTEN_KEEPALIVE const char* viewer_notes() {
  return give(rung_notes_json(viewer->session(), viewer->coaching()));
}

/// Attempts of one athlete as a file of attempts has them; gives `gates` by rung, and in `refused` what could
/// not be read and was left out, empty if all could.
EMSCRIPTEN_KEEPALIVE const char* viewer_gates(const char* attempts) {
  const Ladder& ladder = *viewer->session().ladder;
  std::string refused;
  const std::vector<AttemptRecord> records = readable_records(attempts, refused);
  const std::vector<Gate> found = gates(ladder, records);
  ShowGates shown{{}, 0};
  for (const Gate& gate : found) {
    shown.gates.push_back(gate_shown(gate, ladder.plan.gate));
    shown.crashes += gate.crashes;
  }
  viewer->apply(shown);
  return give(Json{{"gates", gates_json(found)}, {"refused", refused}});
}

EMSCRIPTEN_KEEPALIVE void viewer_tick(double seconds) {
  viewer->apply(Tick{seconds});
}
EMSCRIPTEN_KEEPALIVE void viewer_seek(double share) {
  viewer->apply(Seek{share * viewer->session().duration});
}
EMSCRIPTEN_KEEPALIVE void viewer_step(int frames) {
  viewer->apply(StepFrames{frames});
}
EMSCRIPTEN_KEEPALIVE void viewer_play(int playing) {
  viewer->apply(Play{playing != 0});
}
EMSCRIPTEN_KEEPALIVE void viewer_choose_rate(double rate) {
  viewer->apply(ChooseRate{rate});
}
EMSCRIPTEN_KEEPALIVE void viewer_choose_rung(int rung) {
  if (rung >= 0) viewer->apply(ChooseRung{static_cast<std::size_t>(rung)});
}
/// 0 side, 1 front, 2 above, 3 eyes.
EMSCRIPTEN_KEEPALIVE void viewer_choose_camera(int camera) {
  if (camera >= 0 && camera <= 3) viewer->apply(ChooseCamera{static_cast<CameraKind>(camera)});
}
/// Orbits by rad, zooms by a factor, pans by m, from where the camera is.
EMSCRIPTEN_KEEPALIVE void viewer_move_camera(double yaw, double pitch, double zoom, double right, double up) {
  CameraOffset offset = viewer->session().look.offset;
  offset.yaw += yaw;
  offset.pitch += pitch;
  offset.zoom *= zoom;
  offset.pan_right += right;
  offset.pan_up += up;
  viewer->apply(MoveCamera{offset});
}
/// One more stage beside those that are compared, or without the last one.
EMSCRIPTEN_KEEPALIVE void viewer_add_stage(int more) {
  viewer->apply(Notice{"", false});
  const Session& s = viewer->session();
  if (!s.look.comparison) return;
  if (more == 0) {
    viewer->apply(Compare{without_stage(*s.look.comparison, s.stages.size() - 1)});
    return;
  }
  const Result<Comparison> wider = viewer->wider();
  if (!wider) {
    viewer->apply(Notice{wider.problem().text, false});
  } else {
    viewer->apply(Compare{*wider});
  }
}
/// 0 other axis, 1 other side, 2 another form, 3 next rung; below 0: one stage again.
EMSCRIPTEN_KEEPALIVE void viewer_compare(int pairing) {
  viewer->apply(Notice{"", false});
  if (pairing < 0) {
    viewer->apply(Compare{std::nullopt});
  } else if (pairing < pairing_count) {
    viewer->apply(Compare{pair_of(static_cast<Pairing>(pairing))});
  }
}
/// 0 light, 1 dark, 2 sunlight.
EMSCRIPTEN_KEEPALIVE void viewer_choose_settings(int theme, int reduced_motion) {
  Settings settings = viewer->session().settings;
  settings.theme = static_cast<Theme>(std::clamp(theme, 0, 2));
  settings.reduced_motion = reduced_motion != 0;
  viewer->apply(ChooseSettings{settings});
}
/// Orientation and angular velocity (rad/s, its own axes) of the pelvis at the cursor: [w, x, y, z, x, y, z].
EMSCRIPTEN_KEEPALIVE const char* viewer_orientation() {
  const FlightSample now = viewer->flight().at(viewer->session().playback.t);
  const Quat& q = now.q_WB;
  return give(Json{q.w, q.x, q.y, q.z, now.omega_B.x, now.omega_B.y, now.omega_B.z});
}
/// Whether the picture changes by itself: the flight plays, or the camera or the rung is changing.
EMSCRIPTEN_KEEPALIVE int viewer_moves() {
  const Session& s = viewer->session();
  const bool changes =
      !s.settings.reduced_motion && (s.motion.camera < camera_change || s.motion.rung < rung_change);
  return s.playback.playing || changes ? 1 : 0;
}

}  // extern "C"
