"""halfturn draw: the same bytes from run to run, and the exit code of every way it can end."""
import os
import struct
import subprocess

from program import ProgramTest, halfturn, main


class Draw(ProgramTest):
    def setUp(self):
        super().setUp()
        self.plan = self.folder / "plan.json"
        made = halfturn("ladder", "--base", "back flip", "--to", "360", "--step", "90", "-o", self.plan)
        self.assertEqual(made.returncode, 0, made.stderr)

    def draw(self, *arguments, code=0, words="", output="picture.png", **options):
        picture = self.folder / output
        result = halfturn("draw", self.plan, *arguments, "-o", picture, **options)
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertEqual(result.stdout, "")
        self.assertIn(words, result.stderr)
        if code == 0:
            self.assertEqual(result.stderr, "")
            return picture.read_bytes()
        self.assertFalse(picture.exists())
        return None

    def test_same_bytes(self):
        for arguments in (["--rung", "2", "--time", "0.4"],
                          ["--rung", "2", "--time", "0.4", "--size", "777x501", "--camera", "front"],
                          ["--rung", "3", "--time", "0.1", "--size", "320x640", "--theme", "dark", "--camera", "above"]):
            with self.subTest(arguments=arguments):
                first, second = self.draw(*arguments), self.draw(*arguments, output="again.png")
                self.assertEqual(first, second)

    def test_size_is_as_asked(self):
        self.assertEqual(self.draw("--size", "777x501")[:24],
                         b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + struct.pack(">II", 777, 501))

    def test_pictures_differ(self):
        pictures = [self.draw("--rung", "1", "--size", "320x200"), self.draw("--rung", "2", "--size", "320x200"),
                    self.draw("--rung", "2", "--size", "320x200", "--time", "0.3"),
                    *(self.draw("--rung", "2", "--size", "320x200", "--time", "0.3", "--camera", camera)
                      for camera in ("front", "above", "eyes")),
                    *(self.draw("--rung", "2", "--size", "320x200", "--time", "0.3", "--theme", theme)
                      for theme in ("dark", "sunlight"))]
        self.assertEqual(len(set(pictures)), len(pictures))

    def test_only_the_flyer_is_spread_apart(self):
        # What else throws a shadow stands where it stood: under the mark, and nowhere else at the lower left.
        one, spread = self.folder / "one.png", self.folder / "spread.png"
        for path, arguments in ((one, ["--time", "5"]), (spread, ["--exposures", "8"])):
            made = halfturn("draw", self.plan, "--rung", "2", "--size", "1280x720", *arguments, "-o", path)
            self.assertEqual(made.returncode, 0, made.stderr)
        corners = [subprocess.run(["convert", path, "-crop", "150x50+0+640", "+repage", "rgb:-"], check=True,
                                  stdout=subprocess.PIPE).stdout for path in (one, spread)]
        self.assertGreater(len(set(corners[0])), 20, "the mark's shadow is not in this corner")
        self.assertEqual(corners[0], corners[1])

    def test_outside_the_flight_is_drawn_with_a_word(self):
        for time, words in (("5", "drawn as landed"), ("-3", "standing before takeoff")):
            made = halfturn("draw", self.plan, "--time", time, "--size", "320x200", "-o", self.folder / "x.png")
            self.assertEqual(made.returncode, 0, made.stderr)
            self.assertRegex(made.stderr, r"the flight lasts 0\.\d\d s; .*" + words)

    def test_a_line_of_words_stands_at_the_foot(self):
        """Across the lowest 22 rows of 640x360 words begin at the left and end before the right edge."""
        self.draw("--rung", "2", "--time", "0.4", "--size", "640x360")
        gray = subprocess.run(["convert", self.folder / "picture.png", "-crop", "640x22+0+338", "+repage", "-depth", "8",
                               "gray:-"], check=True, stdout=subprocess.PIPE).stdout
        inked = [x for x in range(640) if any(gray[640 * y + x] < 140 for y in range(22))]
        self.assertLess(inked[0], 24)
        self.assertGreater(inked[-1], 320)
        self.assertLess(inked[-1], 630)

    def test_bad_input(self):
        for arguments, words in ((["--rung", "5"], "--rung"), (["--rung", "-1"], "--rung"), (["--rung", "two"], "--rung"),
                                 (["--time", "soon"], "--time"), (["--time", "nan"], "--time"),
                                 (["--time", "1000"], "--time"), (["--size", "0x0"], "--size"),
                                 (["--size", "1280"], "--size"), (["--size", "100000x100"], "--size"),
                                 (["--camera", "below"], "--camera"), (["--theme", "pink"], "--theme")):
            with self.subTest(arguments=arguments):
                self.draw(*arguments, code=2, words=words)

    def test_bad_plan(self):
        self.plan.write_text('{"format": "halfturn-plan"')
        self.draw(code=2, words=str(self.plan))
        self.plan.unlink()
        self.draw(code=2, words=str(self.plan))

    def test_no_output_named(self):
        self.refused(2, "--output", "draw", self.plan)

    def test_unwritable(self):
        self.draw(code=3, words="no-such-folder", output="no-such-folder/picture.png")

    def test_no_graphics(self):
        # The dispatcher of EGL finds no driver when the list of drivers is empty.
        environment = dict(os.environ, __EGL_VENDOR_LIBRARY_FILENAMES="/dev/null")
        self.draw(code=3, words="EGL", env=environment)


main()
