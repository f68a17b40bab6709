#include "session/words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

std::string side_word(double turn_deg) {
  return turn_deg < 0 ? "right" : "left";
}

/// How near counts as there in words about a turn of so many degrees.
double near_deg(double whole_deg) {
  return std::min(4.0, 0.1 * whole_deg);
}

/// Amount of a turn under way: in quarters when it is near some, else in fives of degrees; single degrees of
/// a small turn.
std::string rough_words(double amount_deg, double whole_deg) {
  const double quarters = 90.0 * std::round(amount_deg / 90.0);
  if (quarters != 0 && std::abs(amount_deg - quarters) <= near_deg(whole_deg)) return turn_words(quarters);
  const double step = whole_deg >= 45 ? 5 : 1;
  return fmt::format("{:.0f}\u00b0", std::max(1.0, step * std::round(amount_deg / step)));
}

}  // namespace

std::string clock_words(double turn_deg) {
  constexpr int half_hours = 24;
  const int back = static_cast<int>(std::round(turn_deg / 15.0)) % half_hours;
  const int at = (half_hours - back) % half_hours;
  const int hour = at / 2 == 0 ? 12 : at / 2;
  return at % 2 == 0 ? fmt::format("{} o'clock", hour) : fmt::format("{}:30", hour);
}

std::string signed_turn_words(double turn_deg, TurnUnit unit) {
  if (turn_deg == 0) return "no turn";
  const double amount = std::abs(turn_deg);
  if (unit == TurnUnit::degrees) return fmt::format("{:.6g}\u00b0 {}", amount, side_word(turn_deg));
  // A clock has half hours and no more.
  if (unit == TurnUnit::clock && std::fmod(amount, 15.0) == 0) {
    const int rounds = static_cast<int>(amount / 360.0);
    const std::string round = rounds == 0   ? ""
                              : rounds == 1 ? "once round "
                                            : fmt::format("{} times round ", rounds);
    return fmt::format("{}{} to {}", round, side_word(turn_deg), clock_words(turn_deg));
  }
  return fmt::format("{} {}", turn_words(turn_deg), side_word(turn_deg));
}

AnswerWords answer_words(const Ladder& ladder, std::size_t rung, TurnUnit unit) {
  const Rung& now = ladder.rungs[rung];
  AnswerWords words;
  words.lead = "lands facing";
  words.wall = facing_words(now.landing.heading_deg, ladder.plan.walls);
  words.turn = signed_turn_words(now.turn_deg, unit);
  const std::string feet = landing_feet_words(now.landing.feet);
  if (now.landing.kind == "sees floor") {
    words.landing = "sees the floor, " + feet;
  } else if (now.landing.kind == "upright") {
    words.landing = "lands " + feet;
  } else {
    words.landing = fmt::format("lands {}, {}", now.landing.kind, feet);
  }
  return words;
}

std::string progress_words(double turned_deg, double turn_deg, Side side, TurnUnit unit) {
  const double turned = turned_deg * sign_of(side);
  const double whole = turn_deg * sign_of(side);
  if (whole == 0) return "no turn to make";
  if (unit == TurnUnit::degrees)
    return fmt::format("{:.0f}\u00b0 of {:.6g}\u00b0 {}", std::abs(turned), whole, word(side));
  if (unit == TurnUnit::clock)
    return fmt::format("now at {}, lands at {}", clock_words(turned_deg), clock_words(turn_deg));
  const double to_go = std::max(0.0, whole - turned);
  const std::string way{word(side)};
  const std::string all = rough_words(whole, whole);
  if (turned <= near_deg(whole)) return fmt::format("not turned yet, {} {} to go", all, way);
  if (to_go <= near_deg(whole)) return fmt::format("{} {}, all of it", all, way);
  return fmt::format("{} {} so far, {} to go", rough_words(turned, whole), way, rough_words(to_go, whole));
}

std::string short_of_air_words(const Rung& rung, const std::optional<AirShown>& simulated) {
  // The simulated flight knows the body that flies; the table knows nobody's.
  const std::optional<double> margin = simulated ? simulated->margin_s : rung.air_time_margin_s;
  if (!margin || *margin >= 0) return "";
  const double needed = simulated ? simulated->needed_s : rung.air_time_needed_s;
  return fmt::format("{:.2f} s of air short", -told_margin_s(needed, *margin));
}

double turned_so_far_deg(const Rung& rung, const FlightSample& now, double duration) {
  const double turned = rung.floor_turn_deg + to_deg(now.angles.twist);
  return now.time >= duration ? rung.floor_turn_deg + rung.air_turn_deg : turned;
}

double chest_heading_deg(const Rung& rung, const FlightSample& now, double duration) {
  return rung.start.heading_deg + turned_so_far_deg(rung, now, duration);
}

WalkWords walk_words(const Ladder& ladder, std::size_t rung) {
  const Rung& now = ladder.rungs[rung];
  const Walls& walls = ladder.plan.walls;
  const auto face = [&](double heading_deg) { return "the " + facing_words(heading_deg, walls); };
  WalkWords words;
  if (rung == 0) {
    words.caption = fmt::format("floor walk, {}", now.title);
    words.title[0] = "Stand at the start:";
    words.text[0] = fmt::format("facing {}.", face(now.start.heading_deg));
    words.title[1] =
        now.turn_deg == 0 ? "Do not turn." : fmt::format("Turn {},", signed_turn_words(now.turn_deg));
    words.text[1] = now.turn_deg == 0 ? "The base has no twist." : "the way you twist.";
    words.title[2] = fmt::format("You face {}.", face(now.landing.heading_deg));
    words.text[2] = "That is your first landing.";
  } else {
    const Rung& before = ladder.rungs[rung - 1];
    words.caption = fmt::format("floor walk, {} to {}", before.title, now.title);
    const double turn = now.walk_turn_deg;
    words.title[0] = ladder.holds_start ? "Stand as you landed:" : "Stand where you started:";
    words.text[0] = fmt::format("facing {}.", face(now.walk_stand_deg));
    if (turn == 0) {
      words.title[1] = "Do not turn.";
      words.text[1] = "This step adds no turn.";
    } else {
      const std::string amount = turn_words(turn);
      const bool article = amount == "quarter" || amount == "half" || amount.rfind("full", 0) == 0;
      words.title[1] = fmt::format("Turn {}{} {},", article ? "a " : "", amount, side_word(turn));
      words.text[1] = ladder.holds_start ? "the way you twist." : "against your spin.";
    }
    words.title[2] = fmt::format("You face {}.", face(now.walk_face_deg));
    words.text[2] = ladder.holds_start ? "That is your next landing."
                                       : fmt::format("That is your next start, {}.", now.start.stance);
  }
  if (now.turn_deg == 0) {
    words.sum = "From the start it is no turn.";
  } else {
    const std::string amount = turn_words(now.turn_deg);
    const bool half = amount == "half" || amount == "quarter";
    words.sum = fmt::format("From the start it is now {}{} {}.", half ? "a " : "",
                            half ? amount + " turn" : amount, side_word(now.turn_deg));
    if (!half && amount == "full turn")
      words.sum = "From the start it is now a full turn " + side_word(now.turn_deg) + ".";
  }
  const std::string all = turn_words(now.turn_deg);
  words.note = now.turn_deg == 0
                   ? "In the air the chest keeps its way."
                   : fmt::format("In the air you do {} at once.", all == "half"      ? "the whole half"
                                                                  : all == "quarter" ? "the quarter"
                                                                                     : "all of it");
  return words;
}

std::string event_words(const FlightEvent& event, const Rung& rung) {
  if (event.kind != EventKind::landing || rung.landing.kind == "upright")
    return std::string(event_word(event.kind));
  return fmt::format("{}, {}", event_word(event.kind), rung.landing.kind);
}

std::string rate_words(double rate) {
  return rate >= 1 ? "1" : fmt::format("1/{:.0f}", 1.0 / rate);
}

double walked_deg(const Session& session) {
  const double turn = session.rung_now().walk_turn_deg;
  if (session.walk_card != 1 || session.settings.reduced_motion) return session.walk_card == 0 ? 0 : turn;
  return turn * minimum_jerk(std::min(1.0, session.motion.walk / walk_change));
}

}  // namespace halfturn
