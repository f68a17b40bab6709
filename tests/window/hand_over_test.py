"""What a student is given, made from the window: asked for by key and click, with progress, cancelled, replaced."""
import pathlib
import subprocess
import sys
import tempfile
import unittest

from window_test import Display, Viewer

HAND_OVER = 15  # number of the page in the state


class HandOverTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.home = pathlib.Path(folder.name)
        self.display = Display()
        self.addCleanup(self.display.close)
        self.viewer = Viewer(self.display, folder.name)
        self.addCleanup(lambda: self.viewer.close())
        self.viewer.key("space")
        self.viewer.wait(lambda s: not s["view"]["playing"], "a pause")
        self.viewer.key("ctrl", "p")
        self.viewer.wait(lambda s: s["sheet"] == HAND_OVER, "the page")

    def name_file(self, name):
        path = self.home / name
        self.viewer.click("hand over/path")
        self.viewer.key("ctrl", "a")
        self.viewer.type(str(path))
        self.viewer.wait(lambda s: self.widget(s, "hand over/path")["value"] == str(path), "the path")
        return path

    @staticmethod
    def widget(state, name):
        return next((w for w in state["widgets"] if w["name"] == name), None)

    def told(self, name):
        state = self.viewer.wait(lambda s: self.widget(s, name), name)
        return self.widget(state, name)["label"]

    def test_a_sheet_made_and_replaced_only_when_asked_twice(self):
        path = self.name_file("climb.pdf")
        path.write_bytes(b"older")
        self.viewer.click("hand over/make")
        self.assertIn("there is a file of that name", self.told("notice/problem"))
        self.assertEqual(path.read_bytes(), b"older")
        self.viewer.click("hand over/make")
        self.assertEqual(self.told("notice/done"), f"made: {path}")
        text = subprocess.run(["pdftotext", str(path), "-"], capture_output=True, text=True, check=True).stdout
        for rung in self.viewer.state()["rungs"]:
            self.assertIn(rung["title"].split()[0], text)

    def test_a_film_with_progress_and_one_cancelled(self):
        self.viewer.click("hand over/whole climb")
        path = self.name_file("climb.mp4")
        self.viewer.click("hand over/make")
        self.viewer.wait(lambda s: "% made" in (self.widget(s, "hand over/progress") or {"label": ""})["label"],
                         "progress")
        self.viewer.click("hand over/cancel")
        self.assertEqual(self.told("notice/done"), "cancelled; nothing was written")
        self.assertEqual([p.name for p in self.home.glob("*.mp4*")], [])
        self.assertFalse(path.exists())

    def test_the_plan_need_not_be_saved_and_a_folder_may_be_missing(self):
        self.viewer.click("hand over/orientations")
        path = self.name_file("flight.csv")
        self.viewer.click("hand over/make")
        self.assertEqual(self.told("notice/done"), f"made: {path}")
        rows = path.read_text().splitlines()
        self.assertGreater(len(rows), 50)
        self.name_file("nowhere/flight.csv")
        self.viewer.click("hand over/make")
        self.assertIn("nowhere/flight.csv", self.told("notice/problem"))


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], "-v"])
