#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "format/gate_rules.hpp"
#include "gate_rules_json.hpp"

namespace halfturn {

Result<GateRules> change_gate_rules(const GateRules& rules, std::string_view changes,
                                    const std::string& place) {
  Json json = Json::object();
  while (!changes.empty()) {
    const std::string_view item = changes.substr(0, changes.find(','));
    changes.remove_prefix(std::min(changes.size(), item.size() + 1));
    const std::size_t equals = item.find('=');
    const std::string_view number = equals == item.npos ? "" : item.substr(equals + 1);
    double value = 0;
    const auto [end, error] = std::from_chars(number.data(), number.data() + number.size(), value);
    if (error != std::errc() || end != number.data() + number.size() || number.empty()) {
      return Problem{"", place, fmt::format("\"{}\" is not NAME=NUMBER, such as needed=2", item)};
    }
    const std::string key(item.substr(0, equals));
    if (value == std::floor(value) && std::abs(value) < 1e9) {
      json[key] = static_cast<int>(value);
    } else {
      json[key] = value;
    }
  }
  JsonReader::Log log;
  const GateRules changed = read_gate_rules(JsonReader(&json, place, &log), rules);
  if (log.problem) return *log.problem;
  return changed;
}

}  // namespace halfturn
