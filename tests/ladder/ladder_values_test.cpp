// Values that a coach knows: all common practice, worked by hand, left side, start 0 unless said otherwise.
#include <cmath>

#include "plans.hpp"
#include "rotation/heading.hpp"

using namespace halfturn;
using namespace halfturn::test;
using Headings = std::vector<double>;
using Words = std::vector<std::string>;

TEST_CASE("flips keep the start and let the landing turn") {
  for (const char* base : {"back flip", "front flip", "gainer", "butterfly", "trampoline back"}) {
    const Ladder by_half = ladder(base, 720, 180);
    CHECK(landings(by_half) == Headings{0, 180, 0, 180, 0});
    CHECK(starts(by_half) == Headings{0, 0, 0, 0, 0});
    CHECK(landings(ladder(base, 90, 90)) == Headings{0, 90});
  }
  Plan turned = plan("back flip", 360, 180);
  turned.held_heading_deg = 90;
  CHECK(landings(ladder(turned)) == Headings{90, -90, 90});
}

TEST_CASE("a mixed list and its floor walk: half, quarter, quarter to the left") {
  Plan mixed = plan("back flip", 0, 1);
  for (const double step : {180.0, 90.0, 90.0}) mixed.steps.push_back({.twist_deg = step});
  const Ladder walked = ladder(mixed);
  CHECK(landings(walked) == Headings{0, 180, -90, 0});
  const double turns[] = {0, 180, 90, 90};
  for (std::size_t k = 0; k < walked.rungs.size(); ++k) {
    CHECK(walked.rungs[k].walk_turn_deg == turns[k]);
    CHECK(walked.rungs[k].walk_face_deg == walked.rungs[k].landing.heading_deg);
  }
  CHECK(walked.rungs[2].floor_walk ==
        "Stand as you landed: facing the back wall. Turn a quarter (90 degrees) left, the way you twist. "
        "You face the right wall. That is your next landing.");
}

TEST_CASE("upright kicks keep the landing and swap the starting stance every half turn") {
  const Ladder kicks = ladder("cheat kick", 1080, 180);
  CHECK(starts(kicks) == Headings{0, 180, 0, 180, 0});
  CHECK(landings(kicks) == Headings{0, 0, 0, 0, 0});
  CHECK(stances(kicks) == Words{"right lead", "left lead", "right lead", "left lead", "right lead"});
  for (const Rung& rung : kicks.rungs) CHECK(rung.mark_deg == -90);
  for (std::size_t k = 1; k < kicks.rungs.size(); ++k)
    CHECK(kicks.rungs[k].walk_turn_deg == -180);  // against the spin
  const Ladder quarter = ladder("cheat kick", 450, 90);
  CHECK(quarter.rungs[1].start.heading_deg == -90);
  CHECK(quarter.rungs[1].start.stance == "square");
}

TEST_CASE("kicks: which leg kicks, how, and where it lands") {
  const Ladder kicks = ladder("cheat kick", 1080, 180);
  const struct {
    const char *leg, *kind, *lands;
    double air_deg;
  } expected[] = {{"right", "inside", "left", 225},
                  {"right", "inside", "right", 315},
                  {"left", "outside", "right", 495},
                  {"right", "inside", "right", 675},
                  {"left", "outside", "right", 855}};
  for (std::size_t k = 0; k < kicks.rungs.size(); ++k) {
    const Rung& rung = kicks.rungs[k];
    REQUIRE(rung.kick.has_value());
    CHECK(rung.kick->leg == expected[k].leg);
    CHECK(rung.kick->kind == expected[k].kind);
    CHECK(rung.landing.feet == expected[k].lands);
    CHECK(rung.takeoff_feet == "right");
    CHECK(rung.air_turn_deg == expected[k].air_deg);
    CHECK(rung.floor_turn_deg + rung.air_turn_deg + rung.foot_turn_deg == rung.turn_deg);
    CHECK(rung.landing.kind == "upright");
  }
  CHECK(kicks.rungs[0].name == "tornado");
  CHECK(kicks.rungs[3].name == "900");
  const Ladder pops = ladder("pop kick", 540, 180);
  CHECK(pops.rungs[1].name == "pop 540");
  CHECK(pops.rungs[1].takeoff_feet == "both");
}

TEST_CASE("kicks strike when the chest passes the mark (inside) or a quarter before (outside)") {
  const Ladder kicks = ladder("cheat kick", 1080, 180);
  for (const Rung& rung : kicks.rungs) {
    REQUIRE(rung.kick->strike_share.has_value());
    const Quat q = DrawnOrientation(drawn_parameters(rung)).at(*rung.kick->strike_share);
    const double chest_deg = to_deg(heading(q).value());
    CHECK(std::abs(wrap_deg(chest_deg - (rung.kick->kind == "inside" ? -90.0 : 180.0))) < 1e-9);
  }
}

TEST_CASE("a kick counted 900: left lead 900; right lead 720 or 1080, with the same legs and landing") {
  const Ladder kicks = ladder("cheat kick", 900, 180);
  const Rung& rung = kicks.rungs.back();
  CHECK(rung.counted_deg == 900);
  REQUIRE(rung.forms.size() == 3);
  const double turns[] = {900, 720, 1080};
  const char* const labels[] = {"left lead", "right lead, lighter", "right lead, heavier"};
  for (std::size_t k = 0; k < 3; ++k) {
    CHECK(rung.forms[k].turn_deg == turns[k]);
    CHECK(rung.forms[k].label == labels[k]);
    CHECK(rung.forms[k].kick->leg == "right");
    CHECK(rung.forms[k].kick->kind == "inside");
    CHECK(rung.forms[k].landing_feet == "right");
  }
  CHECK(rung.forms[1].start.heading_deg == 0);
}

TEST_CASE("the name comes from the parts: backward, the takeoff, 360 degrees") {
  CHECK(ladder("back flip", 360, 360).rungs[1].name == "full");
  CHECK(ladder("gainer", 360, 360).rungs[1].name == "corkscrew");
  Plan swapped = plan("back flip", 360, 360);
  swapped.takeoff = "one leg swinging through";
  const Rung corkscrew = ladder(swapped).rungs[1];
  CHECK(corkscrew.name == "corkscrew");
  CHECK(corkscrew.twist_deg == 360);
  CHECK(corkscrew.values.incline_deg == 32);
  Plan back = plan("gainer", 360, 360);
  back.takeoff = "both feet";
  CHECK(ladder(back).rungs[1].name == "full");
  CHECK(ladder(back).rungs[1].values.incline_deg == 0);
  Plan pop = plan("cheat kick", 540, 180);
  pop.takeoff = "both feet";
  CHECK(ladder(pop).rungs[1].name == "pop 540");
}

TEST_CASE("names by rotation") {
  const auto names = [](const Ladder& made) {
    Words words;
    for (const Rung& rung : made.rungs) words.push_back(rung.name.value_or("-"));
    return words;
  };
  CHECK(names(ladder("back flip", 1080, 180)) ==
        Words{"back flip", "back half", "full", "full and a half", "double full", "-", "triple full"});
  CHECK(names(ladder("front flip", 1260, 180)) ==
        Words{"front flip", "Barani", "front full", "Rudi", "front double full", "Randy", "-", "Adolph"});
  CHECK(names(ladder("gainer", 1080, 180)) ==
        Words{"gainer", "gainer half", "corkscrew", "-", "double cork", "-", "triple cork"});
  CHECK(names(ladder("butterfly", 720, 180)) == Words{"butterfly", "butterfly half", "butterfly twist",
                                                      "butterfly one and a half", "double b-twist"});
  CHECK_FALSE(ladder("back flip", 90, 90).rungs[1].name.has_value());
  CHECK(ladder("back flip", 90, 90).rungs[1].title == "back quarter");
  Plan early = plan("back flip", 180, 180);
  early.timing = "early";
  CHECK(ladder(early).rungs[1].name == "Arabian");
}

TEST_CASE("aerial: a quarter on the floor before, a quarter on the foot after") {
  const Rung aerial = ladder("aerial", 0, 1).rungs[0];
  CHECK(aerial.turn_deg == 180);
  CHECK(aerial.floor_turn_deg == 90);
  CHECK(aerial.air_turn_deg == 0);
  CHECK(aerial.foot_turn_deg == 90);
  CHECK(aerial.landing.heading_deg == 180);
  CHECK(aerial.landing.contact_heading_deg == 90);
  CHECK(aerial.takeoff_feet == "right");
  CHECK(aerial.landing.feet == "left");
}

TEST_CASE("difficulty: only trampoline skills after whole half twists; FIG values") {
  const Ladder front = ladder("trampoline front", 540, 90);
  CHECK(front.rungs[0].difficulty == 0.5);
  CHECK_FALSE(front.rungs[1].difficulty.has_value());
  CHECK(front.rungs[2].difficulty == 0.6);  // Barani
  CHECK(front.rungs[6].difficulty == 0.8);  // Rudi
  CHECK(ladder("trampoline back", 360, 360).rungs[1].difficulty == 0.7);
  CHECK_FALSE(ladder("back flip", 360, 360).rungs[1].difficulty.has_value());
}

TEST_CASE("a step may change any one part; a warning when two change") {
  Plan parts = plan("back flip", 360, 360);
  parts.steps.push_back({.takeoff = "one leg swinging through"});
  parts.steps.push_back({.twist_deg = 90, .surface = "grass"});
  const Ladder made = ladder(parts);
  CHECK(made.rungs[2].name == "corkscrew");
  CHECK(made.rungs[2].warnings.empty());
  CHECK(made.rungs[3].surface == "grass");
  REQUIRE(made.rungs[3].warnings.size() == 1);
  CHECK(made.rungs[3].warnings[0] == "2 parts change at once: twist, surface; change one at a time");
}

TEST_CASE("air time: needed is the low end of the table, margin only with a measured one") {
  CHECK(ladder("back flip", 720, 360).rungs[2].air_time_needed_s == 0.95);
  CHECK_FALSE(ladder("back flip", 720, 360).rungs[2].air_time_margin_s.has_value());
  Plan measured = plan("back flip", 720, 360);
  measured.air_time_s = 0.9;
  CHECK(ladder(measured).rungs[2].air_time_margin_s == doctest::Approx(-0.05));
}

TEST_CASE("steps_to: one step repeats and is cut, a list must sum to the target") {
  const auto degrees = [](double first, double to, std::vector<Step> given) {
    const Result<std::vector<Step>> steps = steps_to(first, to, given);
    Headings result;
    if (steps) {
      for (const Step& step : *steps) result.push_back(step.twist_deg);
    }
    return result;
  };
  CHECK(degrees(0, 720, {{.twist_deg = 180}}) == Headings{180, 180, 180, 180});
  CHECK(degrees(0, 400, {{.twist_deg = 180}}) == Headings{180, 180, 40});
  CHECK(degrees(360, 360, {{.twist_deg = 180}}).empty());
  CHECK(degrees(0, 360, {{.twist_deg = 180}, {.twist_deg = 180}}) == Headings{180, 180});
  CHECK_FALSE(steps_to(0, 360, {{.twist_deg = 180}, {.twist_deg = 90}}).ok());
  CHECK_FALSE(steps_to(360, 180, {{.twist_deg = 180}}).ok());
  CHECK_FALSE(steps_to(0, 1441, {{.twist_deg = 180}}).ok());
  for (const double bad : {0.0, -1.0, 361.0, 22.5, std::nan("")})
    CHECK_FALSE(steps_to(0, 360, {{.twist_deg = bad}}).ok());
}

TEST_CASE("problems name the key of the plan") {
  const auto place = [](const Plan& bad) {
    const Result<Ladder> result = make_ladder(bad, built_in_vocabulary(), built_in_difficulty());
    return result.ok() ? std::string("no problem") : result.problem().place;
  };
  Plan bad = plan("back flip", 360, 180);
  bad.steps[1].twist_deg = 400;
  CHECK(place(bad) == "rungs[2].step_deg");
  bad = plan("back flip", 360, 180);
  bad.steps[0].takeoff = "cannon";
  CHECK(place(bad) == "rungs[1].takeoff");
  bad = plan("back flip", 360, 180);
  bad.base = "no such flip";
  CHECK(place(bad) == "base");
  bad = plan("back flip", 360, 180);
  bad.held_heading_deg = std::nan("");
  CHECK(place(bad) == "held_heading_deg");
  bad = plan("back flip", 360, 180);
  bad.kick_leg = "left";
  CHECK(place(bad) == "kick_leg");
  bad = plan("cheat kick", 540, 180);
  bad.from_deg = 90;
  CHECK(place(bad) == "from_deg");
}

TEST_CASE("what is told of the air never makes too little enough, worked by hand") {
  CHECK(told_air_s(0.75) == 0.75);
  CHECK(told_air_s(0.8515) == 0.86);
  // 0.85 s measured, 0.8515 needed: short, and never by 0.00.
  CHECK(air_margin_words(0.8515, 0.85 - 0.8515) == "0.01 s short");
  // 0.85 s measured, 0.715 needed: told as 0.72, which leaves 0.13.
  CHECK(air_margin_words(0.715, 0.85 - 0.715) == "0.13 s in hand");
  CHECK(air_margin_words(0.75, 0) == "0.00 s in hand");
  CHECK(air_margin_words(1.06, 0.85 - 1.06) == "0.21 s short");
}
