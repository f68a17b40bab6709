#include "format/file.hpp"

#include <doctest/doctest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

using namespace halfturn;

namespace {

/// A folder of its own, removed at the end of the test.
class Folder {
 public:
  Folder() {
    std::string pattern = (std::filesystem::temp_directory_path() / "halfturn-test-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  ~Folder() {
    std::error_code ignored;
    std::filesystem::permissions(path_, std::filesystem::perms::owner_all, ignored);
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string operator/(const std::string& name) const { return path_ + "/" + name; }
  [[nodiscard]] std::size_t entries() const {
    return static_cast<std::size_t>(std::distance(std::filesystem::directory_iterator(path_), {}));
  }

 private:
  std::string path_;
};

}  // namespace

TEST_CASE("a file is written whole, replaces the older one, and leaves nothing beside it") {
  const Folder folder;
  const std::string path = folder / "plan.json";
  CHECK_FALSE(write_file(path, "old").has_value());
  CHECK_FALSE(write_file(path, "new content").has_value());
  CHECK(*read_file(path) == "new content");
  CHECK(folder.entries() == 1);
}

TEST_CASE("writing where it cannot be done says so and keeps what is there") {
  const Folder folder;
  CHECK(write_file(folder / "missing/plan.json", "x").has_value());
  std::filesystem::create_directory(folder / "folder");
  CHECK(write_file(folder / "folder", "x")->text == "is a folder, a file name is needed");
  CHECK(write_file("/dev/full", "x").has_value());
  CHECK(folder.entries() == 1);
}

TEST_CASE("saving through a symbolic link keeps the link") {
  const Folder folder;
  CHECK_FALSE(write_file(folder / "real.json", "1").has_value());
  std::filesystem::create_symlink(folder / "real.json", folder / "link.json");
  CHECK_FALSE(write_file(folder / "link.json", "2").has_value());
  CHECK(std::filesystem::is_symlink(folder / "link.json"));
  CHECK(*read_file(folder / "real.json") == "2");
}

TEST_CASE("a file that is too large, a folder and a missing file are refused with a reason") {
  const Folder folder;
  std::ofstream(folder / "large") << std::string(1000, 'x');
  CHECK(read_file(folder / "large", 1000).ok());
  CHECK_FALSE(read_file(folder / "large", 999).ok());
  CHECK_FALSE(read_file("/dev/zero", 4096).ok());
  CHECK(read_file(folder / "").problem().text == "is a folder, a file is needed");
  CHECK_FALSE(read_file(folder / "none").ok());
}
