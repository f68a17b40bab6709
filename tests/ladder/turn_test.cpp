// A session begins with a re-check of the base and of the last passed rung (the project's own rule).
#include "ladder/turn.hpp"

#include "plans.hpp"

using namespace halfturn;

namespace {

AttemptRecord attempt(const Ladder& ladder, std::size_t rung,
                      AttemptOutcome outcome = AttemptOutcome::in_hand) {
  AttemptRecord a;
  a.rung = rung_key(ladder, rung);
  a.outcome = outcome;
  a.heading_error_deg = 0;
  return a;
}

}  // namespace

TEST_CASE("an athlete who begins works on the base at once") {
  const Ladder ladder = test::ladder("back flip", 360, 90);
  const Turn turn = next_turn(ladder, gates(ladder, {}), {});
  CHECK(turn.rung == 0);
  CHECK_FALSE(turn.recheck);
}

TEST_CASE("base, last passed rung, then the rung that the gate suggests") {
  const Ladder ladder = test::ladder("back flip", 360, 90);
  std::vector<AttemptRecord> all;
  for (const std::size_t rung : {0u, 1u, 2u}) {
    for (int i = 0; i < 3; ++i) all.push_back(attempt(ladder, rung));
  }
  std::vector<AttemptRecord> today;
  const auto turn = [&] { return next_turn(ladder, gates(ladder, all), today); };
  const auto log = [&](std::size_t rung, AttemptOutcome outcome = AttemptOutcome::in_hand) {
    all.push_back(attempt(ladder, rung, outcome));
    today.push_back(all.back());
  };
  CHECK(turn().rung == 0);
  CHECK(turn().recheck);
  log(0, AttemptOutcome::controlled);  // nothing in hand: not yet
  CHECK(turn().rung == 0);
  log(0);
  CHECK(turn().rung == 2);
  CHECK(turn().recheck);
  log(2);
  CHECK(turn().rung == 3);
  CHECK_FALSE(turn().recheck);
  CHECK(turn().attempts == 3);
  for (int i = 0; i < 9; ++i) {
    CHECK_FALSE(turn().at_cap);
    log(3, AttemptOutcome::controlled);
  }
  CHECK(turn().at_cap);
}
