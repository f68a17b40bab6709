"""Drives the real window under Xvfb: chooses, plays, steps, undoes, saves, reopens; looks at state and pixels.

The program writes its session and widgets after every frame (--state-file); this test reads them, moves the mouse to
the middle of a widget and clicks, as a hand would.
"""
import json
import os
import pathlib
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = pathlib.Path(sys.argv[1]).resolve()
WIDTH, HEIGHT = 1280, 800
PATIENCE = 20  # s to wait for something to show


def background(color):
    """sRGB of the window's ground in a theme, from the palette of the look."""
    return {"light": (0xF6, 0xF3, 0xEC), "dark": (0x12, 0x17, 0x1E)}[color]


class Display:
    def __init__(self):
        read, write = os.pipe()
        self.server = subprocess.Popen(
            ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{WIDTH}x{HEIGHT}x24", "-noreset"],
            pass_fds=[write], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        os.close(write)
        with os.fdopen(read) as pipe:
            self.name = ":" + pipe.readline().strip()

    def close(self):
        self.server.terminate()
        self.server.wait()


class Viewer:
    """The program in a window, and what a hand can do with it."""

    def __init__(self, display, home, *arguments):
        self.state_file = pathlib.Path(home) / "state.json"
        self.mouse = [None, None, False]  # where it was put, and whether it is held
        self.state_file.unlink(missing_ok=True)
        self.environment = dict(os.environ, DISPLAY=display.name, HOME=home, XDG_CONFIG_HOME=home + "/config",
                                XDG_STATE_HOME=home + "/state")
        self.process = subprocess.Popen(
            [str(PROGRAM), "--size", f"{WIDTH}x{HEIGHT}", "--state-file", str(self.state_file), *arguments],
            env=self.environment, cwd=home, stderr=subprocess.PIPE, text=True)
        self.wait(lambda state: state["frame_drawn"] >= 2, "the first frames")

    def state(self):
        for _ in range(200):
            try:
                return json.loads(self.state_file.read_text())
            except (FileNotFoundError, json.JSONDecodeError):
                time.sleep(0.05)
                if self.process.poll() is not None:
                    raise AssertionError("the program has ended: " + self.process.stderr.read())
        raise AssertionError("no state was written")

    def wait(self, condition, what, patience=PATIENCE):
        end = time.monotonic() + patience
        while time.monotonic() < end:
            state = self.state()
            if condition(state):
                return state
            time.sleep(0.03)
        raise AssertionError(f"never saw: {what}; notice: {self.state()['notice']!r}, focus {self.state()['focus']!r}")

    def xdotool(self, *words):
        self.frame_before = self.state()["frame_drawn"]
        if words[0] == "mousemove":
            self.mouse[:2] = words[1:3]
        elif words[0] in ("mousedown", "mouseup"):
            self.mouse[2] = words[0] == "mousedown"
        subprocess.run(["xdotool", *map(str, words)], env=self.environment, check=True)

    def widget(self, name):
        state = self.wait(lambda s: any(w["name"] == name for w in s["widgets"]), f"widget {name}")
        return next(w for w in state["widgets"] if w["name"] == name)

    def settle(self):
        """Waits until a frame has been drawn after the last event, however busy the machine is."""
        time.sleep(0.15)
        end = time.monotonic() + 1.5
        while time.monotonic() < end and self.process.poll() is None:
            state = self.state()
            mouse = state["mouse"]
            if state["frame_drawn"] > self.frame_before and mouse["down"] == self.mouse[2] and (
                    self.mouse[0] is None or abs(mouse["x"] - self.mouse[0]) + abs(mouse["y"] - self.mouse[1]) < 2):
                return
            time.sleep(0.03)

    def still(self):
        """Waits until nothing is solved, nothing glides, and the picture of the screen stays; returns its pixels."""
        end = time.monotonic() + PATIENCE
        before = None
        while time.monotonic() < end:
            self.wait(lambda s: not s["simulating"] and s["at_rest"], "no flight to wait for and no change of picture")
            now = self.pixels()
            if now == before:
                return now
            before = now
            time.sleep(0.3)
        raise AssertionError("the picture never stays")

    def move(self, x, y):
        self.xdotool("mousemove", round(x), round(y))
        self.settle()

    def click(self, name):
        x, y, w, h = self.widget(name)["rect"]
        self.move(x + w / 2, y + h / 2)
        self.xdotool("mousedown", 1)
        self.settle()
        self.xdotool("mouseup", 1)
        self.settle()

    def key(self, *keys):
        """Keys go down in order and up in reverse order; Dear ImGui looks at them once a frame."""
        for key in keys:
            self.xdotool("keydown", key)
            self.settle()
        for key in reversed(keys):
            self.xdotool("keyup", key)
            self.settle()

    def type(self, text):
        self.xdotool("type", "--delay", 60, text)
        self.settle()

    def pixels(self):
        """The whole screen as rows of RGB."""
        ppm = subprocess.run(["import", "-window", "root", "-depth", "8", "ppm:-"], env=self.environment, check=True,
                             stdout=subprocess.PIPE).stdout
        header, rest = ppm[:20].split(b"255\n", 1)[0], ppm.split(b"255\n", 1)[1]
        assert header.split()[1:3] == [str(WIDTH).encode(), str(HEIGHT).encode()], header
        return rest

    @staticmethod
    def pixel(pixels, x, y):
        at = 3 * (round(y) * WIDTH + round(x))
        return tuple(pixels[at:at + 3])

    def close(self):
        if self.process.poll() is None:
            self.process.terminate()
        self.process.wait()
        self.process.stderr.close()


class WindowTest(unittest.TestCase):
    def setUp(self):
        self.display = Display()
        self.folder = tempfile.TemporaryDirectory()
        self.home = self.folder.name
        self.viewer = None

    def tearDown(self):
        if self.viewer:
            self.viewer.close()
        self.display.close()
        self.folder.cleanup()

    def open(self, *arguments):
        self.viewer = Viewer(self.display, self.home, *arguments)
        return self.viewer

    def test_a_first_start_moves(self):
        viewer = self.open()
        first = viewer.state()["shown_frame"]
        viewer.wait(lambda s: s["shown_frame"] != first, "another frame of the flight")
        one = viewer.pixels()
        viewer.key("space")
        viewer.wait(lambda s: not s["view"]["playing"], "a pause")
        two = viewer.still()
        self.assertNotEqual(one, two)
        time.sleep(0.5)
        self.assertEqual(two, viewer.pixels(), "nothing moves while it is paused")
        # The ground of the window beside the play button, and yellow somewhere on the stage: the wall sign.
        self.assertEqual(viewer.pixel(two, 4, HEIGHT - 4), background("light"))
        yellow = sum(1 for y in range(80, 600, 4) for x in range(0, 860, 4)
                     if viewer.pixel(two, x, y) == (0xF0, 0xE4, 0x42))
        self.assertGreater(yellow, 100)
        viewer.key("t")
        viewer.wait(lambda s: s["theme"] == 1, "the dark theme")
        self.assertEqual(viewer.pixel(viewer.still(), 4, HEIGHT - 4), background("dark"))

    def test_a_plan_by_mouse_and_keys_saved_and_reopened(self):
        viewer = self.open()
        viewer.key("space")
        viewer.wait(lambda s: not s["view"]["playing"], "a pause")
        # Base, target and step by picking.
        viewer.click("tool/plan")
        viewer.click("plan/base")
        viewer.click("base/front flip")
        viewer.wait(lambda s: s["base"] == "front flip", "the front flip")
        viewer.click("sheet/back")
        viewer.click("plan/target")
        state = viewer.wait(lambda s: any(w["name"].startswith("target/540") for w in s["widgets"]), "the targets")
        rudi = next(w["name"] for w in state["widgets"] if w["name"].startswith("target/540"))
        viewer.click(rudi)
        viewer.wait(lambda s: s["rungs"][-1]["twist_deg"] == 540, "a target of 540")
        viewer.click("sheet/back")
        viewer.click("plan/steps")
        viewer.click("every/180\u00b0")
        state = viewer.wait(lambda s: len(s["rungs"]) == 4, "four rungs")
        # Front flip in half twists: 0, 180, 360, 540; landings front, back, front, back.
        self.assertEqual([r["landing_deg"] for r in state["rungs"]], [0, 180, 0, 180])
        viewer.key("Escape")
        viewer.key("Escape")
        viewer.wait(lambda s: s["sheet"] == 0, "the stage")
        self.assertTrue(viewer.state()["dirty"])

        # Up the climb, a frame on and back, half as fast, from above.
        viewer.click("rung/1")
        viewer.wait(lambda s: s["view"]["rung"] == 1, "rung 1")
        viewer.key("Home")
        viewer.wait(lambda s: s["shown_frame"] == 0, "the takeoff")
        for _ in range(3):
            viewer.key("Right")
        viewer.key("Left")
        viewer.wait(lambda s: s["shown_frame"] == 2, "frame 2")
        viewer.click("camera/above")
        viewer.wait(lambda s: s["view"]["camera"] == "above", "the view from above")
        viewer.click("speed")
        viewer.wait(lambda s: s["view"]["rate"] == 0.125, "1/8")

        # Split a step by a click, take it back by keys.
        viewer.click("step/1")
        viewer.wait(lambda s: len(s["rungs"]) == 5, "a split step")
        viewer.key("ctrl", "z")
        viewer.wait(lambda s: len(s["rungs"]) == 4, "the step whole again")

        # The scrub by dragging, in the flight that stays.
        viewer.wait(lambda s: not s["simulating"], "the simulated flights")
        x, y, w, h = viewer.widget("scrub")["rect"]
        viewer.move(x + w * 0.2, y + h / 2)
        viewer.xdotool("mousedown", 1)
        viewer.settle()
        viewer.move(x + w / 2, y + h / 2)
        viewer.xdotool("mouseup", 1)
        state = viewer.wait(lambda s: s["shown_frame"] > 10, "the middle of the flight")
        self.assertAlmostEqual(state["shown_frame"] / state["last_frame"], 0.5, delta=0.04)

        # Save under a name, leave, reopen: everything as it was.
        viewer.key("ctrl", "s")
        viewer.click("save/path")
        viewer.key("ctrl", "a")
        viewer.type(self.home + "/rudi.json")
        viewer.key("Return")
        state = viewer.wait(lambda s: s["path"].endswith("rudi.json") and not s["dirty"], "a saved plan")
        self.assertTrue(pathlib.Path(self.home, "rudi.json").exists())
        before = viewer.still()
        viewer.key("ctrl", "q")
        self.assertEqual(viewer.process.wait(PATIENCE), 0)
        viewer.close()

        viewer = self.open("rudi.json")
        again = viewer.wait(lambda s: not s["simulating"], "the simulated flights again")
        for key in ("base", "side", "rungs", "shown_frame"):
            self.assertEqual(again[key], state[key], key)
        for view in (state["view"], again["view"]):
            for key in ("time_s", "flight_s"):
                view[key] = round(view[key], 9)
        self.assertEqual(again["view"], state["view"])
        viewer.move(600, 400)
        after = viewer.still()
        # The stage; the line under it told of the saving then, and tells what is short of air now.
        stage = slice(0, int(0.66 * len(before)), 97)
        same = sum(a == b for a, b in zip(before[stage], after[stage])) / len(before[stage])
        self.assertGreater(same, 0.97, "the picture is the one that was left")

    def test_unsaved_changes_are_asked_about(self):
        viewer = self.open()
        viewer.key("space")
        viewer.click("step/1")
        viewer.wait(lambda s: s["dirty"], "a change")
        viewer.key("ctrl", "q")
        viewer.widget("sheet/leave")
        self.assertIsNone(viewer.process.poll())
        viewer.click("sheet/leave")
        self.assertEqual(viewer.process.wait(PATIENCE), 0)

    def test_by_keyboard_alone(self):
        viewer = self.open()
        viewer.key("space")
        viewer.key("p")
        viewer.wait(lambda s: s["sheet"] == 1, "the plan")
        viewer.key("Tab")
        viewer.wait(lambda s: s["focus"] == "plan/base", "the focus on the base")
        viewer.key("Return")
        for _ in range(3):
            viewer.key("Tab")
        focus = viewer.state()["focus"]
        self.assertTrue(focus.startswith("base/"), focus)
        viewer.key("Return")
        viewer.wait(lambda s: "base/" + s["base"] == focus, f"{focus} chosen")

    def test_what_the_words_mean(self):
        viewer = self.open()
        viewer.key("shift+k")
        viewer.wait(lambda s: any(w["name"] == "term/air time" for w in s["widgets"]), "the words of the trade")
        first = {w["name"] for w in viewer.state()["widgets"] if w["name"].startswith("term/")}
        seen = set(first)
        for _ in range(12):
            viewer.key("Next")
            seen |= {w["name"] for w in viewer.state()["widgets"] if w["name"].startswith("term/")}
        self.assertIn("term/wrap", seen, "the last of them")
        self.assertGreater(len(seen), len(first))
        viewer.key("Escape")
        viewer.wait(lambda s: s["sheet"] == 0, "the stage")

    def test_the_mouse_at_rest_on_a_control_tells_its_key(self):
        viewer = self.open()
        viewer.key("space")
        viewer.wait(lambda s: not s["view"]["playing"], "a pause")
        x, y, w, h = viewer.widget("camera/above")["rect"]
        viewer.move(x + w / 2, y + h / 2)
        tip = viewer.widget("tip/A")
        self.assertEqual(tip["label"], "from above")
        viewer.move(WIDTH / 3, HEIGHT / 2)
        viewer.wait(lambda s: not any(w["name"] == "tip/A" for w in s["widgets"]), "no tooltip on the stage")

    def test_both_twisters_and_a_long_list_by_keys(self):
        viewer = self.open()
        viewer.key("space")
        viewer.key("n")
        viewer.wait(lambda s: s["view"]["shown"]["both_sides"], "both twisters")
        for i in range(40):
            pathlib.Path(self.home, f"plan {i:02}.json").write_text("{}")
        viewer.key("ctrl", "o")
        viewer.widget("list/down")
        first = {w["name"] for w in viewer.state()["widgets"] if w["name"].startswith("file/")}
        viewer.key("Next")
        viewer.wait(lambda s: {w["name"] for w in s["widgets"] if w["name"].startswith("file/")} != first,
                    "further files")

    def test_a_folder_that_cannot_be_written_is_told(self):
        viewer = self.open()
        viewer.key("space")
        viewer.key("ctrl", "s")
        viewer.click("save/path")
        viewer.key("ctrl", "a")
        viewer.type("/proc/no/such/plan.json")
        viewer.key("Return")
        viewer.wait(lambda s: "cannot be written" in s["notice"], "a message")
        self.assertIsNone(viewer.process.poll())

    def test_a_tiny_window_lives(self):
        viewer = self.open()
        for size in ((300, 200), (1, 1), (640, 480), (WIDTH, HEIGHT)):
            window = subprocess.run(["xdotool", "search", "--name", "Halfturn"], env=viewer.environment, text=True,
                                    stdout=subprocess.PIPE, check=True).stdout.split()[0]
            viewer.xdotool("windowsize", window, *size)
            time.sleep(0.4)
            self.assertIsNone(viewer.process.poll())


class NoDisplayTest(unittest.TestCase):
    def test_without_a_display_it_says_so(self):
        environment = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
        run = subprocess.run([str(PROGRAM)], env=environment, text=True, capture_output=True, timeout=60, check=False)
        self.assertEqual(run.returncode, 3)
        self.assertIn("no display", run.stderr)
        self.assertEqual(run.stdout, "")

    def test_a_plan_that_is_not_there(self):
        run = subprocess.run([str(PROGRAM), "/no/such/plan.json"], text=True, capture_output=True, timeout=60, check=False)
        self.assertEqual(run.returncode, 2)
        self.assertIn("/no/such/plan.json", run.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1], verbosity=2)
