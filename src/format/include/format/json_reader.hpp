#pragma once

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/result.hpp"

namespace halfturn {

using Json = nlohmann::ordered_json;

/// Parses JSON; a Problem names line and column.
[[nodiscard]] Result<Json> parse_json(std::string_view text, const std::string& file);

/// A value inside a JSON document together with its place, for reading with precise complaints.
/// The first problem met is kept in the shared log; reads after it give defaults, so a reader checks once at
/// the end.
class JsonReader {
 public:
  struct Log {
    std::string file;
    std::optional<Problem> problem;
  };

  JsonReader(const Json* value, std::string place, Log* log)
      : value_(value), place_(std::move(place)), log_(log) {}

  [[nodiscard]] const std::string& place() const { return place_; }
  [[nodiscard]] bool failed() const { return log_->problem.has_value(); }
  [[nodiscard]] bool is_null() const { return value_ == nullptr || value_->is_null(); }
  [[nodiscard]] bool is_string() const { return value_ != nullptr && value_->is_string(); }
  [[nodiscard]] bool is_object() const { return value_ != nullptr && value_->is_object(); }
  [[nodiscard]] bool is_array() const { return value_ != nullptr && value_->is_array(); }
  /// Keeps a problem at this place unless there is one already.
  void complain(std::string text) const;

  /// Complains unless this is an object with only these keys; keys that start with `note` are ignored.
  void expect_keys(std::initializer_list<std::string_view> known) const;
  /// Complains unless `format` and `version` are these.
  void expect_format(std::string_view format, int version) const;

  [[nodiscard]] bool has(std::string_view key) const;
  /// A required member; complains when it is missing.
  [[nodiscard]] JsonReader at(std::string_view key) const;
  /// A member that may be missing or null.
  [[nodiscard]] std::optional<JsonReader> find(std::string_view key) const;
  /// Elements of an array; complains when it is none.
  [[nodiscard]] std::vector<JsonReader> elements() const;
  /// Members of an object in file order, without those that start with `note`; complains when it is none.
  [[nodiscard]] std::vector<std::pair<std::string, JsonReader>> members() const;

  [[nodiscard]] double number() const;                         ///< finite
  [[nodiscard]] double number(double low, double high) const;  ///< in [low, high]
  [[nodiscard]] int integer(int low, int high) const;
  [[nodiscard]] bool boolean() const;
  [[nodiscard]] std::string string() const;
  [[nodiscard]] std::string one_of(const std::vector<std::string>& choices) const;
  [[nodiscard]] std::vector<std::string> strings() const;

  /// Members that may be missing or null.
  [[nodiscard]] std::optional<double> optional_number(std::string_view key) const;
  [[nodiscard]] std::optional<double> optional_number(std::string_view key, double low, double high) const;
  [[nodiscard]] std::optional<std::string> optional_string(std::string_view key) const;
  [[nodiscard]] std::vector<std::string> optional_strings(std::string_view key) const;  ///< missing: none

 private:
  const Json* value_;
  std::string place_;
  Log* log_;
};

}  // namespace halfturn
