#include "gate_rules_json.hpp"

namespace halfturn {

GateRules read_gate_rules(const JsonReader& json, GateRules rules) {
  json.expect_keys({"needed", "greatest_heading_error_deg", "share_of_step", "upright_tolerance_deg",
                    "smallest_step_by_eye_deg", "misses_to_split", "below_after_crash", "attempts_cap"});
  const auto number = [&](const char* key, double& value, double low, double high) {
    value = json.optional_number(key, low, high).value_or(value);
  };
  const auto count = [&](const char* key, int& value, int high) {
    if (const auto member = json.find(key)) value = member->integer(1, high);
  };
  count("needed", rules.needed, 20);
  number("greatest_heading_error_deg", rules.greatest_heading_error_deg, 1, 90);
  number("share_of_step", rules.share_of_step, 0.05, 1);
  number("upright_tolerance_deg", rules.upright_tolerance_deg, 0, 90);
  number("smallest_step_by_eye_deg", rules.smallest_step_by_eye_deg, 1, 180);
  count("misses_to_split", rules.misses_to_split, 20);
  count("below_after_crash", rules.below_after_crash, 20);
  count("attempts_cap", rules.attempts_cap, 200);
  return rules;
}

Json gate_rules_json(const GateRules& rules) {
  return {{"needed", rules.needed},
          {"greatest_heading_error_deg", rules.greatest_heading_error_deg},
          {"share_of_step", rules.share_of_step},
          {"upright_tolerance_deg", rules.upright_tolerance_deg},
          {"smallest_step_by_eye_deg", rules.smallest_step_by_eye_deg},
          {"misses_to_split", rules.misses_to_split},
          {"below_after_crash", rules.below_after_crash},
          {"attempts_cap", rules.attempts_cap}};
}

}  // namespace halfturn
