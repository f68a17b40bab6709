#include "ladder/finish.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "rotation/heading.hpp"
#include "skill/stance.hpp"

namespace halfturn {
namespace {

constexpr double began_deg = 5;           // of twist: the turn has begun
constexpr double reaction_s = 0.2;        // from seeing to doing (simple visual reaction, 0.18 to 0.25 s)
constexpr double told_left_deg = 5;       // what is left of a turn is told from here on
constexpr double judged_by_eye_deg = 30;  // smaller steps are not (this project's choice)
constexpr double quick_turn_deg_s = 90;   // about the long axis on landing: needs a step
constexpr double far_from_upright_deg = 30;

/// "quarter", "half", "about 55 degrees": an amount of turn for a sentence.
std::string rough(double amount_deg) {
  const double amount = std::abs(amount_deg);
  const double quarter = 90 * std::round(amount / 90);
  if (quarter > 0 && std::abs(amount - quarter) < 4) {
    const std::string words = turn_words(quarter);
    return quarter == 90 || quarter == 180 || words.starts_with("full") ? "a " + words : words;
  }
  return fmt::format("about {:.0f} degrees", std::max(5.0, 5 * std::round(amount / 5)));
}

/// An exact amount as a noun: "a quarter", "30 degrees".
std::string exact(double amount_deg) {
  const std::string words = turn_words(amount_deg);
  return words == "quarter" || words == "half" || words.starts_with("full") ? "a " + words : words;
}

/// "half a turn a second", "1.5 turns a second".
std::string pace(double deg_per_s) {
  const double turns = std::round(std::abs(deg_per_s) / 36) / 10;
  if (turns < 0.1) return "almost nothing";
  if (turns == 0.5) return "half a turn a second";
  if (turns == 1) return "one turn a second";
  return fmt::format("{:.1f} turns a second", turns);
}

std::string feet(const std::string& words) {
  if (words == "both") return "both feet";
  if (words == "bed") return "both feet in the middle of the bed";
  const std::size_t comma = words.find(", ");
  if (comma == std::string::npos) return fmt::format("the {} foot", words);
  return fmt::format("the {}, then the {} foot", words.substr(0, comma), words.substr(comma + 2));
}

/// A direction from the chest in a word: "forward", "back", "to the left".
std::string way_word(double left_deg) {
  const double wrapped = wrap_deg(left_deg);
  if (std::abs(wrapped) <= 45) return "forward";
  if (std::abs(wrapped) >= 135) return "back";
  return wrapped > 0 ? "to the left" : "to the right";
}

class FinishWriter {
 public:
  FinishWriter(const Ladder& ladder, std::size_t rung, const Flight& flight,
               const std::vector<SightSpan>& sight, const std::vector<ArmMove>& arms)
      : ladder_(ladder),
        rung_(ladder.rungs[rung]),
        before_(rung > 0 ? &ladder.rungs[rung - 1] : nullptr),
        flight_(flight),
        sight_(sight),
        arms_(arms),
        sign_(sign_of(rung_.side)),
        end_(flight.duration()) {}

  FinishPlan write() {
    takeoff();
    arms();
    eyes();
    opening();
    strike();
    landing();
    std::stable_sort(plan_.lines.begin(), plan_.lines.end(), [](const FinishLine& a, const FinishLine& b) {
      return a.part == b.part && a.time_s.value_or(0) < b.time_s.value_or(0);
    });
    feet_turn();
    missed(FinishPart::short_turn);
    missed(FinishPart::long_turn);
    way_out();
    mats();
    plan_.floor_seen = sight_;
    return std::move(plan_);
  }

 private:
  void say(FinishPart part, std::optional<double> time_s, std::string text) {
    plan_.lines.push_back({part, time_s, std::move(text)});
  }
  void in_air(double time_s, std::string text) { say(FinishPart::in_the_air, time_s, std::move(text)); }
  [[nodiscard]] std::string wall(double heading_deg) const {
    return "the " + facing_words(heading_deg, ladder_.plan.walls);
  }
  [[nodiscard]] std::string_view side() const { return word(rung_.side); }
  [[nodiscard]] std::string_view other_side_word() const { return word(other(rung_.side)); }
  [[nodiscard]] bool flips() const { return rung_.flip_deg != 0; }
  [[nodiscard]] bool twists() const { return rung_.air_turn_deg != 0; }
  /// More a spin about the upright than a flip: it lands with the trunk low and does not roll on.
  [[nodiscard]] bool spins() const { return rung_.values.incline_deg > 45; }
  [[nodiscard]] bool on_bed() const { return rung_.surface == "trampoline"; }
  /// Twist made in the air so far, the way of the side, degrees.
  [[nodiscard]] double twisted_deg(double time) const {
    return sign_ * to_deg(flight_.at(time).angles.twist);
  }
  [[nodiscard]] double turn_rate_deg_s(double time) const {
    return sign_ * to_deg(flight_.at(time).omega_B.y);
  }
  [[nodiscard]] std::optional<double> event(EventKind kind) const {
    for (const FlightEvent& e : flight_.events()) {
      if (e.kind == kind) return e.time;
    }
    return std::nullopt;
  }
  /// When the twist has begun, s; the air time when it never does.
  [[nodiscard]] double twist_begins() const {
    double low = 0, high = end_;
    if (twisted_deg(high) < began_deg) return end_;
    for (int i = 0; i < 40; ++i) {
      const double middle = 0.5 * (low + high);
      (twisted_deg(middle) < began_deg ? low : high) = middle;
    }
    return high;
  }

  void takeoff() {
    const double heading = rung_.start.heading_deg + rung_.floor_turn_deg;
    if (rung_.floor_turn_deg != 0) {
      in_air(0,
             fmt::format("Before you leave the floor step round {} {}: that part of the turn is made there.",
                         exact(rung_.floor_turn_deg), side()));
    }
    if (!flips()) {
      in_air(0, "Stand up out of your legs, arms up and close: tall before quick.");
      return;
    }
    const double begins = event(EventKind::arm_drop).value_or(twist_begins());
    if (!twists()) {
      in_air(0, fmt::format("Arms up and tall, eyes on {}; then flip.", wall(heading)));
    } else if (begins < 0.15 * end_) {
      in_air(0, fmt::format("Arms up and tall; the turn to the {} starts as you leave the floor.", side()));
    } else {
      in_air(0, fmt::format("Arms up and tall, chest to {}: do not turn before {:.2f} s.", wall(heading),
                            begins));
    }
  }

  void arms() {
    if (!arms_.empty()) {
      for (const ArmMove& move : arms_) {
        in_air(move.time, fmt::format("{} your {} arm{}.", move.in ? "Bring in" : "Take out",
                                      move.left ? "left" : "right",
                                      move.time < 0.5 * end_ && move.in ? ": that starts the turn" : ""));
      }
      return;
    }
    const std::optional<double> drop = event(EventKind::arm_drop);
    if (!drop || !flips()) return;
    // Lowering the right arm leans the head to the left; in a backward flip that turns the chest right, in a
    // forward one left (it follows from keeping the angular momentum).
    const bool forward = std::abs(wrap_deg(rung_.flip_toward_deg)) < 90;
    const bool starts_it = twist_begins() > *drop - 0.02;
    in_air(*drop,
           fmt::format("Drop your {} arm, then wrap both: that {}.", forward ? other_side_word() : side(),
                       starts_it ? "starts the turn" : "speeds the turn up"));
  }

  void eyes() {
    if (!flips()) return;
    std::optional<SightSpan> last;
    for (const SightSpan& span : sight_) {
      if (span.to_s > 0.5 * end_) last = span;
    }
    if (!last) {
      in_air(end_, "You do not see the floor before you land: finish by feel and by the call.");
    } else if (end_ - last->to_s > reaction_s) {
      in_air(last->from_s, fmt::format("You see the floor from here to {:.2f} s, then it goes out of sight: "
                                       "do not look back for it.",
                                       last->to_s));
    } else if (end_ - last->from_s < reaction_s) {
      in_air(last->from_s, "You see the floor only here, too late to change anything: finish by feel.");
    } else {
      in_air(last->from_s, "You see the floor: keep your eyes on the place where you land.");
    }
  }

  void opening() {
    const std::optional<double> open = event(EventKind::open);
    if (!open) return;
    const double left = std::abs(rung_.air_turn_deg) - twisted_deg(*open);
    if (twists() && left > told_left_deg) {
      const double now = turn_rate_deg_s(*open), on_landing = turn_rate_deg_s(end_);
      std::string text = fmt::format("Open your arms with {} of the turn to go", rough(left));
      if (now > on_landing + quick_turn_deg_s)
        text += fmt::format(": it slows from {} to {}", pace(now), pace(on_landing));
      in_air(*open, text + ".");
    } else if (twists()) {
      in_air(*open, turn_rate_deg_s(end_) > quick_turn_deg_s ? "Open your arms: the turn is all but done."
                                                             : "Open your arms: the turn is done.");
    } else if (flips()) {
      const double flip_left = rung_.flip_deg - to_deg(flight_.at(*open).angles.flip);
      in_air(*open, fmt::format("Open and reach for the floor with your feet: {} of the flip to go.",
                                rough(flip_left)));
    }
  }

  void strike() {
    const std::optional<double> time = event(EventKind::strike);
    if (!time || !rung_.kick) return;
    in_air(*time, fmt::format("Strike with the {} leg, {}, your chest to {}.", rung_.kick->leg,
                              rung_.kick->kind == "inside" ? "from outside in" : "from inside out",
                              wall(rung_.kick->strike_heading_deg)));
  }

  void landing() {
    std::string text = fmt::format("You come down on {}", feet(rung_.landing.feet));
    const double contact = rung_.landing.heading_deg - rung_.foot_turn_deg;
    text += fmt::format(", facing {}", wall(contact));
    if (rung_.landing.kind == "blind") text += ", without seeing the floor under you";
    if (rung_.landing.contact_angle_deg > far_from_upright_deg)
      text += fmt::format(", still leaning {:.0f} degrees", rung_.landing.contact_angle_deg);
    in_air(end_, text + ".");
  }

  void feet_turn() {
    if (rung_.foot_turn_deg != 0) {
      say(FinishPart::on_the_feet, std::nullopt,
          fmt::format("Turn the last {} {} on {}; you end facing {}.", turn_words(rung_.foot_turn_deg),
                      side(), feet(rung_.landing.feet), wall(rung_.landing.heading_deg)));
      return;
    }
    const double left = std::abs(rung_.air_turn_deg) - twisted_deg(end_);
    const double rate = turn_rate_deg_s(end_);
    if (std::abs(left) > told_left_deg) {
      say(FinishPart::on_the_feet, std::nullopt,
          left > 0
              ? fmt::format("{} of the turn to go: let your feet finish it to the {}.", capital(rough(left)),
                            side())
              : fmt::format("You have turned {} too far: stand it there, do not turn back.", rough(left)));
    } else if (rate > quick_turn_deg_s) {
      say(FinishPart::on_the_feet, std::nullopt,
          fmt::format("You still turn, {}: soft knees, and let it run out in one small step {}.", pace(rate),
                      side()));
    } else if (rung_.landing.feet == "both" || rung_.landing.feet == "bed") {
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
    const double step = rung_.step_deg > 0 ? std::clamp(rung_.step_deg, judged_by_eye_deg, 90.0) : 90.0;
    if (!twists()) return;
    const double off = (is_short ? -1 : 1) * sign_ * step;
    const double heading = rung_.landing.heading_deg + off;
    std::string text =
        fmt::format("{} {}, you face {}", capital(exact(step)), is_short ? "short" : "long", wall(heading));
    if (flips()) {
      const std::string kind = landing_kind(rung_.flip_toward_deg, rung_.twist_deg + off);
      if (kind != rung_.landing.kind) {
        text += kind == "side on"      ? ", side on to the flip"
                : kind == "sees floor" ? ", seeing the floor"
                                       : ", blind";
      }
      text += fmt::format(": step {} and let it go, do not wrench it round.",
                          way_word(carry(rung_.twist_deg + off)));
    } else {
      text += is_short ? fmt::format(": put both feet down and step round {}.", side())
                       : ": put both feet down and stop there.";
    }
    say(part, std::nullopt, std::move(text));
  }

  [[nodiscard]] double carry(double twist_deg) const { return wrap_deg(rung_.flip_toward_deg - twist_deg); }

  void way_out() {
    if (before_ != nullptr && twists() && flips()) {
      const double begins = twist_begins();
      // Nobody decides anything in the first moments of a flight.
      const bool in_time = begins > std::max(0.15 * end_, reaction_s);
      const std::string_view when = in_time ? "Not high enough" : "Low or slow off the floor";
      say(FinishPart::way_out, in_time ? std::optional(begins) : std::nullopt,
          before_->twist_deg == 0 ? fmt::format("{}? Do not turn: stay in the {} and land facing {}.", when,
                                                before_->title, wall(before_->landing.heading_deg))
                                  : fmt::format("{}? Stop at the {} and land facing {}.", when,
                                                before_->title, wall(before_->landing.heading_deg)));
    }
    if (flips() && spins()) {
      say(FinishPart::way_out, std::nullopt,
          "Trunk not coming up? Let the other leg come down wide and put your hands on the mat: walk it "
          "out.");
    } else if (flips() && !on_bed()) {
      const double on = carry(rung_.twist_deg);
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
    } else if (on_bed()) {
      say(FinishPart::way_out, std::nullopt,
          "Off balance? Bend your knees and take the bounce out; start again from still.");
    } else {
      say(FinishPart::way_out, std::nullopt,
          "Losing it? Let the kick go, both feet down, knees bent, and walk it out.");
    }
    if (before_ != nullptr) {
      say(FinishPart::way_out, std::nullopt,
          fmt::format("Two misses in a row: split the step. A fall: back to rung {}, the {}.",
                      before_->index == 0 ? std::string("B") : std::to_string(before_->index),
                      before_->title));
    } else {
      say(FinishPart::way_out, std::nullopt,
          fmt::format("Not sure of the {} every time? Then nothing is added to it yet.", rung_.title));
    }
  }

  void mats() {
    const Vec3 from = flight_.at(0).com_W, to = flight_.at(end_).com_W;
    const double dx = to.x - from.x, dz = to.z - from.z;
    const double far = std::hypot(dx, dz);
    if (on_bed()) {
      say(FinishPart::mats, std::nullopt, "Take off and land on the cross; frame and springs are covered.");
    } else {
      const double travel_heading = to_deg(std::atan2(-dz, dx));
      const std::string where =
          far < 0.15
              ? "under you"
              : fmt::format("{:.1f} m {}", far,
                            place_word(travel_heading - rung_.start.heading_deg - rung_.floor_turn_deg));
      std::string text = fmt::format("The middle of the landing mat lies {}", where);
      if (flips() && !spins())
        text += fmt::format(", with room behind it to roll {}", way_word(carry(rung_.twist_deg)));
      say(FinishPart::mats, std::nullopt, text + ".");
    }
    if (flips()) {
      say(FinishPart::mats, std::nullopt,
          twists() ? fmt::format("A spotter, where your coach wants one, stands on your {}: you turn {}.",
                                 other_side_word(), side())
                   : "A spotter, where your coach wants one, stands close beside you, ready at your hips.");
      if (rung_.landing.kind == "blind" && twists())
        say(FinishPart::mats, std::nullopt,
            "You land blind: the coach watches the floor for you and calls the opening.");
    }
    if (rung_.step_deg > 0 && rung_.step_deg < judged_by_eye_deg) {
      say(FinishPart::mats, std::nullopt,
          fmt::format("{} cannot be judged by eye: use lines on the floor or a measurement.",
                      capital(exact(rung_.step_deg))));
    }
  }

  /// Where something lies as seen from the chest.
  static std::string place_word(double left_deg) {
    const double wrapped = wrap_deg(left_deg);
    if (std::abs(wrapped) <= 45) return "in front of you";
    if (std::abs(wrapped) >= 135) return "behind you";
    return wrapped > 0 ? "to your left" : "to your right";
  }

  static std::string capital(std::string text) {
    if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
    return text;
  }

  const Ladder& ladder_;
  const Rung& rung_;
  const Rung* before_;
  const Flight& flight_;
  const std::vector<SightSpan>& sight_;
  const std::vector<ArmMove>& arms_;
  double sign_;
  double end_;
  FinishPlan plan_;
};

}  // namespace

std::string_view finish_part_word(FinishPart part) {
  switch (part) {
    case FinishPart::in_the_air:
      return "in the air";
    case FinishPart::on_the_feet:
      return "on the feet";
    case FinishPart::short_turn:
      return "if it is short";
    case FinishPart::long_turn:
      return "if it is long";
    case FinishPart::way_out:
      return "the way out";
    case FinishPart::mats:
      return "mats and spotter";
  }
  return "";
}

FinishPlan finish_plan(const Ladder& ladder, std::size_t rung, const Flight& flight,
                       const std::vector<SightSpan>& sight, const std::vector<ArmMove>& arms) {
  return FinishWriter(ladder, rung, flight, sight, arms).write();
}

double carry_deg(const Rung& rung) {
  return wrap_deg(rung.flip_toward_deg - rung.twist_deg);
}

}  // namespace halfturn
