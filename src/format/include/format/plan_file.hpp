#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "format/json_reader.hpp"
#include "ladder/plan.hpp"

namespace halfturn {

/// A plan as it lies on disk.
struct PlanFile {
  Plan plan;
  Json view;   ///< how the viewer was left: an object that only the session reads; may be null
  Json notes;  ///< members that begin with "note", for people: an object by the pointer (RFC 6901) of each;
               ///< may be null
};

/// Reads a plan (format "halfturn-plan"). Problems name the key path, for instance `rungs[2].step_deg`.
[[nodiscard]] Result<PlanFile> read_plan(std::string_view text, const std::string& file);
/// The same from a file on disk.
[[nodiscard]] Result<PlanFile> load_plan(const std::string& path);

/// The text of a plan: read_plan gives the same plan back, and writing that gives the same bytes.
[[nodiscard]] std::string write_plan(const PlanFile& file);

/// The plan that a first start opens.
[[nodiscard]] const PlanFile& demo_plan();

}  // namespace halfturn
