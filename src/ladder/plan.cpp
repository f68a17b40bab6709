#include "ladder/plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace halfturn {

std::optional<std::string> step_complaint(const Step& step) {
  const bool changes = step.takeoff || step.setup || step.shape || step.surface;
  const bool whole = std::isfinite(step.twist_deg) && step.twist_deg == std::floor(step.twist_deg);
  if (whole && step.twist_deg >= 0 && step.twist_deg <= 360 && (step.twist_deg > 0 || changes))
    return std::nullopt;
  return fmt::format("is {}, must be a whole number of degrees from 1 to 360", step.twist_deg);
}

std::vector<Step> equal_steps(double first_deg, double to_deg, double step_deg) {
  std::vector<Step> steps;
  for (double reached = first_deg; step_deg > 0 && reached < to_deg;) {
    Step step;
    step.twist_deg = std::min(step_deg, to_deg - reached);
    reached += step.twist_deg;
    steps.push_back(step);
  }
  return steps;
}

Result<std::vector<Step>> steps_to(double first_deg, double to_deg, const std::vector<Step>& given) {
  const auto problem = [](const char* place, std::string text) {
    return Problem{"", place, std::move(text)};
  };
  if (!std::isfinite(to_deg) || to_deg != std::floor(to_deg)) {
    return problem("to", fmt::format("is {}, a whole number of degrees is needed", to_deg));
  }
  if (to_deg < first_deg) {
    return problem("to", fmt::format("is {}, below the first rung, which has {} degrees", to_deg, first_deg));
  }
  if (to_deg > greatest_twist_deg) {
    return problem("to", fmt::format("is {}, ladders go up to {} degrees", to_deg, greatest_twist_deg));
  }
  double sum = 0;
  for (const Step& step : given) {
    if (auto complaint = step_complaint(step)) return problem("step", std::move(*complaint));
    sum += step.twist_deg;
  }
  if (given.empty()) {
    if (to_deg == first_deg) return given;
    return problem("step", "is missing: say how many degrees each step adds");
  }
  const Step& only = given.front();
  const bool plain = given.size() == 1 && !only.takeoff && !only.setup && !only.shape && !only.surface;
  if (plain) return equal_steps(first_deg, to_deg, only.twist_deg);
  if (sum != to_deg - first_deg) {
    return problem("step", fmt::format("the steps add up to {} degrees, from {} to {} there are {}", sum,
                                       first_deg, to_deg, to_deg - first_deg));
  }
  return given;
}

}  // namespace halfturn
