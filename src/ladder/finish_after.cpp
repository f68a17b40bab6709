#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "finish_facts.hpp"
#include "rotation/heading.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr double judged_by_eye_deg = 30;  // smaller steps are not (this project's choice)
// Earlier than this after takeoff nobody has felt how high the jump is (this project's choice).
constexpr double height_felt_s = 0.1;

class AfterWriter {
 public:
  explicit AfterWriter(const FinishFacts& facts) : f_(facts), sign_(sign_of(facts.rung().side)) {}

  std::vector<FinishLine> write() {
    feet_turn();
    missed(FinishPart::short_turn);
    missed(FinishPart::long_turn);
    way_out();
    mats();
    return std::move(lines_);
  }

 private:
  void say(FinishPart part, std::optional<double> time_s, std::string text) {
    lines_.push_back({part, time_s, std::move(text)});
  }

  void feet_turn() {
    if (f_.rung().foot_turn_deg != 0) {
      say(FinishPart::on_the_feet, std::nullopt,
          fmt::format("Turn the last {} {} on {}; you end facing {}.", turn_words(f_.rung().foot_turn_deg),
                      f_.side(), finish_feet(f_.rung().landing.feet),
                      f_.wall(f_.rung().landing.heading_deg)));
      return;
    }
    const double left = std::abs(f_.rung().air_turn_deg) - f_.twisted_deg(f_.end());
    const double rate = f_.turn_rate_deg_s(f_.end());
    const std::string& feet = f_.rung().landing.feet;
    const bool one_foot = on_one_foot(feet);
    if (std::abs(left) > told_left_deg) {
      say(FinishPart::on_the_feet, std::nullopt,
          left > 0 ? fmt::format("{} of the turn to go: let your feet finish it to the {}.",
                                 capital(rough_turn(left)), f_.side())
                   : fmt::format("You have turned {} too far: stand it there, do not turn back.",
                                 rough_turn(left)));
    } else if (rate > fast_turn_deg_s || (rate > quick_turn_deg_s && one_foot)) {
      // A foot that sticks while the body turns on twists the knee.
      say(FinishPart::on_the_feet, std::nullopt,
          fmt::format("You still turn, {}: land on the ball of the foot, let the foot turn with you and put "
                      "{} down {}. A foot that sticks twists the knee.",
                      pace_words(rate), one_foot ? "the other one" : "one foot round", f_.side()));
    } else if (rate > quick_turn_deg_s) {
      say(FinishPart::on_the_feet, std::nullopt,
          fmt::format("You still turn, {}: soft knees, and let it run out in one small step {}.",
                      pace_words(rate), f_.side()));
    } else if (feet == "both" || feet == "bed") {
      say(FinishPart::on_the_feet, std::nullopt,
          "Nothing more to turn: soft knees, feet apart, stand it for one breath.");
    } else {
      say(FinishPart::on_the_feet, std::nullopt,
          "Nothing more to turn: bend the knee you land on and put the other foot down when you are "
          "still.");
    }
  }

  /// Where a turn that is short or long by about a step comes down.
  void missed(FinishPart part) {
    const bool is_short = part == FinishPart::short_turn;
    const double step =
        f_.rung().step_deg > 0 ? std::clamp(f_.rung().step_deg, judged_by_eye_deg, 90.0) : 90.0;
    if (!f_.twists()) return;
    const double off = (is_short ? -1 : 1) * sign_ * step;
    const double heading = f_.rung().landing.heading_deg + off;
    std::string text = fmt::format("{} {}, you face {}", capital(exact_turn(step)),
                                   is_short ? "short" : "long", f_.wall(heading));
    if (f_.flips()) {
      const std::string kind = landing_kind(f_.rung().flip_toward_deg, f_.rung().twist_deg + off);
      if (kind != f_.rung().landing.kind) {
        text += kind == "side on"      ? ", side on to the flip"
                : kind == "sees floor" ? ", seeing the floor"
                                       : ", blind";
      }
      text += fmt::format(": step {} and let it go, do not wrench it round.",
                          way_word(f_.carry_deg(f_.rung().twist_deg + off)));
    } else {
      text += is_short ? fmt::format(": put both feet down and step round {}.", f_.side())
                       : ": put both feet down and stop there.";
    }
    say(part, std::nullopt, std::move(text));
  }

  /// What is done instead when the jump is too low: known before the first thing that makes the turn.
  void stay_out(const Rung& before) {
    const double decide = f_.turn_starts() - reaction_s;
    const bool in_time = decide >= height_felt_s;
    const std::string_view when = in_time ? "Not high enough by now" : "Low or slow off the floor";
    const std::string lands = f_.wall(before.landing.heading_deg);
    say(FinishPart::way_out, in_time ? std::optional(decide) : std::nullopt,
        before.twist_deg == 0
            ? fmt::format("{}? Do not turn: stay in the {} and land facing {}.", when, before.title, lands)
            : fmt::format("{}? Stop at the {} and land facing {}.", when, before.title, lands));
  }

  void way_out() {
    const Rung* before = f_.before();
    if (before != nullptr && f_.twists() && f_.flips()) stay_out(*before);
    if (f_.flips() && f_.spins()) {
      say(FinishPart::way_out, std::nullopt,
          "Trunk not coming up? Let the other leg come down wide and put your hands on the mat: walk it "
          "out.");
    } else if (f_.flips() && !f_.on_bed()) {
      const double on = f_.carry_deg(f_.rung().twist_deg);
      const std::string over = way_word(on), under = way_word(on + 180);
      const char* roll = over == "back"
                             ? "chin to the chest, hands off the floor, roll back over one shoulder"
                         : over == "forward" ? "arms bent in front, chin in, roll forward"
                                             : "arm in, roll over that shoulder";
      say(FinishPart::way_out, std::nullopt, fmt::format("Flipped too far, you fall {}: {}.", over, roll));
      say(FinishPart::way_out, std::nullopt,
          fmt::format(
              "Not flipped enough, you fall {}: take a step {}, bend the knees, stay off straight arms.",
              under, under));
    } else if (f_.on_bed()) {
      say(FinishPart::way_out, std::nullopt,
          "Off balance? Bend your knees and take the bounce out; start again from still.");
    } else {
      say(FinishPart::way_out, std::nullopt,
          "Losing it? Let the kick go, both feet down, knees bent, and walk it out.");
    }
    if (before != nullptr) {
      say(FinishPart::way_out, std::nullopt,
          fmt::format("Two misses in a row: split the step. A fall: back to {}, the {}.",
                      before->index == 0 ? "the base" : fmt::format("rung {}", before->index),
                      before->title));
    } else {
      say(FinishPart::way_out, std::nullopt,
          fmt::format("Not sure of the {} every time? Then nothing is added to it yet.", f_.rung().title));
    }
  }

  void mats() {
    const Vec3 from = f_.flight().at(0).com_W, to = f_.flight().at(f_.end()).com_W;
    const double dx = to.x - from.x, dz = to.z - from.z;
    const double far = std::hypot(dx, dz);
    if (f_.on_bed()) {
      say(FinishPart::mats, std::nullopt, "Take off and land on the cross; frame and springs are covered.");
    } else {
      const double travel_heading = to_deg(std::atan2(-dz, dx));
      const std::string where = far < 0.15
                                    ? "under you"
                                    : fmt::format("{:.1f} m {}", far,
                                                  place_word(travel_heading - f_.rung().start.heading_deg -
                                                             f_.rung().floor_turn_deg));
      std::string text = fmt::format("The middle of the landing mat lies {}", where);
      if (f_.flips() && !f_.spins())
        text += fmt::format(", with room behind it to roll {}", way_word(f_.carry_deg(f_.rung().twist_deg)));
      say(FinishPart::mats, std::nullopt, text + ".");
    }
    if (f_.flips()) {
      say(FinishPart::mats, std::nullopt,
          f_.twists()
              ? fmt::format("A spotter, where your coach wants one, stands on your {}: you turn {}.",
                            f_.other_side(), f_.side())
              : "A spotter, where your coach wants one, stands close beside you, ready at your hips.");
      if (f_.rung().landing.kind == "blind" && f_.twists())
        say(FinishPart::mats, std::nullopt,
            "You land blind: the coach watches the floor for you and calls the opening.");
    }
    if (f_.rung().step_deg > 0 && f_.rung().step_deg < judged_by_eye_deg) {
      say(FinishPart::mats, std::nullopt,
          fmt::format("{} cannot be judged by eye: use lines on the floor or a measurement.",
                      capital(exact_turn(f_.rung().step_deg))));
    }
  }

  const FinishFacts& f_;
  double sign_;
  std::vector<FinishLine> lines_;
};

}  // namespace

std::vector<FinishLine> finish_after(const FinishFacts& facts) {
  return AfterWriter(facts).write();
}

}  // namespace halfturn
