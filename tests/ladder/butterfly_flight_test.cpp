#include <doctest/doctest.h>

#include "format/shape_file.hpp"
#include "ladder/rung_simulation.hpp"
#include "plans.hpp"

using namespace halfturn;

// Butterfly twists are done out of a run on a sprung floor with about 0.6 s of air, and turn out on the
// landing foot (common practice): an average adult is told so, and told that the turn is not stopped in the
// air.
TEST_CASE("butterfly twists come down as planned and say what is left to turn on the foot") {
  const Ladder ladder = test::ladder("butterfly", 540, 180);
  const Flyer flyer = make_flyer(Athlete{}, embedded_shapes());
  for (std::size_t k = 1; k < ladder.rungs.size(); ++k) {
    const RungSimulation s = simulate_rung(ladder, k, flyer);
    INFO(ladder.rungs[k].title);
    REQUIRE(flies_simulated(s));
    REQUIRE(s.air_time_needed_s.has_value());
    CHECK(*s.air_time_needed_s > 0.4);
    CHECK(*s.air_time_needed_s < 0.65);
    const SolvedNumbers& n = s.solved.numbers;
    CHECK(n.landing_angle_deg <= n.planned_landing_angle_deg + 12);
    CHECK(n.landing_twist_rate_deg > 120);
    bool told = false;
    for (const std::string& caution : s.solved.feasibility.cautions)
      told = told || caution.find("turned out on the foot") != std::string::npos;
    CHECK(told);
  }
}
