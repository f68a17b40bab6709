#include "window.hpp"

#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>

#define GLFW_INCLUDE_NONE
#include <GL/gl.h>
#include <GLFW/glfw3.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <fstream>
#include <future>

#include "compare_stages.hpp"
#include "format/vocabulary_file.hpp"
#include "keymap.hpp"
#include "scene/palette.hpp"
#include "session_keeper.hpp"
#include "stage_picture.hpp"
#include "state_dump.hpp"

namespace halfturn {
namespace {

constexpr double frame_time = 1.0 / 60;  // s between frames while something moves
constexpr double idle_time = 1.0;        // s between looks at the world while nothing does
constexpr double tip_delay = 0.6;        // s that the mouse rests on a control before its tooltip comes
constexpr int settling_frames = 3;       // drawn after an event, so that every widget has answered it

using Clock = std::chrono::steady_clock;

/// Letters drawn into an atlas by a thread while the window is being opened, which takes longer.
struct FontWork {
  ImFontAtlas atlas;
  std::future<Fonts> fonts;
};

class Window {
 public:
  Window(GLFWwindow* window, WindowOptions options, Session session, UserFiles files, FontWork& font_work)
      : window_(window),
        options_(std::move(options)),
        keeper_(
            std::move(session), std::move(files), options_.theme ? &*options_.theme : nullptr,
            {options_.logbook, options_.athlete}, [] { glfwPostEmptyEvent(); }, options_.record) {
    glfwSetWindowUserPointer(window_, this);
    glfwSetKeyCallback(window_, [](GLFWwindow* w, int key, int code, int action, int mods) {
      of(w).on_key(key_of_layout(key, code), action, mods);
    });
    glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int, int, int) { of(w).wake(); });
    glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double, double) { of(w).wake(); });
    glfwSetScrollCallback(window_, [](GLFWwindow* w, double, double) { of(w).wake(); });
    glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned) { of(w).wake(); });
    glfwSetWindowFocusCallback(window_, [](GLFWwindow* w, int) { of(w).wake(); });
    glfwSetFramebufferSizeCallback(window_, [](GLFWwindow* w, int, int) { of(w).wake(); });
    glfwSetWindowContentScaleCallback(window_, [](GLFWwindow* w, float, float) { of(w).wake(); });
    glfwSetWindowRefreshCallback(window_, [](GLFWwindow* w) { of(w).wake(); });
    glfwSetDropCallback(window_, [](GLFWwindow* w, int count, const char** paths) {
      if (count > 0) of(w).on_drop(paths[0]);
    });
    glfwSetWindowCloseCallback(window_, [](GLFWwindow* w) {
      glfwSetWindowShouldClose(w, GLFW_FALSE);
      of(w).push(Quit{});
    });
    IMGUI_CHECKVERSION();
    fonts_ = font_work.fonts.get();
    ImGui::CreateContext(&font_work.atlas);
    ImGui::GetIO().IniFilename = nullptr;
    ImGui::GetIO().ConfigFlags |= ImGuiConfigFlags_NoMouseCursorChange;
    ImGui_ImplGlfw_InitForOpenGL(window_, true);
    ImGui_ImplOpenGL3_Init("#version 330 core");
  }
  ~Window() {
    stage_.reset();
    compare_.reset();
    ImGui_ImplOpenGL3_Shutdown();
    ImGui_ImplGlfw_Shutdown();
    ImGui::DestroyContext();
  }
  Window(const Window&) = delete;
  Window& operator=(const Window&) = delete;

  [[nodiscard]] Outcome create_stage() {
    Result<std::unique_ptr<StagePicture>> stage = StagePicture::create(
        [](const char* name) { return reinterpret_cast<void*>(glfwGetProcAddress(name)); });
    if (!stage) return stage.problem();
    stage_ = std::move(stage).value();
    return std::nullopt;
  }

  void run() {
    while (!quit_ && !keeper_.quits()) {
      if (moving() || settle_ > 0) {
        const double spent = std::chrono::duration<double>(Clock::now() - drawn_at_).count();
        const double left = frame_time - spent;
        left > 0.0005 ? glfwWaitEventsTimeout(left) : glfwPollEvents();
        if (std::chrono::duration<double>(Clock::now() - drawn_at_).count() < 0.6 * frame_time) continue;
      } else {
        const bool tip_comes = !hovered_.empty() && !shows_tip();
        glfwWaitEventsTimeout(tip_comes ? tip_delay : idle_time);
        if (settle_ == 0 && !keeper_.has_pending() && !(tip_comes && shows_tip())) continue;
      }
      draw();
      if (options_.frames > 0 && frame_ >= options_.frames) quit_ = true;
    }
    keeper_.keep_user_files();
  }

 private:
  static Window& of(GLFWwindow* w) { return *static_cast<Window*>(glfwGetWindowUserPointer(w)); }
  void wake() { settle_ = settling_frames; }
  void push(Edit edit) {
    keeper_.push(std::move(edit));
    wake();
  }
  [[nodiscard]] bool shows_tip() const {
    return !hovered_.empty() &&
           std::chrono::duration<double>(Clock::now() - hovered_at_).count() >= tip_delay;
  }
  [[nodiscard]] bool moving() const {
    const Session& s = keeper_.session();
    return s.playback.playing || s.motion.camera < camera_change || s.motion.rung < rung_change ||
           (s.sheet == Sheet::walk && s.motion.walk < walk_change);
  }

  void on_key(int key, int action, int mods) {
    wake();
    if (action == GLFW_RELEASE) return;
    const bool control = (mods & GLFW_MOD_CONTROL) != 0, shift = (mods & GLFW_MOD_SHIFT) != 0;
    const std::optional<Action> wanted = action_of(key, control, shift, typing_);
    if (!wanted) return;
    if (action == GLFW_REPEAT && !repeats(*wanted)) return;
    // What a key means depends on what the keys before it have done.
    if (keeper_.apply_pending()) wake();
    switch (*wanted) {
      case Action::next_focus:
      case Action::previous_focus:
        push(Focus{next_focus(records_, keeper_.session().focus, *wanted == Action::next_focus ? 1 : -1)});
        return;
      case Action::press:
        activate_ = true;
        return;
      default:
        for (Edit& edit : edits_of(*wanted, keeper_.session())) push(std::move(edit));
    }
  }

  /// A file that was dropped on the window: a plan, or a record of what really happened.
  void on_drop(const std::string& path) {
    if (path.ends_with(".json")) return push(OpenFile{path});
    push(ShowSheet{Sheet::record});
    push(OpenRecord{path});
  }

  void draw() {
    int width = 0, height = 0, window_width = 0, window_height = 0;
    glfwGetFramebufferSize(window_, &width, &height);
    glfwGetWindowSize(window_, &window_width, &window_height);
    const Clock::time_point now = Clock::now();
    const double dt = frame_ == 0 ? 0 : std::chrono::duration<double>(now - drawn_at_).count();
    drawn_at_ = now;
    if (settle_ > 0) --settle_;
    if (moving()) keeper_.push(Tick{dt});
    if (keeper_.apply_pending()) wake();
    if (width <= 0 || height <= 0) return;  // minimised

    const Session& session = keeper_.session();
    float monitor = 1, monitor_y = 1;
    glfwGetWindowContentScale(window_, &monitor, &monitor_y);
    const double scale =
        options_.scale.value_or(ui_scale(width, height, monitor, session.settings.text_size));
    const Layout l = layout_of(session, width, height, scale);
    ensure_fonts(l.scale);
    const Flight& flight = keeper_.flight(session.rung);
    const std::size_t before = std::min(session.motion.rung_from, session.ladder->rungs.size() - 1);
    unsigned texture = 0;
    const CompareInput* compare = compare_.draw(keeper_, l, moving() || dragging_);
    if (stage_ != nullptr && !l.chain_stage.empty() && session.chain) {
      texture = stage_->draw_chain(session, keeper_.chain_flights(), l, moving() || dragging_);
    } else if (stage_ != nullptr && compare == nullptr)
      texture = stage_->draw(session, flight, keeper_.flight(before), l, answer_extent(session, l, fonts_),
                             width, height, moving() || dragging_);

    ImGui_ImplOpenGL3_NewFrame();
    ImGui_ImplGlfw_NewFrame();
    // Everything is laid out in framebuffer pixels.
    ImGuiIO& io = ImGui::GetIO();
    io.DisplaySize = {static_cast<float>(width), static_cast<float>(height)};
    io.DisplayFramebufferScale = {1, 1};
    if (window_width > 0 && window_width != width) {
      io.MousePos.x *= static_cast<float>(width) / static_cast<float>(window_width);
      io.MousePos.y *= static_cast<float>(height) / static_cast<float>(window_height);
    }
    ImGui::NewFrame();
    const std::string tip = shows_tip() && !io.MouseDown[0] ? hovered_ : "";
    PanelOutput output =
        show_panels({session, keeper_.library(), flight, l, fonts_, texture, key_help(), keeper_.entries(),
                     activate_, tip, &keeper_.coaching(session.rung), compare});
    activate_ = false;
    ImGui::Render();
    glViewport(0, 0, width, height);
    const Color air = palette_of(session.settings.theme).air;
    glClearColor(static_cast<float>(air.r) / 255.0f, static_cast<float>(air.g) / 255.0f,
                 static_cast<float>(air.b) / 255.0f, 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    glfwSwapBuffers(window_);
    ++frame_;

    if (hovered_ != output.hovered) {
      hovered_ = output.hovered;
      hovered_at_ = now;
    }
    // A picture drawn quickly is drawn finely once the movement has ended.
    if (dragging_ && !output.dragging) wake();
    dragging_ = output.dragging;
    typing_ = output.typing;
    records_ = std::move(output.records);
    write_state(l);  // of what has been drawn, before anything of it changes
    for (Edit& edit : output.edits) keeper_.push(std::move(edit));
    if (keeper_.apply_pending()) wake();
  }

  void ensure_fonts(double scale) {
    const std::set<unsigned> missing =
        missing_code_points(fonts_, texts_of(keeper_.session(), keeper_.entries()));
    if (fonts_.font[0] != nullptr && fonts_.scale == scale && missing.empty()) return;
    std::set<unsigned> more;
    const std::set<unsigned> own = interface_code_points();
    for (const unsigned c : fonts_.code_points) {
      if (!own.contains(c)) more.insert(c);
    }
    more.insert(missing.begin(), missing.end());
    fonts_ = build_fonts(*ImGui::GetIO().Fonts, scale, more);
    ImGui_ImplOpenGL3_DestroyFontsTexture();
    ImGui_ImplOpenGL3_CreateFontsTexture();
  }

  void write_state(const Layout& l) {
    if (options_.state_file.empty()) return;
    const std::string temporary = options_.state_file + ".new";
    const ImGuiIO& io = ImGui::GetIO();
    std::ofstream(temporary) << state_json(
        keeper_.session(), l, records_,
        {frame_, keeper_.simulating(), io.MousePos.x, io.MousePos.y, io.MouseDown[0]});
    std::rename(temporary.c_str(), options_.state_file.c_str());
  }

  GLFWwindow* window_;
  WindowOptions options_;
  SessionKeeper keeper_;
  std::unique_ptr<StagePicture> stage_;
  CompareStages compare_{[](const char* name) { return reinterpret_cast<void*>(glfwGetProcAddress(name)); }};
  Fonts fonts_;
  std::vector<WidgetRecord> records_;
  Clock::time_point drawn_at_ = Clock::now();
  std::string hovered_;  // widget under the mouse
  Clock::time_point hovered_at_ = Clock::now();
  long frame_ = 0;
  int settle_ = settling_frames;
  bool quit_ = false, activate_ = false, typing_ = false, dragging_ = false;
};

/// Shuts GLFW down at the end of its scope.
struct Glfw {
  bool ready = glfwInit() == GLFW_TRUE;
  Glfw() = default;
  ~Glfw() { glfwTerminate(); }
  Glfw(const Glfw&) = delete;
  Glfw& operator=(const Glfw&) = delete;
};

Exit complain(Exit exit, const std::string& text) {
  std::fprintf(stderr, "halfturn: %s\n", text.c_str());
  return exit;
}

}  // namespace

Exit run_window(const WindowOptions& options) {
  UserFiles files = read_user_files();
  const Library library{built_in_vocabulary(), built_in_difficulty()};
  const std::string path = options.plan.empty() ? "" : full_path(options.plan);
  Settings settings = files.settings;
  if (options.theme) settings.theme = *options.theme;
  Result<Session> opened = start_session(path, library, settings, files.recent);
  if (!opened) return complain(Exit::bad_input, opened.problem().message());
  Session session = std::move(opened).value();

  glfwSetErrorCallback(nullptr);
  const Glfw glfw;
  const char* const no_display = "no display: the viewer needs one, the commands (halfturn --help) do not";
  if (!glfw.ready) return complain(Exit::no_output, no_display);
  float monitor = 1, monitor_y = 1;
  if (GLFWmonitor* first = glfwGetPrimaryMonitor()) glfwGetMonitorContentScale(first, &monitor, &monitor_y);
  const double scale =
      options.scale.value_or(ui_scale(options.width, options.height, monitor, session.settings.text_size));
  FontWork font_work;
  font_work.fonts =
      std::async(std::launch::async, [&font_work, scale] { return build_fonts(font_work.atlas, scale, {}); });
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_OPENGL_FORWARD_COMPAT, GLFW_TRUE);
  GLFWwindow* window = glfwCreateWindow(options.width, options.height, "Halfturn", nullptr, nullptr);
  if (window == nullptr)
    return complain(Exit::no_output, "no window with OpenGL 3.3 can be opened on this display");
  glfwMakeContextCurrent(window);
  glfwSwapInterval(1);
  Window viewer(window, options, std::move(session), std::move(files), font_work);
  if (const Outcome problem = viewer.create_stage()) return complain(Exit::no_output, problem->message());
  viewer.run();
  return Exit::done;
}

}  // namespace halfturn
