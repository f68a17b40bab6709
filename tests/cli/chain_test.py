"""halfturn chain, and the finish of a ladder: the real binary, its words, JSON, exit codes and files."""
import json

from program import ProgramTest, halfturn, main


class Chains(ProgramTest):
    def test_worked_chain(self):
        # Roundoff: half round. Back half: half left again. Worked by hand: 180, then 0.
        run = halfturn("chain", "roundoff", "back flip:180", "hurdle", "front flip:180", "--json")
        self.assertEqual(run.returncode, 0, run.stderr)
        chain = json.loads(run.stdout)
        self.assertEqual([s["end"]["heading_deg"] for s in chain["stops"]], [180, 0, 0, 180])
        self.assertTrue(chain["fits"])
        self.assertEqual(len(chain["joints"]), 3)

    def test_mismatch_is_the_answer_no(self):
        run = halfturn("chain", "roundoff", "front flip")
        self.assertEqual(run.returncode, 1)
        self.assertIn("does not fit: the roundoff carries on to the front wall", run.stdout)
        self.assertIn("to mend it: put a half turn between", run.stdout)

    def test_written_and_read_again(self):
        path = self.folder / "chain.json"
        first = halfturn("chain", "run", "back flip:360:right", "--side", "left", "-o", path, "--json")
        again = halfturn("chain", "--plan", path, "--json")
        self.assertEqual(first.stdout, again.stdout)
        plan = json.loads(path.read_text())
        self.assertEqual(plan["chain"], [{"link": "run"}, {"skill": "back flip", "twist_deg": 360, "side": "right"}])

    def test_bad_input(self):
        for words, place in ((["back flop"], "chain[0].skill"), (["back flip:x"], "chain"), ([], "chain")):
            with self.subTest(words=words):
                run = halfturn("chain", *words)
                self.assertEqual(run.returncode, 2)
                self.assertIn(place, run.stderr)
                self.assertEqual(run.stdout, "")

    def test_list(self):
        run = halfturn("chain", "--list")
        self.assertEqual(run.returncode, 0)
        self.assertIn("roundoff", run.stdout)


class Finishes(ProgramTest):
    def test_json(self):
        run = halfturn("ladder", "--base", "back flip", "--to", 360, "--step", 180, "--json")
        rungs = json.loads(run.stdout)["rungs"]
        for rung in rungs:
            lines = rung["finish"]["lines"]
            self.assertTrue({"in the air", "on the feet", "the way out", "mats and spotter"} <= {l["part"] for l in lines})
            for line in lines:
                self.assertTrue(line["time_s"] is None or 0 <= line["time_s"] <= 1.5)
        # Half left: back wall. A quarter less: left wall.
        half = {l["part"]: l["text"] for l in rungs[1]["finish"]["lines"]}
        self.assertIn("you face the left wall", half["if it is short"])
        # A full sees the floor before it lands (common practice).
        self.assertGreater(rungs[2]["finish"]["floor_seen_s"][-1][1], 0.7)

    def test_words(self):
        run = halfturn("ladder", "--base", "back flip", "--to", 180, "--finish")
        self.assertEqual(run.returncode, 0)
        self.assertIn("how to finish", run.stdout)
        self.assertIn("Flipped too far, you fall forward", run.stdout)


main()
