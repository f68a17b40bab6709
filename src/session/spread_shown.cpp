#include "session/spread_shown.hpp"

#include <fmt/format.h>

namespace halfturn {
namespace {

std::string percent(double share) {
  return fmt::format("{:.0f} %", 100 * share);
}

}  // namespace

std::optional<LandingRose> rose_of(const Rung& rung, const SpreadAnswer& answer) {
  if (!answer.landings || !rung.landing.contact_heading_deg) return std::nullopt;
  const LandingCounts& counts = answer.landings->counts;
  LandingRose rose;
  rose.middle_deg = *rung.landing.contact_heading_deg;
  const auto all = static_cast<double>(std::max<std::int64_t>(1, counts.flights));
  for (const std::int64_t count : counts.headings) rose.shares.push_back(static_cast<double>(count) / all);
  return rose;
}

std::string share_words(const RungSpread& spread) {
  return fmt::format("{} ({:.0f} to {})", percent(spread.share), 100 * spread.interval.low,
                     percent(spread.interval.high));
}

std::string next_step_words(const SpreadAnswer& answer, const SpreadQuestion& question,
                            std::string_view rung) {
  if (answer.next) {
    return fmt::format(
        "largest next step with {} controlled: {:.0f} degrees, to the {} ({}{})", percent(question.threshold),
        answer.next->step_deg, answer.next->title, percent(answer.next->spread.share),
        answer.next->side_on ? "; it lands side on, hard on the knees: the coach decides" : "");
  }
  if (!answer.landings || answer.landings->interval.low < question.threshold) {
    return fmt::format("no next step yet: the {} itself is not controlled {} of the time", rung,
                       percent(question.threshold));
  }
  return fmt::format("no next step of 30 degrees or more would be controlled {} of the time",
                     percent(question.threshold));
}

}  // namespace halfturn
