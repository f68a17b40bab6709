#include "ladder/gate.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace halfturn {
namespace {

/// Heading error a step allows: a step that adds no turn is held to the greatest error alone.
double tolerance(const GateRules& rules, double step_deg) {
  if (step_deg == 0) return rules.greatest_heading_error_deg;
  return std::min(rules.greatest_heading_error_deg, rules.share_of_step * step_deg);
}

/// Whether the heading, if it was seen at all, is judged and lies within the rung's limits.
enum class HeadingVerdict { good, bad, unjudged };
HeadingVerdict judge_heading(const AttemptRecord& attempt, const GateDemand& demand) {
  if (!demand.has_heading) return HeadingVerdict::good;
  if (!attempt.heading_error_deg) return HeadingVerdict::unjudged;
  const double error = std::abs(*attempt.heading_error_deg);
  if (attempt.heading_measured)
    return error <= demand.tolerance_deg ? HeadingVerdict::good : HeadingVerdict::bad;
  if (demand.eye_tolerance_deg)
    return error <= *demand.eye_tolerance_deg ? HeadingVerdict::good : HeadingVerdict::bad;
  // Between stations an eye sees a plain miss, yet not a landing good enough.
  return error > 30 ? HeadingVerdict::bad : HeadingVerdict::unjudged;
}

/// A rung while its attempts are gone through in order.
struct Running {
  Gate gate;
  bool is_base = false;
  bool crash_open = false;
  int below_in_a_row = 0;  // controlled landings on the rung below since the crash
  std::optional<AttemptRecord> last;
  Verdict last_verdict = Verdict::neutral;
  std::vector<std::string> misses;  // in words, those in a row
};

std::string miss_words(const AttemptRecord& attempt, const GateDemand& demand) {
  if (judge_heading(attempt, demand) == HeadingVerdict::bad) return heading_error_words(attempt);
  const bool upright = !attempt.upright_deg || *attempt.upright_deg <= demand.greatest_angle_deg;
  const bool feet =
      attempt.outcome == AttemptOutcome::in_hand || attempt.outcome == AttemptOutcome::controlled;
  if (feet && !upright) return "not upright";
  switch (attempt.outcome) {
    case AttemptOutcome::on_feet:
      return "not controlled";
    case AttemptOutcome::hand_down:
      return "a hand down";
    case AttemptOutcome::stop:
      return "stopped early";
    default:
      return "missed";
  }
}

void take(Running& rung, const AttemptRecord& attempt, const GateDemand& demand, const GateRules& rules) {
  Gate& gate = rung.gate;
  const Verdict verdict = judge(attempt, demand);
  ++gate.attempts;
  rung.last = attempt;
  rung.last_verdict = verdict;
  if (attempt.heading_error_deg && judge_heading(attempt, demand) == HeadingVerdict::bad) {
    ++(*attempt.heading_error_deg < 0 ? gate.short_count : gate.long_count);
  }
  switch (verdict) {
    case Verdict::counts:
      ++gate.controlled;
      ++gate.controlled_in_a_row;
      gate.misses_in_a_row = 0;
      // After a crash the rung below comes first, unless the coach has decided otherwise since. The base has
      // none below.
      if (rung.crash_open && (rung.is_base || gate.decided) && gate.controlled_in_a_row >= rules.needed)
        rung.crash_open = false;
      if (!rung.crash_open && gate.controlled_in_a_row >= rules.needed) gate.passed = true;
      break;
    case Verdict::almost:
    case Verdict::unjudged:
      gate.controlled_in_a_row = 0;
      gate.misses_in_a_row = 0;
      break;
    case Verdict::neutral:
      break;
    case Verdict::miss:
      gate.controlled_in_a_row = 0;
      if (gate.misses_in_a_row == 0) rung.misses.clear();
      ++gate.misses_in_a_row;
      rung.misses.push_back(miss_words(attempt, demand));
      if (gate.misses_in_a_row >= rules.misses_to_split) gate.passed = false;
      break;
    case Verdict::crash:
      ++gate.crashes;
      gate.controlled_in_a_row = 0;
      gate.misses_in_a_row = 0;
      gate.passed = false;
      gate.decided.reset();
      rung.crash_open = true;
      rung.below_in_a_row = 0;
      break;
  }
}

/// What an attempt on the rung below does for a rung that waits after a crash.
void take_below(Running& rung, Verdict verdict, const GateRules& rules) {
  if (!rung.crash_open || verdict == Verdict::neutral) return;
  rung.below_in_a_row = verdict == Verdict::counts ? rung.below_in_a_row + 1 : 0;
  if (rung.below_in_a_row < rules.below_after_crash) return;
  rung.crash_open = false;
  if (rung.gate.controlled_in_a_row >= rules.needed) rung.gate.passed = true;
}

std::string row_words(const Running& rung, const GateDemand& demand) {
  const Gate& gate = rung.gate;
  std::string text = fmt::format("{} of {} in a row", gate.controlled_in_a_row, gate.needed);
  if (gate.controlled_in_a_row + 1 == gate.needed) return text + "; next one decides";
  if (gate.controlled_in_a_row > 0) return text;
  switch (rung.last_verdict) {
    case Verdict::almost:
      return text + "; the last had nothing in hand";
    case Verdict::unjudged:
      if (rung.last->heading_error_deg) {
        return text + (demand.next_station
                           ? fmt::format("; this step is too small to judge by eye: measure it, or gate at "
                                         "rung {}",
                                         *demand.next_station)
                           : std::string("; this step is too small to judge by eye: measure it"));
      }
      return text + "; nobody saw where the chest pointed at first contact";
    case Verdict::miss:
      return text + "; the last was " + rung.misses.back();
    default:
      return text;
  }
}

std::string miss_row_words(const Running& rung) {
  const auto all = [&](std::string_view ending) {
    return std::all_of(rung.misses.begin(), rung.misses.end(),
                       [&](const std::string& miss) { return miss.ends_with(ending); });
  };
  const char* kind = all(" short") ? ", all short" : all(" long") ? ", all long" : "";
  return fmt::format("{} {} in a row{}", rung.gate.misses_in_a_row,
                     rung.gate.misses_in_a_row == 1 ? "miss" : "misses", kind);
}

void conclude(Running& rung, std::size_t index, double step_deg, const GateDemand& demand,
              const GateRules& rules) {
  Gate& gate = rung.gate;
  if (rung.crash_open) {
    gate.suggestion = Suggestion::back;
    gate.reason = index == 0 ? "a crash on the base: no twisting on it today"
                             : fmt::format("a crash: back to rung {}; {} of {} in hand there", index - 1,
                                           rung.below_in_a_row, rules.below_after_crash);
  } else if (gate.misses_in_a_row >= rules.misses_to_split) {
    // A step of 1 degree or of no turn cannot be halved, and below the base there is none.
    const bool can_split = index > 0 && step_deg >= 2;
    gate.suggestion = can_split ? Suggestion::split : Suggestion::back;
    gate.reason = miss_row_words(rung) + (can_split    ? ": split the step"
                                          : index == 0 ? ": the base is not ready"
                                                       : ": go back a rung");
  } else if (gate.passed) {
    gate.suggestion = Suggestion::move_on;
    gate.reason = "passed: " + fmt::format("{} in a row", rules.needed);
  } else if (gate.attempts == 0) {
    gate.suggestion = Suggestion::start;
    gate.reason = "no attempts yet";
  } else {
    gate.suggestion = Suggestion::repeat;
    gate.reason = row_words(rung, demand);
  }
  if (gate.decided) {
    gate.reason += fmt::format("; the coach decided: {}", word(gate.decided->decision));
    if (!gate.decided->reason.empty()) gate.reason += ", " + gate.decided->reason;
  }
}

}  // namespace

std::vector<GateDemand> gate_demands(const Ladder& ladder) {
  const GateRules& rules = ladder.plan.gate;
  std::vector<GateDemand> demands;
  double since_station_deg = 0;
  for (const Rung& rung : ladder.rungs) {
    GateDemand demand;
    demand.tolerance_deg = tolerance(rules, rung.step_deg);
    demand.has_heading = rung.landing.contact_heading_deg.has_value();
    demand.greatest_angle_deg = rung.landing.contact_angle_deg + rules.upright_tolerance_deg;
    since_station_deg += rung.step_deg;
    if (rung.step_deg == 0) {
      demand.eye_tolerance_deg = rules.greatest_heading_error_deg;
    } else if (since_station_deg >= rules.smallest_step_by_eye_deg) {
      demand.eye_tolerance_deg = tolerance(rules, since_station_deg);
      since_station_deg = 0;
    } else {
      demand.eye_tolerance_deg.reset();
    }
    demands.push_back(demand);
  }
  std::optional<int> station;
  for (std::size_t k = demands.size(); k-- > 0;) {
    if (demands[k].eye_tolerance_deg) {
      station = static_cast<int>(k);
    } else {
      demands[k].next_station = station;
    }
  }
  return demands;
}

Verdict judge(const AttemptRecord& attempt, const GateDemand& demand) {
  const bool upright = !attempt.upright_deg || *attempt.upright_deg <= demand.greatest_angle_deg;
  switch (attempt.outcome) {
    case AttemptOutcome::fall:
      return Verdict::crash;
    case AttemptOutcome::on_feet:
    case AttemptOutcome::hand_down:
    case AttemptOutcome::stop:
      return Verdict::miss;
    case AttemptOutcome::planned_stop:
      // No miss when it lands as planned; what was seen to go wrong all the same is one.
      return upright && judge_heading(attempt, demand) != HeadingVerdict::bad ? Verdict::neutral
                                                                              : Verdict::miss;
    case AttemptOutcome::in_hand:
    case AttemptOutcome::controlled:
      break;
  }
  const HeadingVerdict heading = judge_heading(attempt, demand);
  if (!upright || heading == HeadingVerdict::bad) return Verdict::miss;
  if (attempt.outcome == AttemptOutcome::controlled) return Verdict::almost;
  return heading == HeadingVerdict::good ? Verdict::counts : Verdict::unjudged;
}

std::string_view word(Suggestion suggestion) {
  static constexpr std::array<std::string_view, 5> words{"start", "repeat", "move on", "split", "back"};
  return words[static_cast<std::size_t>(suggestion)];
}

std::vector<Gate> gates(const Ladder& ladder, std::span<const AttemptRecord> attempts,
                        std::span<const OverrideRecord> overrides) {
  const std::size_t count = ladder.rungs.size();
  const GateRules& rules = ladder.plan.gate;
  const std::vector<GateDemand> demands = gate_demands(ladder);
  std::vector<RungKey> keys;
  for (std::size_t k = 0; k < count; ++k) keys.push_back(rung_key(ladder, k));
  std::vector<Running> rungs(count);
  for (Running& rung : rungs) rung.gate.needed = rules.needed;
  rungs.front().is_base = true;

  auto decision = overrides.begin();
  const auto decide_until = [&](std::int64_t time_ms) {
    for (; decision != overrides.end() && decision->time_ms <= time_ms; ++decision) {
      for (std::size_t k = 0; k < count; ++k) {
        if (keys[k] == decision->rung) rungs[k].gate.decided = *decision;
      }
    }
  };
  for (const AttemptRecord& attempt : attempts) {
    // A decision of the same moment came after the attempt it was made on.
    decide_until(attempt.time_ms - 1);
    for (std::size_t k = 0; k < count; ++k) {
      if (!(keys[k] == attempt.rung)) continue;
      take(rungs[k], attempt, demands[k], rules);
      if (k + 1 < count) take_below(rungs[k + 1], rungs[k].last_verdict, rules);
    }
  }
  decide_until(INT64_MAX);

  std::vector<Gate> result;
  for (std::size_t k = 0; k < count; ++k) {
    conclude(rungs[k], k, ladder.rungs[k].step_deg, demands[k], rules);
    // A rung that was passed long ago is where a crash above it leads back to: both say so.
    if (k + 1 < count && rungs[k + 1].crash_open) {
      rungs[k].gate.since_crash_above = rungs[k + 1].below_in_a_row;
      rungs[k].gate.reason += fmt::format("; back here after the crash on rung {}: {} of {} since", k + 1,
                                          rungs[k + 1].below_in_a_row, rules.below_after_crash);
    }
    result.push_back(std::move(rungs[k].gate));
  }
  return result;
}

std::size_t suggested_rung(std::span<const Gate> gates) {
  HT_EXPECT(!gates.empty());
  const auto touched = [](const Gate& gate) { return gate.attempts > 0 || gate.decided.has_value(); };
  for (std::size_t k = 0; k < gates.size(); ++k) {
    const Gate& gate = gates[k];
    const bool moved_on = gate.decided && gate.decided->decision == Suggestion::move_on;
    if (gate.passed || moved_on) continue;
    // What was never tried, below what was, is owned: a ladder starts from a skill that the athlete has.
    const bool owned = !touched(gate) && !gate.since_crash_above &&
                       std::any_of(gates.begin() + static_cast<std::ptrdiff_t>(k) + 1, gates.end(), touched);
    if (owned) continue;
    const bool back =
        gate.suggestion == Suggestion::back || (gate.decided && gate.decided->decision == Suggestion::back);
    return back && k > 0 ? k - 1 : k;
  }
  return gates.size() - 1;
}

std::string suggestion_words(const Ladder& ladder, std::span<const Gate> gates) {
  const std::size_t next = suggested_rung(gates);
  return fmt::format("next: {}, {} ({})", next == 0 ? "the base" : fmt::format("rung {}", next),
                     ladder.rungs[next].title, gates[next].reason);
}

}  // namespace halfturn
