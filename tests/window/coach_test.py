"""The coaching view in the real window: the athlete's eyes, and what a coach is told beside the picture."""
import sys
import tempfile
import unittest

from window_test import HEIGHT, WIDTH, Display, Viewer


def pairs(state):
    """What stands beside the chosen rung, stage by stage."""
    return [stage["pair"] for stage in state["view"].get("beside", {}).get("stages", [])]


class CoachTest(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.display = Display()
        self.addCleanup(self.display.close)
        self.viewer = Viewer(self.display, folder.name)
        self.addCleanup(lambda: self.viewer.close())
        self.viewer.key("space")
        self.viewer.wait(lambda s: not s["view"]["playing"], "a pause")

    def label(self, name):
        return self.viewer.widget(name)["label"]

    def look(self, condition, what):
        self.viewer.wait(condition, what)
        self.viewer.wait(lambda s: s["at_rest"], "the end of the change")
        return self.viewer.pixels()

    def test_through_the_eyes_with_every_gaze(self):
        viewer = self.viewer
        self.assertIn("in view", self.label("scrub/sight"))
        viewer.key("g")
        ahead = self.look(lambda s: s["view"]["camera"] == "eyes" and s["view"]["gaze"] == "neutral", "the eyes")
        viewer.key("g")
        aside = self.look(lambda s: s["view"]["gaze"] == "over the shoulder", "the shoulder")
        self.assertIn("over the shoulder", self.label("scrub/sight"))
        viewer.click("gaze/chin down")
        down = self.look(lambda s: s["view"]["gaze"] == "chin down", "the chin")
        self.assertEqual(len({ahead, aside, down}), 3, "three ways to look, three pictures")

    def test_the_plan_to_finish_seeks_by_a_click(self):
        viewer = self.viewer
        viewer.key("Home")
        viewer.key("r")
        viewer.wait(lambda s: any(w["name"].startswith("caution/") for w in s["widgets"]), "the cautions")
        lines = [w for w in viewer.state()["widgets"] if w["name"].startswith("finish/") and w["kind"] == "choice"]
        self.assertGreater(len(lines), 2, "lines with their moments")
        last = lines[-1]
        viewer.click(last["name"])
        seconds = float(last["value"].split()[0])
        viewer.wait(lambda s: abs(s["view"]["time_s"] - seconds) < 0.006, "the moment of the line")
        viewer.key("Escape")
        viewer.wait(lambda s: s["sheet"] == 0, "the stage")

    def test_two_stages_by_key_and_click(self):
        viewer = self.viewer
        viewer.key("Up")
        viewer.key("Up")
        viewer.key("x")
        viewer.wait(lambda s: pairs(s) == ["axis"], "the other axis")
        pixels = viewer.pixels()
        # The ground of each half is not empty: floor, figure and sign are drawn in both.
        for left in (0, WIDTH // 2 + 20):
            colours = {viewer.pixel(pixels, x, y) for y in range(240, 520, 3) for x in range(left, left + 600, 3)}
            self.assertIn((0xF0, 0xE4, 0x42), colours, "yellow: where it lands")
            self.assertGreater(len(colours), 40)
        viewer.key("End")
        viewer.wait(lambda s: s["view"]["time_s"] > 0.3, "the landing")
        viewer.click("pair/sides")
        viewer.wait(lambda s: pairs(s) == ["sides"], "both sides")
        viewer.click("lock/time")
        viewer.wait(lambda s: s["view"]["beside"]["lock"] == "time", "locked by time")
        viewer.key("Escape")
        viewer.wait(lambda s: "beside" not in s["view"], "one stage")

    def test_four_stages_overlaid_and_any_rung_by_keys(self):
        viewer = self.viewer
        for count in (1, 2, 3):
            viewer.key("d")
            viewer.wait(lambda s: len(pairs(s)) == count, f"{count} beside it")
        apart = viewer.pixels()
        viewer.key("q")
        viewer.wait(lambda s: s["view"]["beside"]["overlaid"], "one stage for all")
        overlaid = viewer.pixels()
        self.assertNotEqual(apart, overlaid)
        pink = sum(viewer.pixel(overlaid, x, y) == (0xCC, 0x79, 0xA7)
                   for y in range(120, 560, 2) for x in range(0, WIDTH, 2))
        self.assertGreater(pink, 20, "the second flyer's own colour")
        viewer.key("2")
        viewer.click("shows/any rung")
        viewer.click("side/right")
        viewer.wait(lambda s: s["view"]["beside"]["stages"][0].get("side") == "right", "the other side")
        viewer.key("Escape")
        viewer.key("shift+d")
        viewer.wait(lambda s: len(pairs(s)) == 2, "one stage less")
        viewer.key("Escape")
        viewer.wait(lambda s: "beside" not in s["view"], "one stage")

    def test_on_the_wall_with_a_clicker(self):
        viewer = self.viewer
        viewer.key("v")
        viewer.wait(lambda s: s["view"]["on_the_wall"], "the wall")
        rung = viewer.state()["view"]["rung"]
        viewer.key("Next")
        viewer.wait(lambda s: s["view"]["rung"] == rung + 1, "the next rung")
        viewer.key("Prior")
        state = viewer.wait(lambda s: s["view"]["rung"] == rung, "the rung before")
        words = [w for w in state["widgets"] if w["kind"] == "words"]
        self.assertGreaterEqual(len(words), 3)
        for word in words:
            self.assertGreaterEqual(word["rect"][3] / 1.25, HEIGHT / 12, word["label"])
        viewer.key("Escape")
        viewer.wait(lambda s: not s["view"]["on_the_wall"], "the whole window")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=2)
