"""A class logged in the real window: two taps, two keys, undo, absent; killed at once after a tap, nothing is lost."""
import json
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

from window_test import PROGRAM, Display, Viewer


class BoardTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.home = folder.name
        self.display = Display()
        self.addCleanup(self.display.close)
        self.book = pathlib.Path(self.home) / "club.db"
        plan = pathlib.Path(self.home) / "plan.json"
        self.run_program("ladder", "--base", "back flip", "--to", 360, "--step", 180, "-o", plan)
        for number in range(self.people()):
            self.run_program("athlete", "add", f"A{number:02}", "--plan", plan, "--logbook", self.book)
        self.viewer = self.open_viewer()
        self.addCleanup(lambda: self.viewer.close())

    def people(self):
        return 14

    def open_viewer(self):
        return Viewer(self.display, self.home, "--logbook", str(self.book))

    def run_program(self, *words):
        done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def attempts(self):
        return json.loads(self.run_program("attempt", "list", "--logbook", self.book, "--json"))["attempts"]

    def said(self, words):
        self.viewer.wait(lambda s: any(w["name"] == "board/last" and words in w["label"] for w in s["widgets"]), words)

    def label(self, name):
        return self.viewer.widget(name)["label"]

    def test_a_class(self):
        viewer = self.viewer
        viewer.key("b")
        self.assertEqual(self.label("board/name"), "A00")
        viewer.click("tap/in hand")
        viewer.click("tap/15 short")
        self.said("A00, back flip: in hand, 15 short")
        found = self.attempts()
        self.assertEqual([(a["athlete"], a["outcome"], a["heading_error_deg"]) for a in found], [("A00", "in hand", -15)])
        # Two keys; a fall takes one and is counted where everybody sees it.
        self.assertEqual(self.label("board/name"), "A01")
        viewer.key("1")
        viewer.key("4")
        self.said("A01, back flip: in hand, on plan")
        viewer.key("5")
        self.said("A02, back flip: fall")
        self.assertEqual(self.label("board/crashes"), "crashes 1 (the aim is 0)")
        viewer.key("BackSpace")
        self.said("undone: A02, fall")
        self.assertEqual(self.label("board/crashes"), "crashes 0 (the aim is 0)")
        self.assertEqual(len(self.attempts()), 2)
        # Twelve places; who is absent makes room for the thirteenth.
        viewer.click("board/absent")
        viewer.wait(lambda s: any(w["name"] == "place/11" and w["label"] == "A12" for w in s["widgets"]), "A12 on the board")
        self.assertEqual(self.label("board/name"), "A03")
        # Killed the moment the words say it is logged.
        viewer.key("1")
        viewer.key("4")
        self.said("A03, back flip: in hand, on plan")
        viewer.process.kill()
        viewer.process.wait()
        self.assertEqual([a["athlete"] for a in self.attempts()], ["A00", "A01", "A03"])
        viewer.process.stderr.close()
        self.viewer = Viewer(self.display, self.home, "--logbook", str(self.book))
        self.viewer.key("b")
        self.viewer.wait(lambda s: any(w["name"] == "place/2" and w["label"] == "A03" for w in s["widgets"]), "A02 still absent")


class NoBackupTest(BoardTest):
    """The backup of the day cannot be made: said after every change, and every change is kept."""

    def people(self):
        return 2

    def open_viewer(self):
        backups = pathlib.Path(str(self.book) + ".backups")
        if backups.exists():
            shutil.rmtree(backups)
        backups.write_text("a file where the folder should be")
        return super().open_viewer()

    def test_a_class(self):
        viewer = self.viewer
        told = "kept, but the backup of today could not be made"
        viewer.key("b")
        viewer.key("5")
        viewer.wait(lambda s: s["notice"].startswith("A00, back flip: fall; " + told), "the missing backup after an attempt")
        self.assertEqual(len(self.attempts()), 1)
        viewer.key("BackSpace")
        viewer.wait(lambda s: s["notice"].startswith("undone: A00, fall; " + told), "the missing backup after undo")
        self.assertEqual(self.attempts(), [])
        viewer.click("board/absent")
        viewer.wait(lambda s: s["notice"].startswith(told), "the missing backup after an absence")
        viewer.process.kill()
        viewer.process.wait()
        viewer.process.stderr.close()
        self.viewer = Viewer(self.display, self.home, "--logbook", str(self.book))
        self.viewer.key("b")
        self.viewer.wait(lambda s: any(w["name"] == "board/name" and w["label"] == "A01" for w in s["widgets"]), "A00 absent")


class AthletesTest(BoardTest):
    """From an empty logbook to a logged attempt without the command line."""

    def people(self):
        return 0

    def decisions(self, name):
        return json.loads(self.run_program("athlete", "export", name, "--all", "--logbook", self.book))["decisions"]

    def fill(self, field, text):
        self.viewer.click("form/" + field)
        self.viewer.key("ctrl", "a")
        self.viewer.type(text)

    def test_a_class(self):
        viewer = self.viewer
        viewer.key("b")
        viewer.click("board/athletes")
        viewer.click("athletes/add")
        # Half of it wrong is told in the words of the page and loses nothing.
        self.fill("name or initials", "LM")
        self.fill("height, m", "162")
        viewer.click("form/save")
        viewer.wait(lambda s: "height, m is 162" in s["notice"], "the height is wrong")
        self.fill("height, m", "1,62")
        self.fill("mass, kg", "54")
        self.fill("air time, s", "0.78")
        viewer.click("form/side/right")
        viewer.click("form/take the plan")
        viewer.click("form/save")
        viewer.wait(lambda s: "twists right" in s["notice"], "the plan is for the other side")
        shown = json.loads(self.run_program("athlete", "show", "LM", "--logbook", self.book, "--json"))
        self.assertEqual((shown["height_m"], shown["mass_kg"], shown["air_time_s"], shown["twisting_side"]),
                         (1.62, 54, 0.78, "right"))
        self.assertEqual(len(shown["plans"]), 1)
        # Changed, and back on the board with the plan just taken.
        viewer.click("athlete/1")
        self.fill("mass, kg", "")
        viewer.key("BackSpace")
        viewer.click("form/side/left")
        viewer.click("form/save")
        viewer.wait(lambda s: s["notice"] == "kept: LM", "kept")
        self.assertIsNone(json.loads(self.run_program("athlete", "show", "LM", "--logbook", self.book, "--json"))["mass_kg"])
        viewer.click("sheet/back")
        self.assertEqual(self.label("board/name"), "LM")
        suggested = self.label("board/rung")
        # The coach's own choice of a rung; going higher than the gate is kept as a decision with the attempt.
        viewer.click("board/higher")
        viewer.wait(lambda s: any(w["name"] == "board/rung" and w["label"].startswith("1 ") for w in s["widgets"]), "rung 1")
        self.assertTrue(self.label("board/reason").startswith("your choice. "))
        self.assertEqual(self.decisions("LM"), [])
        viewer.click("board/lower")
        viewer.wait(lambda s: any(w["name"] == "board/rung" and w["label"] == suggested for w in s["widgets"]), suggested)
        viewer.key("Up")
        viewer.wait(lambda s: any(w["name"] == "board/rung" and w["label"].startswith("1 ") for w in s["widgets"]), "rung 1")
        viewer.key("1")
        viewer.key("4")
        self.said("in hand, on plan")
        self.assertEqual([(d["decision"], d["reason"]) for d in self.decisions("LM")],
                         [("move on", "chosen on the class board")])
        self.assertEqual(len(self.attempts()), 1)


class SeasonTest(BoardTest):
    """The invented season in the window: the board, an athlete's climb, the landings with the spread of the attempts."""

    def people(self):
        return 0

    def open_viewer(self):
        script = pathlib.Path(__file__).resolve().parents[2] / "assets/demo/make_season.py"
        subprocess.run([sys.executable, script, self.home, "--halfturn", PROGRAM], check=True, capture_output=True)
        self.book = pathlib.Path(self.home) / "season.db"
        plan = pathlib.Path(self.home) / "full, left.json"
        return Viewer(self.display, self.home, str(plan), "--logbook", str(self.book), "--athlete-name", "Abel")

    def test_a_class(self):
        viewer = self.viewer
        viewer.key("b")
        viewer.wait(lambda s: any(w["name"] == "place/11" for w in s["widgets"]), "twelve of twenty")
        before = len(self.attempts_of_all())
        viewer.key("1")
        viewer.key("4")
        self.said("in hand, on plan")
        self.assertEqual(len(self.attempts_of_all()), before + 1)
        viewer.key("Escape")
        viewer.key("z")
        viewer.wait(lambda s: any(w["name"] == "spread/share" for w in s["widgets"]), "the landings", 60)
        # The latest hundred headings; one that is alone on its rung tells no deviation.
        self.assertRegex(self.label("spread/source"), r"turn fitted from (9[0-9]|100) attempts")
        self.assertRegex(self.label("spread/share"), r"^\d+ % \(\d+ to \d+ %\)$")
        for name in ("spread/sensitive", "spread/next", "spread/upright"):
            self.assertTrue(self.label(name))

    def attempts_of_all(self):
        return json.loads(self.run_program("attempt", "list", "--limit", "all", "--logbook", self.book, "--json"))["attempts"]


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=2)
