#pragma once

#include <string>
#include <vector>

#include "panels/panels.hpp"
#include "session/session.hpp"

namespace halfturn {

/// What the program keeps about a person: settings and recent files, in the XDG folders.
struct UserFiles {
  Settings settings;
  std::vector<std::string> recent;
};
/// Missing or broken files give the defaults.
[[nodiscard]] UserFiles read_user_files();
/// A Problem when a folder or file cannot be written; nothing depends on them.
[[nodiscard]] Outcome write_user_files(const UserFiles& files);

/// Folders and plan files (*.json) of a folder, folders first, by name, without hidden ones; the parent comes
/// first.
[[nodiscard]] std::vector<FileEntry> list_folder(const std::string& folder);
/// Where plans are looked for first: the working folder.
[[nodiscard]] std::string first_folder();
/// An absolute path; `~/` is the home folder.
[[nodiscard]] std::string full_path(const std::string& path);

}  // namespace halfturn
