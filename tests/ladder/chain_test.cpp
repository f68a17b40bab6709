#include "ladder/chain.hpp"

#include "format/link_file.hpp"
#include "plans.hpp"

using namespace halfturn;

namespace {

Plan chain_of(const std::vector<std::string>& items, Side side = Side::left) {
  Plan plan;
  plan.side = side;
  for (const std::string& text : items) {
    const Result<ChainItem> item = parse_chain_item(text, built_in_links());
    REQUIRE(item);
    plan.chain.push_back(*item);
  }
  return plan;
}

ChainRun run(const Plan& plan) {
  Result<ChainRun> result = run_chain(plan, built_in_vocabulary(), built_in_links(), built_in_difficulty());
  REQUIRE_MESSAGE(result.ok(), (result.ok() ? "" : result.problem().message()));
  return std::move(result).value();
}

ChainRun run_items(const std::vector<std::string>& items, Side side = Side::left) {
  return run(chain_of(items, side));
}

std::vector<double> ends(const ChainRun& chain) {
  std::vector<double> headings;
  for (const ChainStop& stop : chain.stops) headings.push_back(stop.end_heading_deg);
  return headings;
}

}  // namespace

TEST_CASE("a chain worked by hand: roundoff, back half, hurdle, front flip") {
  // Facing the front wall (0). The roundoff turns half round (180) and goes 1.8 m forward. The back half goes
  // backward, on toward the front wall, and turns half left: 360, which is 0 again. From there forward.
  const ChainRun chain = run_items({"roundoff", "back flip:180", "hurdle", "front flip"});
  CHECK(ends(chain) == std::vector<double>{180, 0, 0, 0});
  CHECK(chain.stops[1].start_heading_deg == 180);
  CHECK(chain.stops[1].landing_kind == "blind");
  CHECK(chain.stops[1].enters_deg == 0);
  CHECK(chain.stops[1].carries_deg == 0);
  CHECK(chain.fits());
  // Travel: 1.8, then 0.5 (back flip), 0.9 (hurdle) and 0.8 (front flip), all the same way.
  CHECK(chain.stops[0].end_x == doctest::Approx(1.8));
  CHECK(chain.stops[1].end_x == doctest::Approx(2.3));
  CHECK(chain.stops[2].end_x == doctest::Approx(3.2));
  CHECK(chain.stops[3].end_x == doctest::Approx(4.0));
  for (const ChainStop& stop : chain.stops) CHECK(stop.end_z == doctest::Approx(0).epsilon(1e-9));
  // Square to the mark on the front wall, back to it after the roundoff.
  CHECK(chain.stops[0].start_stance == "square");
  CHECK(chain.stops[0].end_stance == "back");
}

TEST_CASE("what goes the other way is a mismatch with a mend that mends it") {
  const ChainRun wrong = run_items({"roundoff", "front flip"});
  REQUIRE(wrong.joints.size() == 1);
  CHECK_FALSE(wrong.fits());
  REQUIRE(wrong.joints[0].mismatches.size() == 1);
  CHECK(wrong.joints[0].mismatches[0] ==
        "the roundoff carries on to the front wall, the front flip goes to the back wall");
  CHECK(wrong.joints[0].mends[0].find("half turn between") != std::string::npos);
  CHECK(run_items({"roundoff", "half turn going backward", "front flip"}).fits());
  CHECK(run_items({"roundoff", "back flip"}).fits());
}

TEST_CASE("feet run through, and one foot that is not the next one's is told") {
  const ChainRun wrong = run_items({"run", "gainer", "back flip"});
  // A gainer to the left leaves from the left foot; a run with a hurdle ends on both.
  REQUIRE(wrong.joints.size() == 2);
  CHECK(wrong.joints[0].mismatches[0] == "the run ends on both feet, the gainer leaves from the left foot");
  CHECK(run_items({"run", "step", "gainer"}).fits());  // a gainer goes on forward (common practice)
  const ChainRun other = run_items({"standing", "step:right", "gainer"});
  CHECK(other.joints[1].mismatches[0] == "the step ends on the right foot, the gainer leaves from the left");
  const ChainRun both = run_items({"standing", "step", "back flip"});
  CHECK(both.joints[1].mismatches[0] == "the step ends on the left foot, the back flip leaves from both");
}

TEST_CASE("a sideways skill after a forward one asks for a quarter turn") {
  // A butterfly to the left travels to the left of the chest (common practice).
  const ChainRun chain = run_items({"hop", "butterfly"});
  REQUIRE_FALSE(chain.joints[0].mismatches.empty());
  CHECK(chain.stops[1].enters_deg == 90);
  CHECK(chain.joints[0].mends.back() == "put a quarter turn left between");
}

TEST_CASE("surfaces do not change in the middle of a chain") {
  const ChainRun chain = run_items({"standing", "trampoline back", "back flip"});
  CHECK(chain.joints[1].mismatches.back() ==
        "the trampoline back is done on the trampoline, the back flip on the sprung floor");
}

TEST_CASE("a right twister runs the mirror image") {
  const std::vector<std::string> items{"roundoff", "back flip:270", "quarter turn", "butterfly:180", "step"};
  const ChainRun left = run_items(items), right = run_items(items, Side::right);
  for (std::size_t i = 0; i < items.size(); ++i) {
    CHECK(right.stops[i].turn_deg == -left.stops[i].turn_deg);
    const double heading = -left.stops[i].end_heading_deg;
    CHECK(right.stops[i].end_heading_deg == (heading == -180 ? 180 : heading));
    CHECK(right.stops[i].end_x == doctest::Approx(left.stops[i].end_x));
    CHECK(right.stops[i].end_z == doctest::Approx(-left.stops[i].end_z));
    CHECK(right.stops[i].end_feet == swap_sides(left.stops[i].end_feet));
  }
  for (std::size_t i = 0; i < left.joints.size(); ++i)
    CHECK(left.joints[i].mismatches.size() == right.joints[i].mismatches.size());
}

TEST_CASE("a chain turned as a whole turns every heading and path") {
  Plan plan = chain_of({"roundoff", "back flip:360", "step back", "gainer"});
  const ChainRun still = run(plan);
  plan.held_heading_deg = 90;
  const ChainRun turned = run(plan);
  for (std::size_t i = 0; i < still.stops.size(); ++i) {
    const double off = turned.stops[i].end_heading_deg - still.stops[i].end_heading_deg;
    CHECK(std::fmod(off + 720, 360) == 90);
    // (x, z) turned a quarter to the left is (z, -x).
    CHECK(turned.stops[i].end_x == doctest::Approx(still.stops[i].end_z).epsilon(1e-9));
    CHECK(turned.stops[i].end_z == doctest::Approx(-still.stops[i].end_x).epsilon(1e-9));
    CHECK(turned.stops[i].end_stance == still.stops[i].end_stance);
  }
}

TEST_CASE("the athlete is at every joint when it is said") {
  const ChainRun chain = run_items({"roundoff", "back flip:180", "hurdle", "front flip:180"});
  CHECK(chain_at(chain, -1).x == 0);
  double before = 0;
  for (std::size_t i = 0; i < chain.stops.size(); ++i) {
    const ChainStop& stop = chain.stops[i];
    CHECK(stop.start_s == doctest::Approx(before));
    before = stop.start_s + stop.duration_s;
    const ChainMoment start = chain_at(chain, stop.start_s);
    CHECK(start.stop == i);
    CHECK(start.x == doctest::Approx(stop.start_x));
    CHECK(start.heading_deg == stop.start_heading_deg);
    CHECK(chain_at(chain, stop.start_s + 0.5 * stop.duration_s).share == doctest::Approx(0.5));
  }
  CHECK(chain.duration() == doctest::Approx(before));
  const ChainMoment last = chain_at(chain, 1e9);
  CHECK(last.x == chain.stops.back().end_x);
  CHECK(last.heading_deg == chain.stops.back().end_heading_deg);
}

TEST_CASE("wrong chains are told by place") {
  const auto problem = [](const Plan& plan) {
    const Result<ChainRun> result =
        run_chain(plan, built_in_vocabulary(), built_in_links(), built_in_difficulty());
    REQUIRE_FALSE(result.ok());
    return result.problem();
  };
  Plan plan = chain_of({"standing", "back flop"});
  CHECK(problem(plan).place == "chain[1].skill");
  CHECK(problem(plan).text.find("back flip") != std::string::npos);
  plan.chain[1].skill = "back flip";
  plan.chain[1].twist_deg = 90.5;
  CHECK(problem(plan).place == "chain[1].twist_deg");
  plan.chain[0].link = "walking";
  CHECK(problem(plan).place == "chain[0].link");
  CHECK_FALSE(parse_chain_item("back flip:half", built_in_links()).ok());
}
