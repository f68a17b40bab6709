#include "format/json_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>

namespace halfturn {
namespace {

bool is_note(std::string_view key) {
  return key.starts_with("note");
}

/// "line 3, column 14" of a byte in a text.
std::string line_and_column(std::string_view text, std::size_t byte) {
  const std::string_view before = text.substr(0, std::min(byte > 0 ? byte - 1 : 0, text.size()));
  const auto lines = std::count(before.begin(), before.end(), '\n');
  const std::size_t last = before.rfind('\n');
  const std::size_t column = last == std::string_view::npos ? before.size() : before.size() - last - 1;
  return fmt::format("line {}, column {}", lines + 1, column + 1);
}

}  // namespace

Result<Json> parse_json(std::string_view text, const std::string& file) {
  try {
    return Json::parse(text);
  } catch (const Json::parse_error& error) {
    const std::string place = line_and_column(text, error.byte);
    if (text.find_first_not_of(" \t\r\n") == std::string_view::npos)
      return Problem{file, "", "is empty, JSON is needed"};
    const bool cut = error.byte >= text.size();
    return Problem{
        file, place,
        cut ? "the file ends too early: it is cut off or a bracket is missing" : "is not valid JSON here"};
  } catch (const Json::exception&) {
    return Problem{file, "", "is not valid JSON: a number is too large or the text is not UTF-8"};
  }
}

void JsonReader::complain(std::string text) const {
  if (!log_->problem) log_->problem = Problem{log_->file, place_, std::move(text)};
}

void JsonReader::expect_keys(std::initializer_list<std::string_view> known) const {
  if (value_ == nullptr || !value_->is_object()) return complain("an object { } is needed here");
  for (const auto& item : value_->items()) {
    const std::string& key = item.key();
    if (is_note(key) || std::find(known.begin(), known.end(), key) != known.end()) continue;
    return complain(fmt::format("unknown key \"{}\"; known are {}", key, fmt::join(known, ", ")));
  }
}

void JsonReader::expect_format(std::string_view format, int version) const {
  const std::string found = at("format").string();
  if (!failed() && found != format)
    at("format").complain(fmt::format("is \"{}\", must be \"{}\"", found, format));
  if (failed()) return;
  const JsonReader number = at("version");
  if (failed()) return;
  const double found_version = number.number();
  if (!failed() && found_version != version) {
    number.complain(found_version > version
                        ? fmt::format("is {}, made by a newer halfturn; this one reads version {}",
                                      found_version, version)
                        : fmt::format("is {}, must be {}", found_version, version));
  }
}

bool JsonReader::has(std::string_view key) const {
  return value_ != nullptr && value_->is_object() && value_->contains(key) &&
         !(*value_)[std::string(key)].is_null();
}

JsonReader JsonReader::at(std::string_view key) const {
  const std::string inner = place_.empty() ? std::string(key) : fmt::format("{}.{}", place_, key);
  if (value_ == nullptr || !value_->is_object()) {
    complain("an object { } is needed here");
    return {nullptr, inner, log_};
  }
  const auto found = value_->find(std::string(key));
  if (found == value_->end()) {
    JsonReader missing{nullptr, inner, log_};
    missing.complain("is missing");
    return missing;
  }
  return {&*found, inner, log_};
}

std::optional<JsonReader> JsonReader::find(std::string_view key) const {
  if (!has(key)) return std::nullopt;
  return at(key);
}

std::vector<JsonReader> JsonReader::elements() const {
  std::vector<JsonReader> result;
  if (value_ == nullptr || !value_->is_array()) {
    complain("a list [ ] is needed here");
    return result;
  }
  result.reserve(value_->size());
  for (std::size_t i = 0; i < value_->size(); ++i)
    result.emplace_back(&(*value_)[i], fmt::format("{}[{}]", place_, i), log_);
  return result;
}

std::vector<std::pair<std::string, JsonReader>> JsonReader::members() const {
  std::vector<std::pair<std::string, JsonReader>> result;
  if (value_ == nullptr || !value_->is_object()) {
    complain("an object { } is needed here");
    return result;
  }
  for (const auto& item : value_->items()) {
    if (is_note(item.key())) continue;
    const std::string inner = place_.empty() ? item.key() : fmt::format("{}.{}", place_, item.key());
    result.emplace_back(item.key(), JsonReader{&item.value(), inner, log_});
  }
  return result;
}

double JsonReader::number() const {
  if (value_ == nullptr || !value_->is_number()) {
    complain("a number is needed here");
    return 0;
  }
  const double number = value_->get<double>();
  if (!std::isfinite(number)) complain("a finite number is needed here");
  return number;
}

double JsonReader::number(double low, double high) const {
  const double value = number();
  if (!failed() && !(low <= value && value <= high)) {
    complain(fmt::format("is {}, must be between {} and {}", value, low, high));
  }
  return value;
}

int JsonReader::integer(int low, int high) const {
  const double value = number(low, high);
  if (!failed() && value != std::floor(value))
    complain(fmt::format("is {}, a whole number is needed", value));
  return failed() ? low : static_cast<int>(value);
}

bool JsonReader::boolean() const {
  if (value_ == nullptr || !value_->is_boolean()) {
    complain("true or false is needed here");
    return false;
  }
  return value_->get<bool>();
}

std::string JsonReader::string() const {
  if (value_ == nullptr || !value_->is_string()) {
    complain("a text in quotes is needed here");
    return {};
  }
  return value_->get<std::string>();
}

std::string JsonReader::one_of(const std::vector<std::string>& choices) const {
  std::string text = string();
  if (!failed() && std::find(choices.begin(), choices.end(), text) == choices.end()) {
    complain(fmt::format("is \"{}\", must be one of: {}", text, fmt::join(choices, ", ")));
  }
  return text;
}

std::vector<std::string> JsonReader::strings() const {
  std::vector<std::string> result;
  for (const JsonReader& element : elements()) result.push_back(element.string());
  return result;
}

std::optional<double> JsonReader::optional_number(std::string_view key) const {
  const std::optional<JsonReader> member = find(key);
  return member ? std::optional(member->number()) : std::nullopt;
}

std::optional<double> JsonReader::optional_number(std::string_view key, double low, double high) const {
  const std::optional<JsonReader> member = find(key);
  return member ? std::optional(member->number(low, high)) : std::nullopt;
}

std::optional<std::string> JsonReader::optional_string(std::string_view key) const {
  const std::optional<JsonReader> member = find(key);
  return member ? std::optional(member->string()) : std::nullopt;
}

std::vector<std::string> JsonReader::optional_strings(std::string_view key) const {
  const std::optional<JsonReader> member = find(key);
  return member ? member->strings() : std::vector<std::string>();
}

}  // namespace halfturn
