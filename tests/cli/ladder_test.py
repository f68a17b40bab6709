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
