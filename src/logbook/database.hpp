#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace halfturn {

/// Place of a problem that kept something from being written; others are about what was read.
inline constexpr const char* writing_place = "writing";

/// One SQLite file. Problems say in words what happened, that nothing was written, and what helps.
class Database {
 public:
  enum class Mode { read, write, create };
  /// Opens without reading anything yet. `immutable`: nobody can write to the file, not even SQLite.
  [[nodiscard]] static Result<Database> open(const std::string& path, Mode mode, bool immutable = false);

  [[nodiscard]] sqlite3* handle() const { return handle_.get(); }
  [[nodiscard]] const std::string& path() const { return path_; }
  /// Runs statements that give no rows.
  [[nodiscard]] Outcome run(const char* sql) const;
  /// The last failure in words.
  [[nodiscard]] Problem problem() const;
  /// An integer of the first row and column; 0 when there is none.
  [[nodiscard]] Result<std::int64_t> number(const char* sql) const;

 private:
  struct Close {
    void operator()(sqlite3* handle) const { sqlite3_close_v2(handle); }
  };
  std::unique_ptr<sqlite3, Close> handle_;
  std::string path_;
};

/// A prepared statement. A failure is kept: rows end, and `finish` tells it.
class Statement {
 public:
  Statement(const Database& database, std::string_view sql);

  template <class... Values>
  Statement& bind(const Values&... values) {
    sqlite3_reset(handle_.get());
    int index = 0;
    (bind_one(++index, values), ...);
    return *this;
  }
  /// True: there is a row to read.
  bool step();
  /// Runs to the end and tells what failed, if anything did.
  [[nodiscard]] Outcome finish();

  [[nodiscard]] std::int64_t integer(int column) const;
  [[nodiscard]] double real(int column) const;
  [[nodiscard]] std::string text(int column) const;
  [[nodiscard]] std::optional<double> optional_real(int column) const;
  [[nodiscard]] bool is_null(int column) const;

 private:
  void bind_one(int index, std::int64_t value);
  void bind_one(int index, int value) { bind_one(index, static_cast<std::int64_t>(value)); }
  void bind_one(int index, bool value) { bind_one(index, static_cast<std::int64_t>(value)); }
  void bind_one(int index, double value);
  void bind_one(int index, std::string_view value);
  void bind_one(int index, const std::string& value) { bind_one(index, std::string_view(value)); }
  void bind_one(int index, const char* value) { bind_one(index, std::string_view(value)); }
  template <class T>
  void bind_one(int index, const std::optional<T>& value) {
    if (value) {
      bind_one(index, *value);
    } else {
      keep(sqlite3_bind_null(handle_.get(), index));
    }
  }
  void keep(int code);

  struct Finalize {
    void operator()(sqlite3_stmt* handle) const { sqlite3_finalize(handle); }
  };
  const Database* database_;
  std::unique_ptr<sqlite3_stmt, Finalize> handle_;
  Outcome problem_;
};

/// Everything until `commit` happens together or not at all.
class Transaction {
 public:
  explicit Transaction(const Database& database)
      : database_(database), problem_(database.run("BEGIN IMMEDIATE")) {
    open_ = !problem_;
  }
  ~Transaction() {
    // A failed statement may have ended the transaction already; a second ROLLBACK does no harm.
    if (open_) static_cast<void>(database_.run("ROLLBACK"));
  }
  Transaction(const Transaction&) = delete;
  Transaction& operator=(const Transaction&) = delete;
  /// What kept it from beginning.
  [[nodiscard]] const Outcome& problem() const { return problem_; }
  [[nodiscard]] Outcome commit() {
    Outcome problem = database_.run("COMMIT");
    open_ = problem.has_value();
    return problem;
  }

 private:
  const Database& database_;
  Outcome problem_;
  bool open_ = false;
};

}  // namespace halfturn
