"""A whole invented season through the commands; its gates against the same rules written a second time, in Python."""
import csv
import json
import subprocess
import sys

from program import BINARY, PROJECT, ProgramTest, halfturn, main


def gates(rows, step, rungs):
    """Plain rules for steps of 90 and 180 by eye: per rung the row, whether it is passed, crashes, and open crashes."""
    state = [{"row": 0, "misses": 0, "passed": False, "crashes": 0, "open": False, "below": 0} for _ in range(rungs)]
    for row in rows:
        rung = int(float(row["twist_deg"])) // step
        me = state[rung]
        error = None if row["heading_error_deg"] == "" else abs(float(row["heading_error_deg"]))
        off = error is not None and error > 30  # half of 90 and of 180 is more than 30
        outcome = row["outcome"]
        if outcome == "planned stop" and not off:
            continue
        if outcome == "fall":
            me.update(row=0, misses=0, passed=False, crashes=me["crashes"] + 1, open=True, below=0)
            good = False
        elif outcome in ("in hand", "controlled") and not off:
            good = outcome == "in hand" and error is not None
            me.update(row=me["row"] + 1 if good else 0, misses=0)
            if me["row"] >= 3:
                me.update(passed=True, open=False)
        else:
            good = False
            me.update(row=0, misses=me["misses"] + 1)
            if me["misses"] >= 2:
                me["passed"] = False
        if rung + 1 < rungs and state[rung + 1]["open"]:
            above = state[rung + 1]
            above["below"] = above["below"] + 1 if good else 0
            if above["below"] >= 3:
                above["open"] = False
    return state


class Season(ProgramTest):
    def test_season(self):
        script = PROJECT / "assets" / "demo" / "make_season.py"
        made = subprocess.run([sys.executable, script, self.folder, "--halfturn", BINARY], capture_output=True, text=True)
        self.assertEqual(made.returncode, 0, made.stderr)
        book = self.folder / "season.db"
        rows = list(csv.DictReader(open(self.folder / "season.csv")))
        self.assertGreater(len(rows), 5000)
        self.assertEqual(len({row["session"] for row in rows}), 40)
        listed = json.loads(halfturn("athlete", "list", "--logbook", book, "--json").stdout)["athletes"]
        self.assertEqual(len(listed), 20)
        self.assertEqual(sum(athlete["attempts"] for athlete in listed), len(rows))
        passed = splits = backs = 0
        for athlete in listed:
            mine = [row for row in rows if row["athlete"] == athlete["name"]]
            result = halfturn("progress", athlete["name"], "--logbook", book, "--json")
            self.assertEqual(result.returncode, 0, result.stderr)
            found = json.loads(result.stdout)["rungs"]
            step = int(found[1]["twist_deg"])
            for rung, (mine_is, answer) in enumerate(zip(gates(mine, step, len(found)), found)):
                gate = answer["gate"]
                with self.subTest(athlete=athlete["name"], rung=rung):
                    self.assertEqual(gate["controlled_in_a_row"], mine_is["row"])
                    self.assertEqual(gate["misses_in_a_row"], mine_is["misses"])
                    self.assertEqual(gate["passed"], mine_is["passed"])
                    self.assertEqual(gate["crashes"], mine_is["crashes"])
                    self.assertEqual(gate["suggestion"] == "back" and gate["reason"].startswith("a crash"), mine_is["open"])
                    self.assertEqual(answer["crashes"], mine_is["crashes"])
                passed += gate["passed"]
                splits += gate["suggestion"] == "split"
                backs += gate["suggestion"] == "back"
        # The season has every kind of answer in it.
        self.assertGreater(passed, 20)
        self.assertGreater(splits, 0)
        self.assertGreater(backs, 0)


main()
