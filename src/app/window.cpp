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
#include <map>

#include "class_keeper.hpp"
#include "flight_cache.hpp"
#include "format/file.hpp"
#include "format/plan_file.hpp"
#include "format/shape_file.hpp"
#include "format/vocabulary_file.hpp"
#include "keymap.hpp"
#include "scene/palette.hpp"
#include "stage_picture.hpp"
#include "state_dump.hpp"
#include "user_files.hpp"

namespace halfturn {
namespace {

constexpr double frame_time = 1.0 / 60;  // s between frames while something moves
constexpr double idle_time = 1.0;        // s between looks at the world while nothing does
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
        library_{built_in_vocabulary(), built_in_difficulty()},
        session_(std::move(session)),
        files_(std::move(files)),
        own_theme_(files_.settings.theme),
        cache_(embedded_shapes()),
        keeper_(options_.logbook, options_.athlete) {
    glfwSetWindowUserPointer(window_, this);
    glfwSetKeyCallback(
        window_, [](GLFWwindow* w, int key, int, int action, int mods) { of(w).on_key(key, action, mods); });
    glfwSetMouseButtonCallback(window_, [](GLFWwindow* w, int, int, int) { of(w).wake(); });
    glfwSetCursorPosCallback(window_, [](GLFWwindow* w, double, double) { of(w).wake(); });
    glfwSetScrollCallback(window_, [](GLFWwindow* w, double, double) { of(w).wake(); });
    glfwSetCharCallback(window_, [](GLFWwindow* w, unsigned) { of(w).wake(); });
    glfwSetWindowFocusCallback(window_, [](GLFWwindow* w, int) { of(w).wake(); });
    glfwSetFramebufferSizeCallback(window_, [](GLFWwindow* w, int, int) { of(w).wake(); });
    glfwSetWindowContentScaleCallback(window_, [](GLFWwindow* w, float, float) { of(w).wake(); });
    glfwSetWindowRefreshCallback(window_, [](GLFWwindow* w) { of(w).draw(); });
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
    while (!quit_) {
      if (moving() || settle_ > 0) {
        const double spent = std::chrono::duration<double>(Clock::now() - drawn_at_).count();
        const double left = frame_time - spent;
        left > 0.0005 ? glfwWaitEventsTimeout(left) : glfwPollEvents();
        if (std::chrono::duration<double>(Clock::now() - drawn_at_).count() < 0.6 * frame_time) continue;
      } else {
        glfwWaitEventsTimeout(idle_time);
        if (settle_ == 0 && pending_.empty()) continue;
      }
      draw();
      if (options_.frames > 0 && frame_ >= options_.frames) quit_ = true;
    }
    keep_user_files();
  }

 private:
  static Window& of(GLFWwindow* w) { return *static_cast<Window*>(glfwGetWindowUserPointer(w)); }
  void wake() { settle_ = settling_frames; }
  void push(Edit edit) {
    pending_.push_back(std::move(edit));
    wake();
  }
  [[nodiscard]] bool moving() const {
    return session_.playback.playing || session_.motion.camera < camera_change ||
           session_.motion.rung < rung_change;
  }

  void on_key(int key, int action, int mods) {
    wake();
    if (action == GLFW_RELEASE) return;
    const bool control = (mods & GLFW_MOD_CONTROL) != 0, shift = (mods & GLFW_MOD_SHIFT) != 0;
    const std::optional<Action> wanted = action_of(key, control, shift, typing_);
    if (!wanted) return;
    if (action == GLFW_REPEAT && *wanted == Action::play) return;
    switch (*wanted) {
      case Action::next_focus:
      case Action::previous_focus:
        push(Focus{next_focus(records_, session_.focus, *wanted == Action::next_focus ? 1 : -1)});
        return;
      case Action::press:
        activate_ = true;
        return;
      default:
        for (Edit& edit : edits_of(*wanted, session_)) push(std::move(edit));
    }
  }

  void draw() {
    int width = 0, height = 0, window_width = 0, window_height = 0;
    glfwGetFramebufferSize(window_, &width, &height);
    glfwGetWindowSize(window_, &window_width, &window_height);
    const Clock::time_point now = Clock::now();
    const double dt = frame_ == 0 ? 0 : std::chrono::duration<double>(now - drawn_at_).count();
    drawn_at_ = now;
    if (settle_ > 0) --settle_;
    if (moving()) push_quietly(Tick{dt});
    apply_pending();
    if (width <= 0 || height <= 0) return;  // minimised

    float monitor = 1, monitor_y = 1;
    glfwGetWindowContentScale(window_, &monitor, &monitor_y);
    const double scale =
        options_.scale.value_or(ui_scale(width, height, monitor, session_.settings.text_size));
    ensure_fonts(scale);
    const Layout l = layout(width, height, scale, session_.look.curves, session_.sheet);
    const Flight& flight = cache_.flight(*session_.ladder, session_.rung);
    const std::size_t before = std::min(session_.motion.rung_from, session_.ladder->rungs.size() - 1);
    const unsigned texture = stage_ == nullptr
                                 ? 0
                                 : stage_->draw(session_, flight, cache_.flight(*session_.ladder, before), l,
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
    PanelOutput output =
        show_panels({session_, library_, flight, l, fonts_, texture, key_help(), entries_, activate_});
    activate_ = false;
    ImGui::Render();
    glViewport(0, 0, width, height);
    const Color air = palette_of(session_.settings.theme).air;
    glClearColor(static_cast<float>(air.r) / 255.0f, static_cast<float>(air.g) / 255.0f,
                 static_cast<float>(air.b) / 255.0f, 1);
    glClear(GL_COLOR_BUFFER_BIT);
    ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
    glfwSwapBuffers(window_);
    ++frame_;

    // A picture drawn quickly is drawn finely once the movement has ended.
    if (dragging_ && !output.dragging) wake();
    dragging_ = output.dragging;
    typing_ = output.typing;
    records_ = std::move(output.records);
    if (!output.edits.empty()) wake();
    for (Edit& edit : output.edits) pending_.push_back(std::move(edit));
    apply_pending();
    write_state(l);
  }

  void push_quietly(Edit edit) { pending_.push_back(std::move(edit)); }

  void apply_pending() {
    std::vector<Edit> edits;
    while (!pending_.empty()) {
      edits.swap(pending_);
      for (const Edit& edit : edits) {
        const Sheet sheet = session_.sheet;
        const std::string folder = session_.folder;
        Applied applied = apply(std::move(session_), edit, library_);
        session_ = std::move(applied.session);
        if (session_.sheet != sheet || session_.folder != folder) on_sheet(sheet);
        do_request(applied.request);
      }
      edits.clear();
    }
    if (auto told = keeper_.gates(session_)) session_ = apply(std::move(session_), *told, library_).session;
    if (session_.settings != files_.settings || session_.recent != files_.recent) keep_user_files();
    const double duration = cache_.flight(*session_.ladder, session_.rung).duration();
    if (duration != session_.duration)
      session_ = apply(std::move(session_), FlightLength{duration}, library_).session;
  }

  /// Reads what a newly opened page shows from the disk.
  void on_sheet(Sheet before) {
    if (session_.folder.empty()) session_.folder = first_folder();
    if (session_.sheet == Sheet::board && before != Sheet::board) push(keeper_.board(session_));
    if (session_.sheet == Sheet::open) {
      entries_ = list_folder(session_.folder);
      if (before != Sheet::open) session_.typed_path = session_.folder + "/";
    }
    if (session_.sheet == Sheet::save_as && before != Sheet::save_as) {
      session_.typed_path =
          session_.path.empty() ? session_.folder + "/" + file_name_of(session_.plan) : session_.path;
    }
    replace_.clear();
  }

  static std::string file_name_of(const Plan& plan) {
    std::string name = plan.title;
    for (char& c : name) {
      if (c == '/' || c == '\0') c = ' ';
    }
    return name + ".json";
  }

  void do_request(const Request& request) {
    switch (request.kind) {
      case Request::Kind::none:
        break;
      case Request::Kind::open:
        open(request.path);
        break;
      case Request::Kind::save:
        save(full_path(request.path));
        break;
      case Request::Kind::log_attempt:
      case Request::Kind::undo_attempt:
      case Request::Kind::keep_attendance:
        for (Edit& edit : keeper_.answer(request, session_)) push(std::move(edit));
        break;
      case Request::Kind::quit:
        keep_view();
        quit_ = true;
        break;
    }
  }

  void open(const std::string& typed) {
    const std::string path = typed.empty() ? "" : full_path(typed);
    Result<PlanFile> file = path.empty() ? Result<PlanFile>(demo_plan()) : load_plan(path);
    Result<Session> next = file ? open_session(*file, path, library_, session_.settings) : file.problem();
    if (!next) {
      push(Notice{next.problem().message(), true});
      return;
    }
    keep_view();
    Session session = std::move(next).value();
    session.recent = session_.recent;
    session.folder = session_.folder;
    session.board = session_.board;
    if (!path.empty()) {
      std::erase(session.recent, path);
      session.recent.insert(session.recent.begin(), path);
    }
    session_ = std::move(session);
    wake();
  }

  void save(const std::string& path) {
    const bool same = path == session_.path;
    std::FILE* there = same ? nullptr : std::fopen(path.c_str(), "rb");
    if (there != nullptr) {
      std::fclose(there);
      if (replace_ != path) {
        replace_ = path;
        push(Notice{"there is a file of that name: save again to replace it", true});
        return;
      }
    }
    replace_.clear();
    if (const Outcome problem = write_file(path, write_plan(plan_file(session_)))) {
      push(Notice{problem->message(), true});
    } else {
      push(Saved{path});
    }
  }

  /// A plan reopens as it was left: the view goes into its file, as long as the plan there is the one shown.
  void keep_view() {
    if (session_.path.empty() || session_.dirty()) return;
    const Result<PlanFile> on_disk = load_plan(session_.path);
    if (!on_disk || on_disk->plan != session_.plan || on_disk->view == view_json(session_)) return;
    // A folder that cannot be written keeps the old view; nothing of the plan is lost by it.
    static_cast<void>(write_file(session_.path, write_plan(plan_file(session_))));
  }

  void keep_user_files() {
    files_ = {session_.settings, session_.recent};
    UserFiles kept = files_;
    // A theme from the command line is for this time only.
    if (options_.theme && kept.settings.theme == *options_.theme) kept.settings.theme = own_theme_;
    const Outcome problem = write_user_files(kept);
    if (problem && !told_unwritable_) {
      told_unwritable_ = true;
      push(Notice{"settings are not kept: " + problem->message(), true});
    }
  }

  void ensure_fonts(double scale) {
    const std::set<unsigned> missing = missing_code_points(fonts_, texts_of(session_, entries_));
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
    std::ofstream(temporary) << state_json(session_, l, records_, frame_);
    std::rename(temporary.c_str(), options_.state_file.c_str());
  }

  GLFWwindow* window_;
  WindowOptions options_;
  Library library_;
  Session session_;
  UserFiles files_;
  Theme own_theme_;
  FlightCache cache_;
  ClassKeeper keeper_;
  std::unique_ptr<StagePicture> stage_;
  Fonts fonts_;
  std::vector<Edit> pending_;
  std::vector<WidgetRecord> records_;
  std::vector<FileEntry> entries_;
  Clock::time_point drawn_at_ = Clock::now();
  std::string replace_;  // file that one more save replaces
  long frame_ = 0;
  int settle_ = settling_frames;
  bool quit_ = false, activate_ = false, typing_ = false, dragging_ = false, told_unwritable_ = false;
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

void add_window_options(CLI::App& program, WindowOptions& options) {
  program.add_option("plan", options.plan, "Plan file to open in the viewer; without it, the demo plan");
  program.add_flag_callback(
      "--demo", [&options] { options.plan.clear(); }, "Open the demo plan");
  program
      .add_option_function<std::string>(
          "--size",
          [&options](const std::string& size) {
            int width = 0, height = 0;
            char rest = 0;
            if (std::sscanf(size.c_str(), "%dx%d%c", &width, &height, &rest) != 2 || width < 1 ||
                height < 1 || width > 16384 || height > 16384) {
              throw CLI::ValidationError("--size",
                                         "must be WIDTHxHEIGHT in pixels, such as 1280x800, not " + size);
            }
            options.width = width;
            options.height = height;
          },
          "Size of the window, pixels")
      ->type_name("WxH");
  program.add_option("--scale", options.scale, "Pixels per design pixel, instead of the monitor's scale")
      ->check(CLI::Range(0.5, 6.0));
  static const std::map<std::string, Theme> themes{
      {"light", Theme::light}, {"dark", Theme::dark}, {"sunlight", Theme::sunlight}};
  program.add_option("--theme", options.theme, "Colours: light, dark or sunlight")
      ->transform(CLI::Transformer(themes).description(""))
      ->type_name("WORD");
  program.add_option("--logbook", options.logbook, "File of the logbook, instead of the default one");
  program.add_option("--athlete-name", options.athlete, "Athlete of the logbook whose passes the climb shows");
  program.add_option("--state-file", options.state_file,
                     "For tests: write session and widgets here after every frame");
  program.add_option("--frames", options.frames, "For tests: leave after so many frames")
      ->check(CLI::Range(0, 1000000));
}

Exit run_window(const WindowOptions& options) {
  UserFiles files = read_user_files();
  const Library library{built_in_vocabulary(), built_in_difficulty()};
  const std::string path = options.plan.empty() ? "" : full_path(options.plan);
  Result<PlanFile> file = path.empty() ? Result<PlanFile>(demo_plan()) : load_plan(path);
  if (!file) return complain(Exit::bad_input, file.problem().message());
  Settings settings = files.settings;
  if (options.theme) settings.theme = *options.theme;
  Result<Session> opened = open_session(*file, path, library, settings);
  if (!opened) return complain(Exit::bad_input, opened.problem().message());
  Session session = std::move(opened).value();
  session.recent = files.recent;
  if (!path.empty()) {
    std::erase(session.recent, path);
    session.recent.insert(session.recent.begin(), path);
  }

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
