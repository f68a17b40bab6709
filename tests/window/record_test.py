"""A record of what really happened in the real window: its questions, its stage, its ends by hand, and the log."""
import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

sys.path.append(str(pathlib.Path(__file__).resolve().parent.parent / "cli"))
from measure_records import AIR, TAKEOFF, rows
from window_test import PROGRAM, Display, Viewer


class RecordTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.home = folder.name
        self.display = Display()
        self.addCleanup(self.display.close)
        self.plan = pathlib.Path(self.home) / "plan.json"
        self.book = pathlib.Path(self.home) / "club.db"
        self.run_program("ladder", "--base", "back flip", "--to", 360, "--step", 180, "-o", self.plan)
        self.run_program("athlete", "add", "Ana", "--plan", self.plan, "--logbook", self.book)

    def run_program(self, *words):
        done = subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def record(self, **attempt):
        path = pathlib.Path(self.home) / "attempt.csv"
        lines = ["time_s,qw,qx,qy,qz,acc_x,acc_y,acc_z"]
        lines += [",".join(f"{v:.6f}" for v in (t, *q, *a)) for t, q, a in rows(**attempt)]
        path.write_text("\n".join(lines) + "\n")
        return path

    def open(self, *options):
        viewer = Viewer(self.display, self.home, self.plan, "--logbook", str(self.book), "--athlete-name", "Ana", *map(str, options))
        self.addCleanup(viewer.close)
        return viewer

    @staticmethod
    def label(state, name):
        return next((w["label"] for w in state["widgets"] if w["name"] == name), "")

    def attempts(self):
        return json.loads(self.run_program("attempt", "list", "--logbook", self.book, "--json"))["attempts"]

    def test_beside_the_plan_and_into_the_logbook(self):
        viewer = self.open("--record", self.record(twist=340), "--axes", "forward=x,up=y")
        viewer.key("Up")  # half way up is the half; the full is above
        state = viewer.wait(lambda s: self.label(s, "stage/second") == "full, recorded", "the recorded stage")
        self.assertIn("recorded turn, drawn limbs", self.label(state, "second/stage"))
        viewer.key("shift", "r")
        state = viewer.wait(lambda s: self.label(s, "record/first contact"), "the page of the record")
        self.assertEqual(self.label(state, "record/first contact"), "20 degrees short, within the 30 that count")
        found = float(next(w["value"] for w in state["widgets"] if w["name"] == "record scrub/takeoff"))
        self.assertAlmostEqual(found, TAKEOFF, delta=0.01)
        # A press moves the landing by 10 ms; dragging the handle moves it further; then back as found.
        landing = lambda s: float(next(w["value"] for w in s["widgets"] if w["name"] == "record scrub/landing"))
        before = landing(state)
        viewer.click("landing/later")
        state = viewer.wait(lambda s: abs(landing(s) - before - 0.010) < 1e-3, "a landing 10 ms later")
        x, y, w, h = viewer.widget("record scrub/landing")["rect"]
        viewer.move(x + w / 2, y + h / 2)
        viewer.xdotool("mousedown", 1)
        viewer.settle()
        for step in range(1, 6):
            viewer.move(x + w / 2 - 10 * step, y + h / 2)
        viewer.xdotool("mouseup", 1)
        viewer.settle()
        state = viewer.wait(lambda s: landing(s) < before - 0.02, "a landing dragged back")
        viewer.click("flight/as found")
        viewer.wait(lambda s: abs(landing(s) - before) < 1e-3, "the landing as found")
        viewer.click("log/controlled")
        viewer.wait(lambda s: s["notice"].startswith("logged: Ana, full: controlled, 20 short"), "the logged attempt")
        attempt = self.attempts()[0]
        self.assertEqual((attempt["outcome"], attempt["heading_by"], attempt["twist_deg"]), ("controlled", "measurement", 360))
        self.assertAlmostEqual(attempt["heading_error_deg"], -20, delta=2)
        self.assertAlmostEqual(attempt["air_time_s"], AIR, delta=0.01)
        # Closed, it leaves the plan alone on the stage.
        viewer.click("record/close")
        viewer.click("sheet/done")
        viewer.wait(lambda s: not any(w["name"] == "stage/second" for w in s["widgets"]), "one stage")

    def test_questions_are_answered_on_the_page(self):
        # Mounted sideways: which way the chest faces is the plan's word for the flip; which way is up is asked.
        viewer = self.open()
        viewer.key("shift", "r")
        viewer.click("record/path")
        viewer.type(str(self.record(twist=180, mount=(0.5, 0.5, 0.5, 0.5), world=(0.5**0.5, 0.5**0.5, 0, 0))))
        viewer.click("record/path go")
        state = viewer.wait(lambda s: self.label(s, "record/question"), "a question")
        self.assertIn("at rest the accelerometer points along z", self.label(state, "record/question"))
        viewer.click("answer/z")
        state = viewer.wait(lambda s: self.label(s, "record/first contact"), "the measures")
        self.assertEqual(self.label(state, "record/first contact"), "as planned, within the 30 that count")
        self.assertIn("180", self.label(state, "record/twist"))


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0]], verbosity=2)
