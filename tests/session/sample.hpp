#pragma once

#include <doctest/doctest.h>

#include "format/vocabulary_file.hpp"
#include "session/edit.hpp"

namespace halfturn {

inline Library library() {
  return {built_in_vocabulary(), built_in_difficulty()};
}

/// Back flip to a full in four quarters, left: plain arithmetic gives every number the tests expect.
inline Session sample_session() {
  PlanFile file;
  file.plan.base = "back flip";
  file.plan.steps = equal_steps(0, 360, 90);
  file.view = Json::object();
  Result<Session> session = open_session(file, "", library(), {});
  REQUIRE(session);
  return std::move(session).value();
}

inline Session after(Session session, const std::vector<Edit>& edits) {
  for (const Edit& edit : edits) session = apply(std::move(session), edit, library()).session;
  return session;
}

inline std::vector<double> steps_of(const Session& session) {
  std::vector<double> steps;
  for (const Step& step : session.plan.steps) steps.push_back(step.twist_deg);
  return steps;
}

}  // namespace halfturn
