"""`halfturn ladder`: values every coach knows (common practice), shapes of the output, bad input, exit codes."""
import json
import os

from program import PROJECT, ProgramTest, halfturn, ladder, main


class Values(ProgramTest):
    def test_back_flip_to_double_full(self):
        rungs = ladder("back flip", 720, 180)
        self.assertEqual(len(rungs), 5)
        self.assertEqual([r["index"] for r in rungs], [0, 1, 2, 3, 4])
        self.assertEqual([r["landing"]["heading_deg"] for r in rungs], [0, 180, 0, 180, 0])
        self.assertEqual([r["name"] for r in rungs], ["back flip", "back half", "full", "full and a half", "double full"])
        self.assertEqual([r["landing"]["kind"] for r in rungs], ["sees floor", "blind"] * 2 + ["sees floor"])

    def test_mixed_list(self):
        rungs = ladder("back flip", 360, "180,90,90")
        self.assertEqual([r["landing"]["heading_deg"] for r in rungs], [0, 180, -90, 0])

    def test_one_degree_ladder_is_exact(self):
        rungs = ladder("back flip", 720, 1)
        self.assertEqual(len(rungs), 721)
        for degree, rung in enumerate(rungs):
            expected = degree % 360
            expected -= 360 if expected > 180 else 0
            self.assertEqual(rung["landing"]["heading_deg"], expected)
            self.assertEqual(rung["twist_deg"], degree)

    def test_kicks(self):
        rungs = ladder("cheat kick", 1080, 180)
        self.assertEqual([r["start"]["heading_deg"] for r in rungs], [0, 180, 0, 180, 0])
        self.assertEqual([r["start"]["stance"] for r in rungs], ["right lead", "left lead"] * 2 + ["right lead"])
        self.assertEqual({r["landing"]["heading_deg"] for r in rungs}, {0})
        nine_hundred = rungs[3]
        self.assertEqual([abs(f["turn_deg"]) for f in nine_hundred["forms"]], [900, 720, 1080])
        self.assertEqual(len({(f["kick"]["leg"], f["landing_feet"]) for f in nine_hundred["forms"]}), 1)

    def test_right_is_the_mirror(self):
        for base, to in (("back flip", 720), ("butterfly", 540), ("cheat kick", 1080), ("aerial", 360)):
            left = ladder(base, to, 90)
            right = ladder(base, to, 90, "--side", "right")
            for a, b in zip(left, right):
                self.assertEqual(a["twist_deg"], -b["twist_deg"])
                h, m = a["landing"]["heading_deg"], b["landing"]["heading_deg"]
                self.assertTrue(h == -m or h == m == 180)
                self.assertEqual(a["name"], b["name"])

    def test_target_at_the_first_rung_is_one_rung(self):
        self.assertEqual(len(ladder("back flip", 0)), 1)
        self.assertEqual(len(ladder("cheat kick", 360)), 1)

    def test_last_step_is_cut(self):
        self.assertEqual([r["twist_deg"] for r in ladder("back flip", 400, 180)], [0, 180, 360, 400])

    def test_headings_and_walls(self):
        rungs = ladder("back flip", 180, 90, "--start-heading", "90")
        self.assertEqual([r["landing"]["heading_deg"] for r in rungs], [90, 180, -90])
        kicks = ladder("cheat kick", 540, 180, "--landing-heading", "-90")
        self.assertEqual([r["start"]["heading_deg"] for r in kicks], [-90, 90])

    def test_takeoff_swap_inside_a_ladder(self):
        rungs = ladder("back flip", 360, "360,takeoff=one leg swinging through")
        self.assertEqual([r["name"] for r in rungs], ["back flip", "full", "corkscrew"])
        self.assertEqual(rungs[2]["incline_deg"], 32)


class Plans(ProgramTest):
    def test_plan_written_reads_back_to_the_same_ladder(self):
        path = self.folder / "plan.json"
        made = halfturn("ladder", "--base", "gainer", "--to", 720, "--step", 90, "--side", "right", "-o", path, "--json")
        again = halfturn("ladder", path, "--json")
        self.assertEqual(made.stdout, again.stdout)
        self.assertEqual(os.listdir(self.folder), ["plan.json"])

    def test_human_output_names_walls_and_cautions(self):
        result = halfturn("ladder", "--demo")
        self.assertEqual(result.returncode, 0)
        self.assertIn("You face the back wall.", result.stdout)
        self.assertIn("qualified coach", result.stdout)


class Simulated(ProgramTest):
    """With an athlete every rung is flown: facts of a model, in the ranges of published values and trade practice."""

    def athlete(self, **changes):
        path = self.folder / "athlete.json"
        adult = {"format": "halfturn-athlete", "version": 1, "height_m": 1.70, "mass_kg": 65, "segment_table": "male",
                 "twisting_side": "left"}
        path.write_text(json.dumps(adult | changes))
        return path

    def fly(self, code, base, to, *more, **changes):
        result = halfturn("ladder", "--base", base, "--to", to, *more, "--athlete", self.athlete(**changes), "--json")
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertEqual(result.stderr, "")
        return json.loads(result.stdout)["rungs"]

    def test_an_average_adult_up_to_the_full(self):
        rungs = self.fly(0, "back flip", 360, "--step", 180)
        for rung in rungs:
            s = rung["simulation"]
            self.assertEqual(s["flight"], "simulated")
            self.assertTrue(s["feasible"])
            self.assertEqual(s["shortfalls"], [])
            self.assertEqual(rung["air_time_from"], "simulation")
            self.assertEqual(rung["air_time_needed_s"], s["air_time_needed_s"])
            self.assertIsNone(rung["air_time_margin_s"])
            # Adults' somersaults: 30 to 130 kg m2/s (single tucked to double straight, common practice).
            self.assertTrue(30 < s["momentum_needed_kgm2_s"] < 130)
            self.assertLess(abs(s["heading_error_deg"]), 3)
            self.assertTrue(0 < s["opening_time_s"] < s["air_time_s"])
        # A full in one somersault turns at 1 to 3 turns a second at its quickest (common practice).
        self.assertTrue(1 < rungs[2]["simulation"]["peak_twist_rate_rev_s"] < 3)
        self.assertEqual(rungs[0]["simulation"]["arms"], [])
        moves = rungs[2]["simulation"]["arms"]
        self.assertEqual(sorted((m["arm"], m["move"]) for m in moves),
                         [("left", "in"), ("left", "out"), ("right", "in"), ("right", "out")])
        # The finish is told from the same flight.
        lines = rungs[2]["finish"]["lines"]
        for move in moves:
            words = ("Bring in" if move["move"] == "in" else "Take out") + f" your {move['arm']} arm"
            self.assertTrue(any(line["text"].startswith(words) and line["time_s"] == move["time_s"] for line in lines))

    def test_a_jump_too_low_is_a_no_and_says_why(self):
        low = self.fly(1, "back flip", 360, "--step", 360, air_time_s=0.65)
        margins = [r["air_time_margin_s"] for r in low]
        self.assertGreater(margins[0], 0)
        self.assertLess(margins[1], 0)
        full = low[1]["simulation"]
        self.assertEqual(full["flight"], "drawn")
        self.assertFalse(full["feasible"])
        self.assertIn("air time: ", full["shortfalls"][0])
        self.assertIn("measured 0.65 s", full["shortfalls"][0])
        self.assertTrue(any("angular momentum" in sentence for sentence in full["shortfalls"]))
        self.assertGreater(full["momentum_needed_kgm2_s"], full["momentum_available_kgm2_s"])
        # The same athlete with a good jump.
        high = self.fly(0, "back flip", 360, "--step", 360, air_time_s=1.0)
        self.assertAlmostEqual(high[1]["air_time_margin_s"], 1.0 - high[1]["air_time_needed_s"], places=12)

    def test_an_air_time_of_another_surface_is_not_used(self):
        rungs = self.fly(0, "back flip", 0, air_time_s=1.4, surface="trampoline")
        self.assertIsNone(rungs[0]["air_time_margin_s"])
        self.assertFalse(rungs[0]["simulation"]["air_time_is_measured"])

    def test_a_heavier_body_needs_more_momentum(self):
        light = self.fly(0, "back flip", 0, mass_kg=50)[0]["simulation"]
        heavy = self.fly(0, "back flip", 0, mass_kg=100)[0]["simulation"]
        # Inertia scales with mass at one height, and so does the momentum of the same flight.
        self.assertAlmostEqual(heavy["momentum_needed_kgm2_s"] / light["momentum_needed_kgm2_s"], 2, places=3)

    def test_right_is_the_mirror(self):
        left = self.fly(0, "back flip", 180)[1]["simulation"]
        right = self.fly(0, "back flip", 180, "--side", "right")[1]["simulation"]
        self.assertEqual(left["momentum_needed_kgm2_s"], right["momentum_needed_kgm2_s"])
        self.assertEqual(left["landing_twist_rate_deg_s"], -right["landing_twist_rate_deg_s"])
        self.assertNotEqual([m["arm"] for m in left["arms"]], [m["arm"] for m in right["arms"]])

    def test_words_for_a_person(self):
        result = halfturn("ladder", "--base", "back flip", "--to", 360, "--athlete", self.athlete(air_time_s=0.65))
        self.assertEqual(result.returncode, 1, result.stderr)
        self.assertIn("short: air time: ", result.stdout)
        self.assertIn("estimate", result.stdout)

    def test_bad_athletes(self):
        base = ("ladder", "--base", "back flip", "--to", 360, "--athlete")
        self.refused(2, "athlete.json: height_m: ", *base, self.athlete(height_m=9))
        self.refused(2, "cannot be opened", *base, self.folder / "nobody.json")


class BadInput(ProgramTest):
    def test_command_line(self):
        base = ("ladder", "--base", "back flip")
        self.refused(2, "did you mean back flip", "ladder", "--base", "bakc flip", "--to", 720)
        for step in ("0", "-5", "361", "nan", "22.5", "", "180,,90", "x"):
            self.refused(2, "--step", *base, "--to", 720, "--step", step)
        for to in ("-1", "1441", "nan", "inf", "1e999", "720x"):
            self.refused(2, "--to", *base, "--to", to)
        self.refused(2, "--to", "ladder", "--base", "cheat kick", "--to", 180)
        self.refused(2, "--landing-heading", *base, "--to", 360, "--landing-heading", 90)
        self.refused(2, "--start-heading", "ladder", "--base", "cheat kick", "--to", 540, "--start-heading", 0)
        self.refused(2, "--step", *base, "--to", 360, "--step", "180,90")
        self.refused(2, "--takeoff", *base, "--to", 360, "--takeoff", "cannon")
        self.refused(2, "--side", *base, "--to", 360, "--side", "up")
        self.refused(2, "--cycle", *base, "--to", 360, "--cycle", "1999")
        self.refused(2, "--air-time", *base, "--to", 360, "--air-time", "-1")
        self.refused(2, "", "ladder", "--nonsense")
        self.refused(2, "", "nonsense")

    def plan(self, text):
        path = self.folder / "plan.json"
        path.write_text(text)
        return path

    def test_plan_files(self):
        good = '{"format":"halfturn-plan","version":1,"base":"back flip","rungs":[{},{"step_deg":180}]}'
        self.assertEqual(halfturn("ladder", self.plan(good)).returncode, 0)
        self.refused(2, "cut off", "ladder", self.plan(good[:50]))
        self.refused(2, "plan.json: version: ", "ladder", self.plan(good.replace('"version":1', '"version":7')))
        self.refused(2, 'unknown key "basis"', "ladder", self.plan(good.replace('"base"', '"basis"')))
        self.refused(2, "plan.json: rungs[1].step_deg: ", "ladder", self.plan(good.replace("180", "500")))
        self.refused(2, "plan.json: base: ", "ladder", self.plan(good.replace("back flip", "moon flip")))
        self.refused(2, "cannot be opened", "ladder", self.folder / "none.json")
        self.refused(2, "is a folder", "ladder", self.folder)

    def test_huge_plan_is_refused_unread(self):
        path = self.folder / "huge.json"
        with open(path, "wb") as file:
            file.truncate(100 << 20)
        self.refused(2, "is larger than 8 MB", "ladder", path)

    def test_unwritable_folder(self):
        self.refused(3, "cannot be written", "ladder", "--demo", "-o", self.folder / "missing" / "plan.json")

    def test_full_output_is_reported(self):
        with open("/dev/full", "w") as full:
            import subprocess

            from program import BINARY

            result = subprocess.run([BINARY, "ladder", "--demo"], stdout=full, stderr=subprocess.PIPE, text=True)
        self.assertEqual(result.returncode, 3)

    def test_short_of_air_is_a_no(self):
        self.assertEqual(halfturn("ladder", "--base", "back flip", "--to", 720, "--air-time", "0.7").returncode, 1)
        self.assertEqual(halfturn("ladder", "--base", "back flip", "--to", 720, "--air-time", "1.2").returncode, 0)

    def test_own_vocabulary(self):
        path = self.folder / "own.json"
        skills = json.loads((PROJECT / "assets" / "vocabulary.json").read_text())
        own = skills["skills"][1] | {"name": "wall flip", "aliases": []}
        path.write_text(json.dumps({"format": "halfturn-vocabulary", "version": 1, "skills": [own]}))
        result = halfturn("ladder", "--base", "wall flip", "--to", 360, "--vocabulary", path)
        self.assertEqual(result.returncode, 0, result.stderr)
        own["shape"] = "banana"
        path.write_text(json.dumps({"format": "halfturn-vocabulary", "version": 1, "skills": [own]}))
        self.refused(2, 'skills[0].shapes: must contain the default "banana"', "ladder", "--base", "wall flip", "--to", 360,
                     "--vocabulary", path)


main()
