#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/result.hpp"
#include "format/json_reader.hpp"
#include "ladder/attempt_record.hpp"
#include "ladder/gate.hpp"
#include "skill/skill.hpp"

namespace halfturn {

/// An attempt as it lies in a file.
struct AttemptRow {
  std::string id;  ///< the same wherever this attempt goes; empty: not given
  std::string athlete, session;
  AttemptRecord record;
  friend bool operator==(const AttemptRow&, const AttemptRow&) = default;
};

/// An attempt for machines.
[[nodiscard]] Json attempt_json(const AttemptRow& row);
/// A gate for machines: the value of the key `gate` of a rung.
[[nodiscard]] Json gate_json(const Gate& gate);

/// Attempts as JSON (format "halfturn-attempts", version 1, assets/schema/halfturn-attempts.schema.json) and
/// as CSV with a header line. Reading gives the same attempts back.
[[nodiscard]] std::string write_attempts_json(std::span<const AttemptRow> rows);
[[nodiscard]] std::string write_attempts_csv(std::span<const AttemptRow> rows);

/// Athlete, time, skill, twist_deg and outcome must be there; parts of a rung that are left out have the
/// skill's own values. Problems name `attempts[3].time` or `line 5, column "time"`.
[[nodiscard]] Result<std::vector<AttemptRow>> read_attempts_json(std::string_view text,
                                                                 const std::string& file,
                                                                 const Vocabulary& vocabulary);
/// Commas or semicolons, columns in any order, unknown ones refused.
[[nodiscard]] Result<std::vector<AttemptRow>> read_attempts_csv(std::string_view text,
                                                                const std::string& file,
                                                                const Vocabulary& vocabulary);

}  // namespace halfturn
