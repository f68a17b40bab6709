#include "user_files.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <system_error>

#include "format/file.hpp"
#include "format/json_reader.hpp"

namespace halfturn {
namespace {

namespace fs = std::filesystem;

constexpr std::array<const char*, 3> turn_words_of{"turns", "degrees", "clock"};
constexpr std::array<const char*, 3> theme_words{"light", "dark", "sunlight"};
constexpr std::array<const char*, 3> size_words{"normal", "large", "wall"};
constexpr std::size_t most_files = 500;

/// A folder of the XDG base directory specification: from its variable when that is absolute, else under
/// home.
fs::path xdg_folder(const char* variable, const char* under_home) {
  const char* set = std::getenv(variable);
  if (set != nullptr && set[0] == '/') return fs::path(set) / "halfturn";
  const char* home = std::getenv("HOME");
  return fs::path(home != nullptr && home[0] == '/' ? home : "/tmp") / under_home / "halfturn";
}
fs::path settings_path() {
  return xdg_folder("XDG_CONFIG_HOME", ".config") / "settings.json";
}
fs::path recent_path() {
  return xdg_folder("XDG_STATE_HOME", ".local/state") / "recent.json";
}

template <class E, std::size_t N>
void read_word(const JsonReader& json, const char* key, const std::array<const char*, N>& words, E& value) {
  const auto member = json.find(key);
  if (!member || !member->is_string()) return;
  const std::string word = member->string();
  for (std::size_t i = 0; i < N; ++i) {
    if (word == words[i]) value = static_cast<E>(i);
  }
}

}  // namespace

UserFiles read_user_files() {
  UserFiles files;
  if (const Result<std::string> text = read_file(settings_path().string())) {
    if (const Result<Json> document = parse_json(*text, "")) {
      JsonReader::Log log;
      const JsonReader json(&*document, "", &log);
      read_word(json, "theme", theme_words, files.settings.theme);
      read_word(json, "text_size", size_words, files.settings.text_size);
      read_word(json, "turns_in", turn_words_of, files.settings.turn_unit);
      if (const auto motion = json.find("reduced_motion");
          motion && (*document)["reduced_motion"].is_boolean()) {
        files.settings.reduced_motion = motion->boolean();
      }
    }
  }
  if (const Result<std::string> text = read_file(recent_path().string())) {
    if (const Result<Json> document = parse_json(*text, "")) {
      JsonReader::Log log;
      const JsonReader json(&*document, "", &log);
      if (const auto list = json.find("recent"); list && list->is_array()) {
        for (const JsonReader& entry : list->elements()) {
          if (entry.is_string()) files.recent.push_back(entry.string());
        }
      }
    }
  }
  return files;
}

Outcome write_user_files(const UserFiles& files) {
  Json settings;
  settings["format"] = "halfturn-settings";
  settings["version"] = 1;
  settings["theme"] = theme_words[static_cast<std::size_t>(files.settings.theme)];
  settings["text_size"] = size_words[static_cast<std::size_t>(files.settings.text_size)];
  settings["turns_in"] = turn_words_of[static_cast<std::size_t>(files.settings.turn_unit)];
  settings["reduced_motion"] = files.settings.reduced_motion;
  Json recent;
  recent["format"] = "halfturn-recent";
  recent["version"] = 1;
  recent["recent"] = files.recent;
  const std::pair<fs::path, const Json*> both[] = {{settings_path(), &settings}, {recent_path(), &recent}};
  for (const auto& [path, json] : both) {
    std::error_code error;
    fs::create_directories(path.parent_path(), error);
    if (error) return Problem{path.parent_path().string(), "", "cannot be made: " + error.message()};
    const std::string text = json->dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
    if (Outcome problem = write_file(path.string(), text)) return problem;
  }
  return std::nullopt;
}

std::vector<FileEntry> list_folder(const std::string& folder) {
  std::vector<FileEntry> entries;
  std::error_code error;
  fs::directory_iterator it(folder, fs::directory_options::skip_permission_denied, error);
  for (const fs::directory_iterator end; !error && it != end; it.increment(error)) {
    const std::string name = it->path().filename().string();
    if (name.empty() || name.front() == '.') continue;
    std::error_code unknown;
    const bool is_folder = it->is_directory(unknown);
    if (is_folder || it->path().extension() == ".json")
      entries.push_back({name, it->path().string(), is_folder});
  }
  std::sort(entries.begin(), entries.end(), [](const FileEntry& a, const FileEntry& b) {
    return a.folder != b.folder ? a.folder : a.name < b.name;
  });
  if (entries.size() > most_files) entries.resize(most_files);
  const fs::path parent = fs::path(folder).parent_path();
  if (parent != folder) entries.insert(entries.begin(), {"..", parent.string(), true});
  return entries;
}

std::string first_folder() {
  std::error_code error;
  const fs::path folder = fs::current_path(error);
  return error ? "/" : folder.string();
}

std::string full_path(const std::string& path) {
  if (path.rfind("~/", 0) == 0) {
    if (const char* home = std::getenv("HOME")) return std::string(home) + path.substr(1);
  }
  std::error_code error;
  const fs::path full = fs::absolute(path, error);
  return error ? path : full.lexically_normal().string();
}

}  // namespace halfturn
