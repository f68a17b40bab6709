#pragma once

#include <doctest/doctest.h>
#include <stdlib.h>

#include <filesystem>
#include <string>

#include "logbook/logbook.hpp"

namespace halfturn::test {

/// A folder of its own for one test, removed at the end.
struct Folder {
  std::filesystem::path path;
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "halfturn-logbook-XXXXXX").string();
    REQUIRE(mkdtemp(name.data()) != nullptr);
    path = name;
  }
  ~Folder() {
    std::error_code error;
    std::filesystem::remove_all(path, error);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string file(const std::string& name = "logbook.db") const {
    return (path / name).string();
  }
};

template <class T>
T take(Result<T> result) {
  REQUIRE_MESSAGE(result.ok(), (result.ok() ? "" : result.problem().message()));
  return std::move(result).value();
}

inline Logbook open(const std::string& path, Logbook::Mode mode = Logbook::Mode::write) {
  return take(Logbook::open(path, mode));
}

inline std::int64_t add_athlete(Logbook& logbook, const std::string& name) {
  AthleteProfile profile;
  profile.name = name;
  return take(logbook.add_athlete(profile, 1000)).id;
}

inline AttemptRecord record(double twist_deg, std::int64_t time_ms,
                            AttemptOutcome outcome = AttemptOutcome::in_hand) {
  AttemptRecord r;
  r.rung = {"back flip", twist_deg, Side::left, "both feet", "sprung floor", "standing", "straight", false};
  r.time_ms = time_ms;
  r.outcome = outcome;
  r.heading_error_deg = 0;
  return r;
}

inline Added log(Logbook& logbook, std::int64_t athlete, const AttemptRecord& r,
                 const std::string& uid = "") {
  const NewAttempt attempt{athlete, "2026-11-25", uid, r};
  return take(logbook.add_attempts({&attempt, 1}));
}

}  // namespace halfturn::test
