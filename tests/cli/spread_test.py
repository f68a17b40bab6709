"""`halfturn spread`: how a rung lands when takeoffs vary."""
import json
import random

from program import ProgramTest, halfturn, main


class Spread(ProgramTest):
    def plan(self, base="back flip", steps=(180, 180)):
        path = self.folder / "plan.json"
        path.write_text(json.dumps({"format": "halfturn-plan", "version": 1, "base": base,
                                    "rungs": [{}] + [{"step_deg": s} for s in steps]}))
        return path

    def spread(self, code, *arguments):
        result = halfturn("spread", *arguments, "--json")
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertEqual(result.stderr, "")
        return json.loads(result.stdout)

    def test_same_seed_same_answer_on_any_number_of_threads(self):
        arguments = (self.plan(), "--rung", 1, "--flights", 20000, "--seed", 9)
        one = halfturn("spread", *arguments, "--threads", 1, "--json").stdout
        self.assertEqual(one, halfturn("spread", *arguments, "--threads", 3, "--json").stdout)
        other = halfturn("spread", self.plan(), "--rung", 1, "--flights", 20000, "--seed", 10, "--json").stdout
        self.assertNotEqual(one, other)

    def test_counts_and_their_interval(self):
        answer = self.spread(0, self.plan(), "--rung", 2, "--flights", 10000)
        landings = answer["landings"]
        self.assertEqual(landings["flights"], 10000)
        self.assertEqual(sum(landings["upright_bins"]["counts"]), 10000)
        self.assertEqual(sum(landings["heading_bins"]["counts"]) + landings["without_heading"], 10000)
        share, (low, high) = landings["share"], landings["interval"]
        self.assertEqual(share, landings["controlled"] / 10000)
        # Score interval by hand (Wilson 1927).
        z, n = 1.959963984540054, 10000
        centre = (share + z * z / (2 * n)) / (1 + z * z / n)
        half = z / (1 + z * z / n) * (share * (1 - share) / n + z * z / (4 * n * n)) ** 0.5
        self.assertAlmostEqual(low, centre - half, places=12)
        self.assertAlmostEqual(high, centre + half, places=12)
        self.assertEqual(answer["note"], "model estimate")
        self.assertEqual(len(landings["sensitivity"]), 5)
        # A full that an athlete has the air for is landed more often than not, and not always.
        self.assertTrue(0.5 < share < 1)
        # The gate's own tolerance: half a step of 180 degrees is more than 30.
        self.assertAlmostEqual(landings["heading_tolerance_deg"], 30)

    def test_without_errors_all_land(self):
        none = ("--air-time-sd", 0, "--momentum-sd", 0, "--direction-sd", 0, "--timing-sd", 0)
        landings = self.spread(0, self.plan(), "--rung", 1, "--flights", 100, *none)["landings"]
        self.assertEqual(landings["controlled"], 100)
        wide = self.spread(0, self.plan(), "--rung", 1, "--flights", 4000, "--momentum-sd", 0.2)["landings"]
        self.assertLess(wide["share"], 0.8)

    def test_the_next_step_gets_smaller_as_more_is_asked(self):
        plan = self.plan()
        easy = self.spread(0, plan, "--rung", 0, "--flights", 1000, "--threshold", 0.2)["next_step"]
        self.assertIsNotNone(easy)
        impossible = self.spread(0, plan, "--rung", 0, "--flights", 1000, "--threshold", 1)["next_step"]
        self.assertIsNone(impossible)
        for step in (easy,):
            self.assertGreaterEqual(step["interval"][0], 0.2)

    def test_nobody_moves_on_from_a_rung_that_is_not_controlled(self):
        answer = self.spread(0, self.plan(), "--rung", 2, "--flights", 4000, "--momentum-sd", 0.2)
        self.assertLess(answer["landings"]["share"], 0.8)
        self.assertIsNone(answer["next_step"])
        text = halfturn("spread", self.plan(), "--rung", 2, "--flights", 4000, "--momentum-sd", 0.2).stdout
        self.assertIn("no next step yet: the full itself is not controlled 80 % of the time", text)

    def test_the_spread_is_fitted_from_the_logbook(self):
        """Air times and headings drawn here with known deviations: the air time comes back, the turn as a factor."""
        plan, book = self.plan(), self.folder / "club.db"
        luck = random.Random(26)
        self.assertEqual(halfturn("athlete", "add", "Ana", "--plan", plan, "--logbook", book).returncode, 0)
        arguments = (plan, "--rung", 1, "--flights", 2000, "--logbook", book, "--athlete-name", "Ana")
        empty = self.spread(0, *arguments)
        self.assertEqual(empty["assumed"]["source"], "default")
        self.assertIsNone(empty["fit"]["air_time_s"])
        self.assertIn("average adult", empty["body"])
        default = self.spread(0, plan, "--rung", 1, "--flights", 2000)
        self.assertEqual(empty["landings"], default["landings"])

        def log(count):
            table = self.folder / "attempts.csv"
            with open(table, "w") as file:
                file.write("athlete,time,session,skill,twist_deg,side,takeoff,surface,outcome,heading_error_deg,heading_by,"
                           "air_time_s\n")
                for i in range(count):
                    file.write(f"Ana,2026-03-{1 + i // 24:02}T{i % 24:02}:00:00Z,s,back flip,180,left,both feet,"
                               f"sprung floor,in hand,{luck.gauss(0, 25):.1f},measurement,{luck.gauss(0.85, 0.045):.4f}\n")
            done = halfturn("attempt", "import", table, "--logbook", book)
            self.assertEqual(done.returncode, 0, done.stderr)
        log(19)
        self.assertIn("19 of 20 air times", self.spread(0, *arguments)["assumed"]["source"])
        log(60)
        fitted = self.spread(0, *arguments)
        self.assertEqual(fitted["assumed"]["source"], "air time fitted from 79 attempts, turn fitted from 79 attempts")
        # A deviation of 79 values is known within 8 percent; three of those.
        self.assertAlmostEqual(fitted["assumed"]["air_time_s"], 0.045, delta=0.045 * 0.24)
        scale = fitted["fit"]["turn_scale"]
        self.assertLess(scale["interval"][0], scale["value"])
        self.assertGreater(scale["interval"][1], scale["value"])
        self.assertAlmostEqual(fitted["assumed"]["momentum_share"], 0.03 * scale["value"], places=9)
        # The model now lands as the attempts did.
        self.assertAlmostEqual(fitted["landings"]["heading_error_deg"]["deviation"], 25, delta=25 * 0.24)
        self.assertIn("spread: air time fitted from 79 attempts", halfturn("spread", *arguments).stdout)
        self.refused(2, "--momentum-sd", "spread", *arguments, "--momentum-sd", 0.02)
        self.refused(2, "nobody", "spread", plan, "--rung", 1, "--logbook", book, "--athlete-name", "nobody")
        self.refused(2, "--athlete-name", "spread", plan, "--rung", 1, "--logbook", book)

    def test_no_flight_is_a_no(self):
        low = self.folder / "low.json"
        low.write_text(json.dumps({"format": "halfturn-athlete", "version": 1, "height_m": 1.7, "mass_kg": 65,
                                   "segment_table": "male", "twisting_side": "left", "air_time_s": 0.5}))
        answer = self.spread(1, self.plan(), "--rung", 2, "--athlete", low)
        self.assertFalse(answer["feasible"])
        self.assertIsNone(answer["landings"])
        self.assertTrue(any("air time" in sentence for sentence in answer["shortfalls"]))

    def test_words_and_bad_input(self):
        result = halfturn("spread", "--demo", "--rung", 0, "--flights", 1000)
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertIn("a model estimate", result.stdout)
        self.assertIn("most sensitive to: ", result.stdout)
        self.refused(2, "--rung", "spread", self.plan(), "--rung", 7)
        self.refused(2, "--momentum-sd", "spread", self.plan(), "--rung", 1, "--momentum-sd", "-1")
        self.refused(2, "--seed", "spread", self.plan(), "--rung", 1, "--seed", "x")
        self.refused(2, "plan", "spread", "--rung", 1)


main()
