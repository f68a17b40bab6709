#include "solve_answer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"

namespace halfturn::solve {
namespace {

constexpr double thin = 0.95;  // share of a limit from which on it is told (this project's choice)

double landing_angle(const Found& found) {
  return angle_from_vertical(found.end.q_WB);
}
double planned_angle(const Setting& setting) {
  return angle_from_vertical(setting.target());
}
bool upright(const Setting& setting) {
  return !setting.request().plan.flips;
}

}  // namespace

double momentum_limit(const SolveRequest& request) {
  return request.momentum_available.value_or(
      believable_momentum(*request.body, request.effort, request.shape));
}

bool meets_target(const Setting& setting, const Found& found) {
  const bool flip_met = upright(setting) || std::abs(found.flip_error) <= limits.turn_error;
  return flip_met && std::abs(found.twist_error) <= limits.turn_error;
}

bool controlled(const Setting& setting, const Found& found) {
  return meets_target(setting, found) && found.controls.momentum <= momentum_limit(setting.request()) &&
         landing_angle(found) <= planned_angle(setting) + limits.landing_angle &&
         (setting.spins_on() || std::abs(found.end.twist_rate) <= setting.twist_rate_limit()) &&
         (setting.off_axis() || std::abs(found.controls.incline) <= limits.contact_twist);
}

std::vector<std::string> tight_limits(const Setting& setting, const Found& found) {
  constexpr double tight = 0.93;  // the search keeps a little off a limit
  std::vector<std::string> words;
  if (found.controls.momentum > tight * momentum_limit(setting.request()))
    words.emplace_back("the angular momentum of the takeoff");
  if (!setting.spins_on() && std::abs(found.end.twist_rate) > tight * setting.twist_rate_limit())
    words.emplace_back("the twist left at landing");
  if (landing_angle(found) - planned_angle(setting) > tight * limits.landing_angle)
    words.emplace_back("how upright the body lands");
  if (!setting.off_axis() && std::abs(found.controls.incline) > tight * limits.contact_twist)
    words.emplace_back("the contact twist");
  return words;
}

Feasibility judge(const Setting& setting, const Found& found) {
  Feasibility answer;
  answer.feasible = controlled(setting, found);
  const double limit = momentum_limit(setting.request());
  const double rate_deg = std::abs(to_deg(found.end.twist_rate));
  const double lean_deg = to_deg(landing_angle(found) - planned_angle(setting));
  const double contact_deg = std::abs(to_deg(found.controls.incline));
  const auto turn = [&](const char* what, double error) {
    if (std::abs(error) <= limits.turn_error) return;
    answer.shortfalls.push_back(fmt::format("the {} ends {:.0f} degrees {}", what, std::abs(to_deg(error)),
                                            error < 0 ? "short" : "over"));
  };
  if (!upright(setting)) turn("flip", found.flip_error);
  turn("twist", found.twist_error);
  if (found.controls.momentum > limit) {
    // Rounded so that the sentence adds up and never calls too little enough.
    const double needed = std::ceil(found.controls.momentum), given = std::floor(limit);
    answer.shortfalls.push_back(
        fmt::format("angular momentum: {:.0f} kg m2/s needed, this takeoff gives about {:.0f}: {:.0f} short",
                    needed, given, needed - given));
  }
  if (lean_deg > to_deg(limits.landing_angle)) {
    answer.shortfalls.push_back(
        fmt::format("the body lands {:.0f} degrees further off upright than planned", lean_deg));
  }
  const double held_deg = to_deg(limits.held_twist_rate), most_deg = to_deg(setting.twist_rate_limit());
  if (!setting.spins_on() && rate_deg > most_deg) {
    answer.shortfalls.push_back(fmt::format(
        "the twist still turns at {:.0f} degrees a second at first contact, {:.0f} too fast to {}", rate_deg,
        rate_deg - most_deg, most_deg > 1.25 * held_deg ? "turn out on the feet" : "hold"));
  }
  if (!setting.off_axis() && contact_deg > to_deg(limits.contact_twist)) {
    answer.shortfalls.push_back(
        fmt::format("contact twist, what the feet give to the turn before they leave: {:.1f} degrees needed, "
                    "{:.0f} can be had",
                    std::ceil(10 * contact_deg) / 10, to_deg(limits.contact_twist)));
  }
  if (!answer.feasible) return answer;
  if (found.controls.momentum > thin * limit) {
    answer.cautions.push_back(
        fmt::format("needs {:.0f} percent of the angular momentum such a takeoff can give",
                    100 * found.controls.momentum / limit));
  }
  if (rate_deg > held_deg) {
    answer.cautions.push_back(
        fmt::format("the {} still turns at {:.0f} degrees a second at first contact: it is not stopped in "
                    "the air and has "
                    "to be turned out on the {}",
                    setting.spins_on() ? "turn" : "twist", rate_deg, setting.spins_on() ? "foot" : "feet"));
  } else if (!setting.spins_on() && rate_deg > thin * held_deg) {
    answer.cautions.push_back(
        fmt::format("the twist still turns at {:.0f} degrees a second at first contact", rate_deg));
  }
  if (lean_deg > thin * to_deg(limits.landing_angle)) {
    answer.cautions.push_back(fmt::format("lands {:.0f} degrees further off upright than planned", lean_deg));
  }
  return answer;
}

std::vector<ArmMove> arm_moves(const Setting& setting, const Controls& c) {
  if (upright(setting) || !setting.twists()) return {};
  const bool left = setting.first_arm_left();
  std::vector<ArmMove> moves{{c.drop, left, true},
                             {c.drop + c.second_drop, !left, true},
                             {c.open - 0.5 * c.stagger, left, false},
                             {c.open + 0.5 * c.stagger, !left, false}};
  for (ArmMove& move : moves) move.time = std::clamp(move.time, 0.0, setting.request().air_time);
  std::stable_sort(moves.begin(), moves.end(),
                   [](const ArmMove& a, const ArmMove& b) { return a.time < b.time; });
  return moves;
}

std::string finish_words(const Setting& setting, const Controls& c, bool mirrored) {
  const double share = 100 * std::clamp(c.open / setting.request().air_time, 0.0, 1.0);
  if (!setting.twists() || upright(setting))
    return fmt::format("open at {:.0f} percent of the flight", share);
  constexpr double together = 0.04;  // s
  if (std::abs(c.stagger) < together) {
    return fmt::format("raise both arms together at {:.0f} percent of the flight", share);
  }
  const bool dropped_first = c.stagger > 0;
  const bool left = (dropped_first == setting.first_arm_left()) != mirrored;
  return fmt::format("raise the {} arm first (it came down {}), at {:.2f} s, the other {:.2f} s later",
                     left ? "left" : "right", dropped_first ? "first" : "last",
                     std::max(0.0, c.open - 0.5 * std::abs(c.stagger)), std::abs(c.stagger));
}

}  // namespace halfturn::solve
