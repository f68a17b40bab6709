#include <cstdio>
#include <map>

#include "window.hpp"

namespace halfturn {

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
  program.add_option("--athlete-name", options.athlete,
                     "Athlete of the logbook whose passes the climb shows");
  program
      .add_option("--record", options.record.record,
                  "Record of what really happened (CSV or BVH), shown beside the rung")
      ->type_name("FILE");
  add_answer_options(program, options.record, "What a record does not say, or the marks of a video",
                     "--marks");
  program.add_option("--state-file", options.state_file,
                     "For tests: write session and widgets here after every frame");
  program.add_option("--frames", options.frames, "For tests: leave after so many frames")
      ->check(CLI::Range(0, 1000000));
}

}  // namespace halfturn
