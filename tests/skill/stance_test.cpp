#include "skill/stance.hpp"

#include <doctest/doctest.h>

#include "rotation/heading.hpp"
#include "skill/difficulty.hpp"
#include "skill/skill.hpp"

using namespace halfturn;

TEST_CASE("stance: worked by hand from where the mark lies as seen from the chest") {
  CHECK(stance_at(0, 0) == "square");
  CHECK(stance_at(0, 90) == "left lead");  // mark on the left: the left shoulder points to it
  CHECK(stance_at(0, -90) == "right lead");
  CHECK(stance_at(180, 0) == "back");
  CHECK(stance_at(90, 0) == "right lead");   // turned left, the mark is now on the right
  CHECK(stance_at(30, 0) == "square + 30");  // chest 30 degrees to the left of the mark
  CHECK(stance_at(-30, 0) == "square - 30");
  CHECK(stance_at(45, 0) == "right lead - 45");  // a tie goes to the lead stance
  CHECK(stance_at(-45, 0) == "left lead + 45");
  CHECK(stance_at(135, 0) == "right lead + 45");
  CHECK(stance_at(-135, 0) == "left lead - 45");
}

TEST_CASE("stance: the opposite stance is a half turn away with the other foot ahead") {
  for (const double mark : {-90.0, 0.0, 37.0, 180.0}) {
    CHECK(stance_at(wrap_deg(mark - 90), mark) == "left lead");
    CHECK(stance_at(wrap_deg(mark - 90 + 180), mark) == "right lead");
    CHECK(feet_of_stance(wrap_deg(mark - 90), mark) == "left ahead");
    CHECK(feet_of_stance(wrap_deg(mark - 90 + 180), mark) == "right ahead");
  }
}

TEST_CASE("stance: mirrored headings give the stance with left and right exchanged, for every whole degree") {
  const auto swap_signs = [](std::string text) {
    for (char& c : text) c = c == '+' ? '-' : c == '-' ? '+' : c;
    return text;
  };
  for (int heading = -179; heading <= 179; ++heading) {
    for (const int mark : {-90, 0, 45, 180}) {
      CHECK(swap_signs(swap_sides(stance_at(heading, mark))) == stance_at(-heading, -mark));
    }
  }
}

TEST_CASE(
    "landing kind: a back flip sees the floor after even half twists, a front flip after odd ones (common "
    "practice)") {
  CHECK(landing_kind(180, 0) == "sees floor");
  CHECK(landing_kind(180, 180) == "blind");
  CHECK(landing_kind(180, 360) == "sees floor");
  CHECK(landing_kind(180, 540) == "blind");
  CHECK(landing_kind(0, 0) == "blind");
  CHECK(landing_kind(0, 180) == "sees floor");
  CHECK(landing_kind(0, 540) == "sees floor");
  CHECK(landing_kind(180, 90) == "side on");
  CHECK(landing_kind(90, 0) == "side on");
  CHECK(landing_kind(180, 45) == "sees floor");  // |wrap(180 - 45)| = 135
  CHECK(landing_kind(180, 46) == "side on");
  CHECK(landing_kind(180, 135) == "blind");  // 45
}

TEST_CASE("words for walls and turns") {
  const Walls walls;
  CHECK(facing_words(0, walls) == "front wall");
  CHECK(facing_words(90, walls) == "left wall");
  CHECK(facing_words(-180, walls) == "back wall");
  CHECK(facing_words(-90, walls) == "right wall");
  CHECK(facing_words(-150, walls) == "back wall, 30 left of it");
  CHECK(facing_words(150, walls) == "back wall, 30 right of it");
  CHECK(turn_words(90) == "quarter");
  CHECK(turn_words(-180) == "half");
  CHECK(turn_words(270) == "three quarters");
  CHECK(turn_words(360) == "full turn");
  CHECK(turn_words(450) == "full turn and a quarter");
  CHECK(turn_words(630) == "full turn and three quarters");
  CHECK(turn_words(900) == "two full turns and a half");
  CHECK(turn_words(37) == "37 degrees");
  CHECK(turn_words(0) == "no turn");
}

TEST_CASE(
    "difficulty: FIG Code of Points trampoline 2005, appendix, published values of single somersaults") {
  const DifficultyRule rule{"2005", "", 1, 1, 1, 1};
  CHECK(single_somersault_difficulty(rule, 0, false) == 0.5);    // back or front somersault, tuck
  CHECK(single_somersault_difficulty(rule, 0, true) == 0.6);     // the same in pike or straight
  CHECK(single_somersault_difficulty(rule, 180, false) == 0.6);  // Barani, tuck
  CHECK(single_somersault_difficulty(rule, 180, true) == 0.6);   // Barani, pike or straight
  CHECK(single_somersault_difficulty(rule, -360, true) == 0.7);  // full
  CHECK(single_somersault_difficulty(rule, 540, true) == 0.8);   // Rudolph
  CHECK(single_somersault_difficulty(rule, 720, true) == 0.9);   // double full
  CHECK_FALSE(single_somersault_difficulty(rule, 90, true).has_value());
}
