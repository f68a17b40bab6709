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
    def compare(self, book, rows, plans):
        """Every gate of every athlete; the number of passes, splits and steps back among them."""
        seen = {"move on": 0, "split": 0, "back": 0}
        for name, plan in plans.items():
            mine = [row for row in rows if row["athlete"] == name]
            if not mine:
                continue
            result = halfturn("progress", name, "--plan", plan, "--logbook", book, "--json")
            self.assertEqual(result.returncode, 0, result.stderr)
            found = json.loads(result.stdout)["rungs"]
            step = int(found[1]["twist_deg"])
            for rung, (expected, answer) in enumerate(zip(gates(mine, step, len(found)), found)):
                gate = answer["gate"]
                with self.subTest(athlete=name, rung=rung):
                    self.assertEqual(gate["controlled_in_a_row"], expected["row"])
                    self.assertEqual(gate["misses_in_a_row"], expected["misses"])
                    self.assertEqual(gate["passed"], expected["passed"])
                    self.assertEqual(gate["crashes"], expected["crashes"])
                    self.assertEqual(gate["reason"].startswith("a crash"), expected["open"])
                    if not expected["open"] and rung > 0:
                        self.assertEqual(gate["suggestion"] == "split", expected["misses"] >= 2)
                    self.assertEqual(answer["crashes"], expected["crashes"])
                seen[gate["suggestion"]] = seen.get(gate["suggestion"], 0) + 1
        return seen

    def test_season(self):
        script = PROJECT / "assets" / "demo" / "make_season.py"
        made = subprocess.run([sys.executable, script, self.folder, "--halfturn", BINARY], capture_output=True, text=True)
        self.assertEqual(made.returncode, 0, made.stderr)
        book = self.folder / "season.db"
        with open(self.folder / "season.csv", newline="") as file:
            rows = list(csv.DictReader(file))
        self.assertGreater(len(rows), 5000)
        self.assertEqual(len({row["session"] for row in rows}), 40)
        listed = json.loads(halfturn("athlete", "list", "--logbook", book, "--json").stdout)["athletes"]
        self.assertEqual(len(listed), 20)
        self.assertEqual(sum(athlete["attempts"] for athlete in listed), len(rows))
        plans = {}
        for athlete in listed:
            title = json.loads(halfturn("athlete", "show", athlete["name"], "--logbook", book, "--json").stdout)["plans"][0]
            target = 720 if title.endswith("720") else 360
            surfaces = {row["surface"] for row in rows if row["athlete"] == athlete["name"]}
            ladder = "double full" if target == 720 else "trampoline full" if surfaces == {"trampoline"} else "full"
            plans[athlete["name"]] = self.folder / f"{ladder}, {athlete['twisting_side']}.json"
        all_seen = self.compare(book, rows, plans)
        # The season as it stood after two sessions: everybody is still on the way.
        early = rows[: len(rows) // 20]
        table = self.folder / "early.csv"
        with open(table, "w", newline="") as file:
            writer = csv.DictWriter(file, fieldnames=list(rows[0]))
            writer.writeheader()
            writer.writerows(early)
        early_book = self.folder / "early.db"
        halfturn("attempt", "import", table, "--add-athletes", "--logbook", early_book)
        early_seen = self.compare(early_book, early, plans)
        # There is every kind of answer in it.
        self.assertGreater(all_seen["move on"], 20)
        for kind in ("split", "back"):
            self.assertGreater(all_seen[kind] + early_seen[kind], 0, kind)


main()
