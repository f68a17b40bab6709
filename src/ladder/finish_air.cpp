#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "finish_facts.hpp"
#include "rotation/heading.hpp"

namespace halfturn {
namespace {

constexpr double far_from_upright_deg = 30;
constexpr double same_moment_s = 0.02;
constexpr double arms_together_s = 0.04;  // this project's choice
constexpr double drift_deg = 20;          // of twist that is not yet a turn (this project's choice)

class AirWriter {
 public:
  AirWriter(const FinishFacts& facts, const std::vector<SightSpan>& sight) : f_(facts), sight_(sight) {}

  std::vector<FinishLine> write() {
    takeoff();
    arms();
    eyes();
    opening();
    strike();
    landing();
    std::stable_sort(lines_.begin(), lines_.end(), [](const FinishLine& a, const FinishLine& b) {
      return a.time_s.value_or(0) < b.time_s.value_or(0);
    });
    return std::move(lines_);
  }

 private:
  void in_air(double time_s, std::string text) {
    lines_.push_back({FinishPart::in_the_air, time_s, std::move(text)});
  }

  void takeoff() {
    const double heading = f_.rung().start.heading_deg + f_.rung().floor_turn_deg;
    if (f_.rung().floor_turn_deg != 0) {
      lines_.push_back(
          {FinishPart::in_the_air, std::nullopt,
           fmt::format("Before you leave the floor step round {} {}: that part of the turn is made there.",
                       exact_turn(f_.rung().floor_turn_deg), f_.side())});
    }
    if (!f_.flips()) {
      in_air(0, "Stand up out of your legs, arms up and close: tall before quick.");
      return;
    }
    // A little twist may come with the takeoff before an arm is moved for it: nobody does anything for that.
    const std::vector<ArmMove>& moves = f_.flight().arm_moves();
    const double begins = moves.empty() || turns_before_arms() ? f_.turn_starts() : moves.front().time;
    if (!f_.twists()) {
      in_air(0, fmt::format("Arms up and tall, eyes on {}; then flip.", f_.wall(heading)));
    } else if (begins < 0.15 * f_.end()) {
      in_air(0,
             fmt::format("Arms up and tall; the turn to the {} starts as you leave the floor.", f_.side()));
    } else {
      in_air(0, fmt::format("Arms up and tall, chest to {}: do not turn before {:.2f} s.", f_.wall(heading),
                            begins));
    }
  }

  /// Whether the takeoff has made more than a drift of twist when the first arm moves.
  [[nodiscard]] bool turns_before_arms() const {
    const std::vector<ArmMove>& moves = f_.flight().arm_moves();
    return !moves.empty() && f_.twisted_deg(moves.front().time) >= drift_deg;
  }

  /// The moves of a solved flight, by arm: the first one out is the opening.
  void arms_one_by_one() {
    const std::vector<ArmMove>& moves = f_.flight().arm_moves();
    bool opened = false, started = turns_before_arms();
    for (std::size_t i = 0; i < moves.size(); ++i) {
      const ArmMove& move = moves[i];
      std::string arm = move.left ? "left arm" : "right arm";
      // Nobody times two arms apart by less.
      if (i + 1 < moves.size() && moves[i + 1].in == move.in &&
          moves[i + 1].time - move.time < arms_together_s) {
        arm = move.in ? "arms, the " + std::string(move.left ? "left" : "right") + " a touch first" : "arms";
        ++i;
      }
      if (move.in) {
        // An arm that comes in while the other is out already slows its end of the turn: no words on speed.
        const char* what = !started ? ": that starts the turn" : !opened ? ": that speeds the turn up" : "";
        in_air(move.time, fmt::format("Bring in your {}{}.", arm, what));
        started = true;
      } else {
        in_air(move.time, fmt::format("Take out your {}{}.", arm, opened ? "" : turn_to_go(move.time)));
        opened = true;
      }
    }
  }

  /// " with a quarter of the turn to go: it slows from one turn a second to almost nothing", ": the turn is
  /// done".
  [[nodiscard]] std::string turn_to_go(double time) const {
    const double left = std::abs(f_.rung().air_turn_deg) - f_.twisted_deg(time);
    const double now = f_.turn_rate_deg_s(time), on_landing = f_.turn_rate_deg_s(f_.end());
    if (left <= told_left_deg)
      return on_landing > quick_turn_deg_s ? ": the turn is all but done" : ": the turn is done";
    std::string text = fmt::format(" with {} of the turn to go", rough_turn(left));
    if (now > on_landing + quick_turn_deg_s)
      text += fmt::format(": it slows from {} to {}", pace_words(now), pace_words(on_landing));
    return text;
  }

  void arms() {
    if (!f_.flight().arm_moves().empty()) {
      arms_one_by_one();
      return;
    }
    const std::optional<double> drop = f_.event(EventKind::arm_drop);
    if (!drop || !f_.flips()) return;
    // Lowering the right arm leans the head to the left; in a backward flip that turns the chest right, in a
    // forward one left (it follows from keeping the angular momentum).
    const bool forward = std::abs(wrap_deg(f_.rung().flip_toward_deg)) < 90;
    const bool starts_it = f_.twist_begins() > *drop - same_moment_s;
    in_air(*drop,
           fmt::format("Drop your {} arm, then wrap both: that {}.", forward ? f_.other_side() : f_.side(),
                       starts_it ? "starts the turn" : "speeds the turn up"));
  }

  void eyes() {
    if (!f_.flips()) return;
    std::optional<SightSpan> last;
    for (const SightSpan& span : sight_) {
      if (span.to_s > 0.5 * f_.end()) last = span;
    }
    if (!last) {
      in_air(f_.end(), "You do not see the floor before you land: finish by feel and by the call.");
    } else if (f_.end() - last->to_s > reaction_s) {
      in_air(last->from_s, fmt::format("You see the floor from here to {:.2f} s, then it goes out of sight: "
                                       "do not look back for it.",
                                       last->to_s));
    } else if (f_.end() - last->from_s < reaction_s) {
      in_air(last->from_s, "You see the floor only here, too late to change anything: finish by feel.");
    } else {
      in_air(last->from_s, "You see the floor: keep your eyes on the place where you land.");
    }
  }

  void opening() {
    const std::optional<double> open = f_.event(EventKind::open);
    if (!open || !f_.flight().arm_moves().empty()) return;
    if (f_.twists()) {
      in_air(*open, fmt::format("Open your arms{}.", turn_to_go(*open)));
    } else if (f_.flips()) {
      const double flip_left = f_.rung().flip_deg - to_deg(f_.flight().at(*open).angles.flip);
      in_air(*open, fmt::format("Open and reach for the floor with your feet: {} of the flip to go.",
                                rough_turn(flip_left)));
    }
  }

  void strike() {
    const std::optional<double> time = f_.event(EventKind::strike);
    if (!time || !f_.rung().kick) return;
    in_air(*time, fmt::format("Strike with the {} leg, {}, your chest to {}.", f_.rung().kick->leg,
                              f_.rung().kick->kind == "inside" ? "from outside in" : "from inside out",
                              f_.wall(f_.rung().kick->strike_heading_deg)));
  }

  void landing() {
    std::string text = fmt::format("You come down on {}", finish_feet(f_.rung().landing.feet));
    const double contact = f_.rung().landing.heading_deg - f_.rung().foot_turn_deg;
    text += fmt::format(", facing {}", f_.wall(contact));
    if (f_.rung().landing.kind == "blind") text += ", without seeing the floor under you";
    if (f_.rung().landing.contact_angle_deg > far_from_upright_deg)
      text += fmt::format(", still leaning {:.0f} degrees", f_.rung().landing.contact_angle_deg);
    in_air(f_.end(), text + ".");
  }

  const FinishFacts& f_;
  const std::vector<SightSpan>& sight_;
  std::vector<FinishLine> lines_;
};

}  // namespace

std::vector<FinishLine> finish_in_air(const FinishFacts& facts, const std::vector<SightSpan>& sight) {
  return AirWriter(facts, sight).write();
}

}  // namespace halfturn
