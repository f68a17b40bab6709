#include <algorithm>
#include <cmath>
#include <map>

#include "session/edit.hpp"

namespace halfturn {

PlanPage page_above(PlanPage page) {
  return page == PlanPage::step ? PlanPage::steps : PlanPage::all;
}

double usual_step_deg(const Plan& plan) {
  std::map<double, int> counts;
  for (const Step& step : plan.steps) {
    if (step.twist_deg > 0) ++counts[step.twist_deg];
  }
  double usual = 90;
  int most = 0;
  for (const auto& [degrees, count] : counts) {
    if (count >= most) {
      most = count;
      usual = degrees;
    }
  }
  return usual;
}

double target_deg(const Plan& plan, const Skill& base) {
  double degrees = first_deg(plan, base);
  for (const Step& step : plan.steps) degrees += step.twist_deg;
  return degrees;
}

Plan with_base(Plan plan, const Skill& base, const Skill& before) {
  const double step = usual_step_deg(plan);
  const double climbed = target_deg(plan, before) - first_deg(plan, before);
  plan.base = base.name;
  // What belonged to the old base goes back to what the new one has of its own.
  plan.from_deg.reset();
  plan.hold.reset();
  plan.mark_deg.reset();
  plan.takeoff.reset();
  plan.setup.reset();
  plan.surface.reset();
  plan.shape.reset();
  plan.floor_turn_deg.reset();
  plan.foot_turn_deg.reset();
  plan.incline_deg.reset();
  plan.lean_deg.reset();
  plan.kick_leg.reset();
  plan.base_cue.clear();
  if (base.kicks.empty() != before.kicks.empty()) {
    const double first = first_deg(plan, base);
    plan.steps = equal_steps(first, std::min(greatest_twist_deg, first + std::max(climbed, step)), step);
  }
  for (Step& entry : plan.steps) {
    entry.takeoff.reset();
    entry.setup.reset();
    entry.shape.reset();
    entry.surface.reset();
  }
  std::erase_if(plan.steps, [](const Step& entry) { return entry.twist_deg == 0; });
  return plan;
}

Plan with_target(Plan plan, const Skill& base, double twist_deg) {
  double reached = first_deg(plan, base);
  const double step = usual_step_deg(plan);
  std::vector<Step> steps;
  for (const Step& entry : plan.steps) {
    if (reached + entry.twist_deg > twist_deg) break;
    reached += entry.twist_deg;
    steps.push_back(entry);
  }
  for (const Step& entry : equal_steps(reached, twist_deg, step)) steps.push_back(entry);
  plan.steps = std::move(steps);
  return plan;
}

Plan with_step(Plan plan, const Skill& base, double step_deg) {
  const double first = first_deg(plan, base);
  plan.steps = equal_steps(first, target_deg(plan, base), step_deg);
  return plan;
}

Plan with_split(Plan plan, std::size_t rung, double by_deg) {
  if (rung == 0 || rung > plan.steps.size()) return plan;
  const auto at = plan.steps.begin() + static_cast<std::ptrdiff_t>(rung - 1);
  if (at->twist_deg < 2) return plan;
  if (by_deg > 0) {
    // What else the step changes stays with its last part.
    const auto parts = static_cast<std::size_t>(std::ceil(at->twist_deg / by_deg));
    Step part;
    part.twist_deg = by_deg;
    at->twist_deg -= by_deg * static_cast<double>(parts - 1);
    plan.steps.insert(at, parts - 1, part);
    return plan;
  }
  // The larger half first: the smaller step stands before the harder landing.
  Step first;
  first.twist_deg = std::ceil(at->twist_deg / 2);
  at->twist_deg -= first.twist_deg;
  plan.steps.insert(at, first);
  return plan;
}

}  // namespace halfturn
