#include "database.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cstring>

namespace halfturn {
namespace {

/// How long a writer waits for another program, ms.
constexpr int patience_ms = 5000;

/// A path as SQLite's URI: what is special there is written as its code. An absolute path comes after an
/// empty authority, else what follows the slashes of "//folder/file" would be one.
std::string uri_of(const std::string& path, bool immutable) {
  std::string uri = path.starts_with('/') ? "file://" : "file:";
  for (const char c : path) {
    if (c == '%' || c == '?' || c == '#') {
      uri += fmt::format("%{:02X}", static_cast<unsigned char>(c));
    } else {
      uri += c;
    }
  }
  return uri + (immutable ? "?immutable=1" : "");
}

Problem words_of(const std::string& path, int extended, int system_error, const char* message) {
  const auto unwritten = [&](const std::string& text) { return Problem{path, writing_place, text}; };
  const std::string cause = system_error != 0 ? std::strerror(system_error) : message;
  switch (extended & 0xff) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return unwritten(fmt::format(
          "another program is writing to this logbook; waited {} s. Nothing was written: try again",
          patience_ms / 1000));
    case SQLITE_FULL:
      return unwritten("the disk is full, nothing was written. Free some space, then log it again");
    case SQLITE_READONLY:
      return unwritten(
          "the file or its folder is read-only, nothing was written. Allow writing, or choose another "
          "file with --logbook");
    case SQLITE_IOERR:
      return unwritten(fmt::format("the disk did not take it ({}), nothing was written", cause));
    case SQLITE_CANTOPEN: {
      // SQLite tells of the log that it could not make beside the file, and then of the wrong thing.
      const std::size_t slash = path.rfind('/');
      const std::string folder =
          slash == std::string::npos ? "." : path.substr(0, std::max<std::size_t>(slash, 1));
      if (::access(folder.c_str(), F_OK) != 0) {
        return unwritten(
            fmt::format("its folder {} is not there; make it, or choose another file with "
                        "--logbook",
                        folder));
      }
      if (::access(folder.c_str(), W_OK) != 0) {
        return unwritten(
            "its folder is read-only, and a logbook keeps its log beside its file. Nothing was written: "
            "allow "
            "writing to the folder, or choose another file with --logbook");
      }
      return unwritten(fmt::format("cannot be opened: {}", cause));
    }
    case SQLITE_CORRUPT:
      return Problem{path, "", "is damaged; nothing was changed"};
    case SQLITE_NOTADB:
      return Problem{path, "", "is no logbook; nothing was changed. Choose another file with --logbook"};
    default:
      return unwritten(fmt::format("{}; nothing was written", message));
  }
}

}  // namespace

Result<Database> Database::open(const std::string& path, Mode mode, bool immutable) {
  Database database;
  database.path_ = path;
  sqlite3* handle = nullptr;
  const int flags = SQLITE_OPEN_URI | SQLITE_OPEN_EXRESCODE |
                    (mode == Mode::read    ? SQLITE_OPEN_READONLY
                     : mode == Mode::write ? SQLITE_OPEN_READWRITE
                                           : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE);
  const int code = sqlite3_open_v2(uri_of(path, immutable).c_str(), &handle, flags, nullptr);
  database.handle_.reset(handle);
  if (code != SQLITE_OK) {
    if (handle == nullptr) return Problem{path, "", "no memory to open it"};
    return words_of(path, code, sqlite3_system_errno(handle), sqlite3_errmsg(handle));
  }
  sqlite3_busy_timeout(handle, patience_ms);
  return database;
}

Outcome Database::run(const char* sql) const {
  if (sqlite3_exec(handle_.get(), sql, nullptr, nullptr, nullptr) == SQLITE_OK) return std::nullopt;
  return problem();
}

Problem Database::problem() const {
  return words_of(path_, sqlite3_extended_errcode(handle_.get()), sqlite3_system_errno(handle_.get()),
                  sqlite3_errmsg(handle_.get()));
}

Result<std::int64_t> Database::number(const char* sql) const {
  Statement statement(*this, sql);
  const std::int64_t value = statement.step() ? statement.integer(0) : 0;
  if (const Outcome problem = statement.finish()) return *problem;
  return value;
}

Statement::Statement(const Database& database, std::string_view sql) : database_(&database) {
  sqlite3_stmt* handle = nullptr;
  keep(sqlite3_prepare_v2(database.handle(), sql.data(), static_cast<int>(sql.size()), &handle, nullptr));
  handle_.reset(handle);
}

void Statement::keep(int code) {
  if (code != SQLITE_OK && !problem_) problem_ = database_->problem();
}

void Statement::bind_one(int index, std::int64_t value) {
  keep(sqlite3_bind_int64(handle_.get(), index, value));
}

void Statement::bind_one(int index, double value) {
  keep(sqlite3_bind_double(handle_.get(), index, value));
}

void Statement::bind_one(int index, std::string_view value) {
  // SQLite copies the text; the macro for this is a cast that our warnings refuse.
  const auto copied = reinterpret_cast<sqlite3_destructor_type>(std::intptr_t{-1});
  keep(sqlite3_bind_text64(handle_.get(), index, value.data() != nullptr ? value.data() : "", value.size(),
                           copied, SQLITE_UTF8));
}

bool Statement::step() {
  if (problem_ || !handle_) return false;
  const int code = sqlite3_step(handle_.get());
  if (code == SQLITE_ROW) return true;
  if (code != SQLITE_DONE) problem_ = database_->problem();
  return false;
}

Outcome Statement::finish() {
  while (step()) {
  }
  sqlite3_reset(handle_.get());
  return problem_;
}

std::int64_t Statement::integer(int column) const {
  return sqlite3_column_int64(handle_.get(), column);
}

double Statement::real(int column) const {
  return sqlite3_column_double(handle_.get(), column);
}

std::string Statement::text(int column) const {
  const unsigned char* text = sqlite3_column_text(handle_.get(), column);
  if (text == nullptr) return "";
  return {reinterpret_cast<const char*>(text),
          static_cast<std::size_t>(sqlite3_column_bytes(handle_.get(), column))};
}

std::optional<double> Statement::optional_real(int column) const {
  return is_null(column) ? std::nullopt : std::optional(real(column));
}

bool Statement::is_null(int column) const {
  return sqlite3_column_type(handle_.get(), column) == SQLITE_NULL;
}

}  // namespace halfturn
