"""halfturn measure on motion capture in the open BVH format: skeletons and worked turns written here by hand."""
import itertools
import json
import math

from measure_records import AIR, GRAVITY, TAKEOFF, orientation, product
from program import ProgramTest, halfturn, main

HERTZ = 120
# Joints with their parents and places from them in cm, for a person who stands along y and faces z, so that
# the left is x.
SKELETON = [("Hips", None, (0, 0, 0)), ("Chest", "Hips", (0, 20, 0)), ("Neck", "Chest", (0, 30, 0)),
            ("Head", "Neck", (0, 10, 0)),
            ("LeftUpLeg", "Hips", (9, -4, 0)), ("LeftFoot", "LeftUpLeg", (0, -80, 0)),
            ("LeftToe", "LeftFoot", (0, -6, 14)),
            ("RightUpLeg", "Hips", (-9, -4, 0)), ("RightFoot", "RightUpLeg", (0, -80, 0)),
            ("RightToe", "RightFoot", (0, -6, 14))]


def matrix(q):
    w, x, y, z = q
    return [[1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)]]


def angles(q, order):
    """Degrees about three axes in turn: the textbook formulas of Tait and Bryan for any order."""
    a, b, c = ("XYZ".index(letter) for letter in order)
    even = 1 if (b - a) % 3 == 1 else -1
    r = matrix(q)
    return [math.degrees(angle) for angle in
            (math.atan2(-even * r[b][c], r[c][c]), math.asin(max(-1, min(1, even * r[a][c]))),
             math.atan2(-even * r[a][b], r[a][a]))]


def same(v):
    return v


def to_z_up(v):
    return (v[0], -v[2], v[1])


def mirrored(v):
    return (-v[0], v[1], v[2])


def nested(place, channels, skeleton=SKELETON, indent=""):
    """The HIERARCHY of a skeleton; the root has a path, everybody three angles."""
    children = {}
    for name, parent, offset in skeleton:
        children.setdefault(parent, []).append((name, offset))

    def write(name, offset, depth):
        pad = "\t" * depth
        word = "ROOT" if depth == 0 else "JOINT"
        path = "6 Xposition Yposition Zposition" if depth == 0 else "3"
        yield f"{pad}{word} {name}"
        yield f"{pad}{{"
        yield f"{pad}\tOFFSET " + " ".join(f"{v:.4f}" for v in place(offset))
        yield f"{pad}\tCHANNELS {path} " + " ".join(f"{letter}rotation" for letter in channels)
        for child in children.get(name, []):
            yield from write(*child, depth + 1)
        if name not in children:
            yield f"{pad}\tEnd Site\n{pad}\t{{\n{pad}\t\tOFFSET 0 0 0\n{pad}\t}}"
        yield f"{pad}}}"
    return "HIERARCHY\n" + "\n".join(line for name, offset in children[None] for line in write(name, offset, 0))


class Bvh(ProgramTest):
    def bvh(self, order="ZXY", twist=360, place=same, turn_sign=1, unit_cm=1.0, skeleton=SKELETON, false_first=False,
            frames_said=None, name="jump.bvh"):
        def scaled(v):
            return tuple(c / unit_cm for c in place(v))
        lines = []
        joints = len(skeleton)
        for i in range(int(3.4 * HERTZ)):
            t = i / HERTZ
            w, x, y, z = orientation(t, 0, twist)
            # Ours has x forward and z to the right: forward becomes z, right becomes -x.
            vector = place((-z, y, x))
            # In a mirror an axis of turning points the other way round.
            q = (w, *(turn_sign * c for c in vector))
            s = t - TAKEOFF
            up = 95 + (100 * (0.5 * GRAVITY * AIR * s - 0.5 * GRAVITY * s * s) if 0 <= s <= AIR else 0)
            row = [*scaled((3.0, up, 20.0)), *angles(q, order)]
            for k in range(1, joints):
                # Arms and legs move: they must not matter.
                row += [5 * math.sin(7 * t + k), 0, 3 * math.cos(5 * t)]
            lines.append(" ".join(f"{v:.5f}" for v in row))
        if false_first:
            lines.insert(0, " ".join(["0"] * 3 + ["180", "0", "0"] + ["0"] * (3 * (joints - 1))))
        path = self.folder / name
        path.write_text(nested(scaled, order, skeleton) + f"\nMOTION\nFrames: {frames_said or len(lines)}\n"
                        f"Frame Time: {1 / HERTZ:.7f}\n" + "\n".join(lines) + "\n")
        return path

    def measured(self, path, *options, code=0):
        result = halfturn("measure", path, *options, "--json")
        self.assertEqual(result.returncode, code, result.stderr)
        return json.loads(result.stdout)

    def check_full(self, got, twist=360):
        self.assertAlmostEqual(got["air_time_s"], AIR, delta=0.015)
        self.assertAlmostEqual(got["twist_deg"], twist, delta=2)
        self.assertAlmostEqual(got["somersault_deg"], 335, delta=4)

    def said(self, got, what):
        return next(c for c in got["conventions"] if c["what"] == what)

    def test_a_worked_turn_in_every_order_of_channels(self):
        for letters in itertools.permutations("XYZ"):
            with self.subTest(letters):
                got = self.measured(self.bvh("".join(letters)), "--length-unit", "cm")
                self.check_full(got)
                self.assertIn("skeleton", self.said(got, "sensor axes")["how"])
                self.assertEqual(self.said(got, "trunk")["value"], "Hips")

    def test_to_the_right(self):
        self.check_full(self.measured(self.bvh(twist=-540), "--length-unit", "cm"), -540)

    def test_axes_are_found_in_the_skeleton(self):
        self.check_full(self.measured(self.bvh(place=to_z_up), "--length-unit", "cm"))
        got = self.measured(self.bvh(place=mirrored, turn_sign=-1), "--length-unit", "cm")
        self.check_full(got)
        self.assertEqual(self.said(got, "hand of the axes")["value"], "left")
        self.refused(2, "--hand", "measure", self.bvh(place=mirrored, turn_sign=-1), "--length-unit", "cm",
                     "--hand", "right")
        self.refused(2, "--up", "measure", self.bvh(), "--length-unit", "cm", "--up", "z")

    def test_a_length_has_no_unit_so_it_is_asked_for(self):
        self.refused(2, "--length-unit", "measure", self.bvh())
        self.assertIn("fit cm", halfturn("measure", self.bvh()).stderr)
        self.check_full(self.measured(self.bvh(unit_cm=100), "--length-unit", "m"))
        self.check_full(self.measured(self.bvh(unit_cm=2.54), "--length-unit", "in"))
        self.check_full(self.measured(self.bvh(unit_cm=5.6444), "--length-unit", "0.056444"))
        # In the wrong unit nothing falls as it must: no number comes out.
        self.refused(2, "--takeoff", "measure", self.bvh(), "--length-unit", "m")
        # Marked by hand, no length is needed.
        self.check_full(self.measured(self.bvh(), "--takeoff", TAKEOFF, "--landing", TAKEOFF + AIR))
        for wrong in ("mile", "-1", "0", "nan"):
            self.refused(2, "--length-unit", "measure", self.bvh(), "--length-unit", wrong)

    def test_the_trunk_is_the_joint_that_branches_or_the_one_that_is_named(self):
        nodes = [("World", None, (0, 0, 0))] + [(n, p or "World", o) for n, p, o in SKELETON]
        path = self.bvh(skeleton=nodes)
        # The first joint has one child: the second branches. The turn was written into the first.
        self.assertEqual(self.said(self.measured(path, "--length-unit", "cm"), "trunk")["value"], "Hips")
        self.check_full(self.measured(self.bvh(), "--length-unit", "cm", "--segment", "hips"))
        self.refused(2, "--segment", "measure", self.bvh(), "--length-unit", "cm", "--segment", "Belly")
        line = [("Rod", None, (0, 0, 0)), ("Tip", "Rod", (0, 30, 0))]
        self.refused(2, "--segment", "measure", self.bvh(skeleton=line), "--length-unit", "cm")

    def test_a_skeleton_that_does_not_tell_front_and_back_is_asked(self):
        names = {n: f"j{i}" for i, (n, _, _) in enumerate(SKELETON) if n not in ("Hips", "Head", "Neck", "Chest")}
        plain = [(names.get(n, n), names.get(p, p), o) for n, p, o in SKELETON]
        self.refused(2, "--bow", "measure", self.bvh(skeleton=plain), "--length-unit", "cm")
        self.check_full(self.measured(self.bvh(skeleton=plain), "--length-unit", "cm", "--axes", "forward=z"))
        headless = [("j99" if n == "Head" else n, p, o) for n, p, o in plain]
        # Without a head the path still tells up; without a unit nothing does.
        self.check_full(self.measured(self.bvh(skeleton=headless), "--length-unit", "cm", "--flip-toward", "back"))
        self.refused(2, "--up", "measure", self.bvh(skeleton=headless), "--takeoff", TAKEOFF, "--landing",
                     TAKEOFF + AIR)

    def test_a_reference_pose_in_frame_0_and_a_wrong_count(self):
        got = self.measured(self.bvh(false_first=True, frames_said=12), "--length-unit", "cm")
        self.check_full(got)
        self.assertIn("reference pose", self.said(got, "frame 0")["how"])
        self.assertIn("12", self.said(got, "frames")["how"])

    def test_hostile_files(self):
        text = self.bvh().read_text()
        head, rows = text.split("MOTION")
        lines = text.split("\n")
        first_row = next(i for i, line in enumerate(lines) if line.startswith("Frame Time")) + 2
        rubbish = self.folder / "rubbish.bvh"
        second = "\n".join(rows.split("\n")[:4])
        for content, place in [
                ("HIERARCHY\n", "line 2, column 1"),
                ("HIERARCHY now\n", "line 1, column 11"),
                ("HIERARCHY\nJOINT Hips\n", "line 2, column 1"),
                ("HIERARCHY\nROOT Hips\n(\n", "line 3, column 1"),
                ("HIERARCHY\nROOT Hips\n{\n  OFFSET 0 zero 0\n", "line 4, column 12"),
                ("HIERARCHY\nROOT Hips\n{\n  OFFSET 0 nan 0\n", "line 4, column 12"),
                ("HIERARCHY\nROOT Hips\n{\n  OFFSET 0 0\n", "line 4, column 13"),
                ("HIERARCHY\nROOT Hips\n{\n  CHANNELS 2 Xrotation Wrotation\n", "line 4, column 24"),
                ("HIERARCHY\nROOT Hips\n{\n  CHANNELS 3 Xrotation\n", "line 4, column 23"),
                ("HIERARCHY\nROOT Hips\n{\n  CHANNELS 7 Xrotation\n", "line 4, column 12"),
                ("HIERARCHY\nROOT Hips\n{\n  CHANNELS 2 Xrotation Xrotation\n", "line 4, column 24"),
                ("HIERARCHY\nROOT Hips\n{\n  OFFSET 0 0 0\n}\n", "line 5, column 1"),
                ("HIERARCHY\n" + "ROOT a { OFFSET 0 0 0 CHANNELS 0 }\n" * 2, "line 3, column 1"),
                ("HIERARCHY\nROOT a { OFFSET 0 0 0 CHANNELS 0 " + "JOINT b { OFFSET 0 0 0 CHANNELS 0 " * 300,
                 "line 2, column"),
                ("HIERARCHY\nROOT a\x00\n", "line 2, column 7"),
                ("HIERARCHY\nMOTION\n", "line 2, column 1"),
                (head.rstrip()[:-1], "line"),
                (head, "line"),
                (head + "MOTION\nFrames: many\n", "column 9"),
                (head + "MOTION\nFrames: 5\nFrame Time: 0\n", "column 13"),
                (head + "MOTION\nFrames: 5\nFrame Rate: 60\n", "column 1"),
                (head + "MOTION" + second, "line"),
                ("\n".join(lines[:first_row] + ["1 2 3"] + lines[first_row:]), f"line {first_row + 1}, column 6"),
                ("\n".join(lines[:first_row] + [lines[first_row].replace(" ", " x", 1)]),
                 f"line {first_row + 1}, column"),
                ("\n".join(lines[:first_row] + [lines[first_row][:40]]), "cut off"),
        ]:
            rubbish.write_text(content)
            with self.subTest(content[-60:]):
                self.refused(2, place, "measure", rubbish, "--length-unit", "cm")


main()
