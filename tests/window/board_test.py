"""A class logged in the real window: two taps, two keys, undo, absent; killed at once after a tap, nothing is lost."""
import json
import pathlib
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
        for number in range(14):
            self.run_program("athlete", "add", f"A{number:02}", "--plan", plan, "--logbook", self.book)
        self.viewer = Viewer(self.display, self.home, "--logbook", str(self.book))
        self.addCleanup(lambda: self.viewer.close())

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
        self.assertEqual(self.label("board/crashes"), "crashes 1, aim 0")
        viewer.key("BackSpace")
        self.said("undone: A02, fall")
        self.assertEqual(self.label("board/crashes"), "crashes 0, aim 0")
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


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=2)
