#include "session/hand_over.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "session/session.hpp"

namespace halfturn {
namespace {

struct FormWords {
  std::string_view word, words, ending;
  std::vector<std::string_view> command;  ///< and its own options
  bool of_a_rung = false, flies = false, pictured = false, takes_long = false;
};

const FormWords& entry(HandOverForm form) {
  static const std::array<FormWords, hand_over_form_count> entries{{
      {"sheet",
       "the climb to print: every rung with its dial, the walk, the finish, boxes to tick",
       ".pdf",
       {"sheet"},
       false,
       true},
      {"class sheet", "athletes by rungs, to print and tick", ".pdf", {"sheet", "--kind", "class"}},
      {"wall card",
       "large, both sides, to print and put up",
       ".pdf",
       {"sheet", "--kind", "wall"},
       false,
       true},
      {"this moment", "a picture of this moment, from this camera", ".png", {"draw"}, true, true, true},
      {"whole flight",
       "the whole flight in one picture, figure beside figure",
       ".png",
       {"draw", "--exposures", "8"},
       true,
       true,
       true},
      {"this rung", "a film of the rung, slow", ".mp4", {"film"}, true, true, true, true},
      {"whole climb",
       "a film of every rung, one after the other",
       ".mp4",
       {"film", "--ladder"},
       false,
       true,
       true,
       true},
      {"floor walk",
       "a film of the walk on the floor, seen from above",
       ".mp4",
       {"film", "--walk"},
       true,
       false,
       true,
       true},
      {"page",
       "one file that shows it on any phone, without a network",
       ".html",
       {"share"},
       false,
       true,
       false,
       true},
      {"3D file",
       "the figure, its flight and the dial for other programs (glTF)",
       ".glb",
       {"export"},
       true,
       true},
      {"orientations", "the flight as a table of orientations over time", ".csv", {"export"}, true, true},
  }};
  return entries[static_cast<std::size_t>(form)];
}

std::string offered_name(const Session& session, HandOverForm form) {
  std::string name = session.plan.title;
  if (entry(form).of_a_rung) name += ", " + session.rung_now().title;
  name += fmt::format(", {}", entry(form).word);
  for (char& c : name) {
    if (c == '/' || c == '\0') c = ' ';
  }
  return name + std::string(entry(form).ending);
}

/// The folder of a path, with its slash.
std::string folder_of(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  return slash == std::string::npos ? "" : path.substr(0, slash + 1);
}

std::string_view theme_word(Theme theme) {
  return theme == Theme::dark ? "dark" : theme == Theme::sunlight ? "sunlight" : "light";
}

}  // namespace

std::string_view hand_over_word(HandOverForm form) {
  return entry(form).word;
}
std::string_view hand_over_words(HandOverForm form) {
  return entry(form).words;
}
bool hand_over_takes_long(HandOverForm form) {
  return entry(form).takes_long;
}

std::string hand_over_path(const Session& session, const HandOver& before, HandOverForm form) {
  const std::string folder = folder_of(before.path), name = before.path.substr(folder.size());
  if (name.empty() || name == offered_name(session, before.form)) return folder + offered_name(session, form);
  const std::size_t dot = name.rfind('.');
  return folder + name.substr(0, dot) + std::string(entry(form).ending);
}

std::vector<std::string> hand_over_arguments(const Session& s, const std::string& plan,
                                             const std::string& logbook) {
  const FormWords& form = entry(s.hand_over.form);
  std::vector<std::string> arguments{form.command.begin(), form.command.end()};
  arguments.push_back(plan);
  const auto option = [&](std::string name, std::string value) {
    arguments.push_back(std::move(name));
    arguments.push_back(std::move(value));
  };
  if (form.of_a_rung) option("--rung", std::to_string(s.rung));
  // Whoever flies on the screen flies in what is handed over.
  if (form.flies && s.flown_by_logged.empty()) arguments.emplace_back("--simulated");
  if (form.flies && !s.flown_by_logged.empty()) {
    option("--athlete-name", s.flown_by_logged);
    if (!logbook.empty()) option("--logbook", logbook);
  }
  if (form.pictured) {
    option("--theme", std::string(theme_word(s.settings.theme)));
    if (s.hand_over.form != HandOverForm::walk_film)
      option("--camera", std::string(camera_word(s.look.camera)));
  }
  if (s.hand_over.form == HandOverForm::moment) option("--time", fmt::format("{:.9g}", s.playback.t));
  if (s.hand_over.form == HandOverForm::film || s.hand_over.form == HandOverForm::climb_film)
    option("--speed", fmt::format("{:.9g}", s.playback.rate));
  if (form.takes_long) arguments.emplace_back("--progress");
  option("--output", s.hand_over.path);
  return arguments;
}

}  // namespace halfturn
