"""halfturn fly: the letter of its files, its output and its complaints."""
import copy
import csv
import io
import json
import math

from program import PROJECT, ProgramTest, halfturn, main

BODY = {
    "format": "halfturn-body", "version": 1, "note": "three parts", "reference_segment": "trunk",
    "segments": [
        {"name": "trunk", "parent": None, "joint_centre_in_parent_m": [0, 0, 0], "axes": [], "mass_kg": 40,
         "com_m": [0.01, 0.3, 0], "inertia_about_com_kgm2": [[2, 0, 0], [0, 0.5, 0], [0, 0, 1.9]]},
        {"name": "arm", "parent": "trunk", "joint_centre_in_parent_m": [0, 0.5, 0.2], "axes": ["z", "x", "y"],
         "mass_kg": 4, "com_m": [0, -0.3, 0], "note_arm": "straight",
         "inertia_about_com_kgm2": [[0.1, 0, 0], [0, 0.01, 0], [0, 0, 0.1]]},
        {"name": "hand", "parent": "arm", "joint_centre_in_parent_m": [0, -0.6, 0], "axes": ["x"], "mass_kg": 0,
         "com_m": [0, 0, 0], "inertia_about_com_kgm2": [[0, 0, 0], [0, 0, 0], [0, 0, 0]]}]}
MOTION = {
    "format": "halfturn-motion", "version": 1, "name": "arm down", "duration_s": 0.5, "output_hz": 100,
    "takeoff": {"heading_deg": 0, "somersault_deg": 0, "tilt_deg": 0, "twist_deg": 0},
    "angular_momentum_world_kgm2_s": [0, 0, 20],
    "joints_deg": {"arm": {"x": [[0.1, -170], [0.3, 0]]}}}


def changed(document, path, value):
    document = copy.deepcopy(document)
    target = document
    for key in path[:-1]:
        target = target[key]
    if value is KeyError:
        del target[path[-1]]
    else:
        target[path[-1]] = value
    return document


def angle(p, q):
    """Angle between two orientations; accurate near 0."""
    w = sum(a * b for a, b in zip(p, q))
    chord = min(math.dist(p, q), math.dist(p, [-b for b in q]))
    return 4 * math.asin(min(1.0, chord / 2)) if abs(w) > 0.5 else 2 * math.acos(min(1.0, abs(w)))


class FlyTest(ProgramTest):
    def files(self, body, motion):
        for name, document in (("body.json", body), ("motion.json", motion)):
            text = document if isinstance(document, str) else json.dumps(document)
            (self.folder / name).write_text(text)
        return ["fly", "--body", self.folder / "body.json", "--motion", self.folder / "motion.json"]

    def rows(self, body, motion, *options):
        result = halfturn(*self.files(body, motion), "--csv", *options)
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertEqual(result.stderr, "")
        lines = result.stdout.splitlines()
        self.assertEqual(lines[0], "t,qw,qx,qy,qz,wx,wy,wz")
        return [[float(cell) for cell in line.split(",")] for line in lines[1:]]

    def test_both_ends_are_written(self):
        rows = self.rows(BODY, MOTION)
        self.assertEqual([row[0] for row in rows], [k / 100 for k in range(51)])
        rows = self.rows(BODY, changed(MOTION, ["duration_s"], 0.7) | {"output_hz": 10})
        self.assertEqual([row[0] for row in rows], [k / 10 for k in range(8)])
        rows = self.rows(BODY, changed(MOTION, ["duration_s"], 0.25) | {"output_hz": 10})
        self.assertEqual([row[0] for row in rows], [0, 0.1, 0.2, 0.25])

    def test_free_rigid_body_as_in_the_table(self):
        # Oracle: torque_free_rigid_body.csv, set A: moments 1, 2, 3, rate 1, 1, 1 rad/s.
        table = (PROJECT / "tests/data/torque_free_rigid_body.csv").read_text().splitlines()
        wanted = [row for row in csv.DictReader(line for line in table if not line.startswith("#"))
                  if row["set"] == "A" and float(row["t_s"]) <= 10]
        body = {"format": "halfturn-body", "version": 1, "reference_segment": "stone", "segments": [
            {"name": "stone", "parent": None, "joint_centre_in_parent_m": [0, 0, 0], "axes": [], "mass_kg": 1,
             "com_m": [3, -2, 1], "inertia_about_com_kgm2": [[1, 0, 0], [0, 2, 0], [0, 0, 3]]}]}
        motion = {"format": "halfturn-motion", "version": 1, "duration_s": 10, "output_hz": 10,
                  "takeoff": {"heading_deg": 0, "somersault_deg": 0, "tilt_deg": 0, "twist_deg": 0}}
        given = [{"angular_momentum_world_kgm2_s": [1, 2, 3]},
                 {"angular_velocity_body_deg_s": [180 / math.pi] * 3}]
        for start in given:
            rows = {row[0]: row[1:] for row in self.rows(body, motion | start, "--accuracy", "1e-10")}
            for row in wanted:
                got = rows[float(row["t_s"])]
                self.assertLess(angle(got[:4], [float(row[k]) for k in ("qw", "qx", "qy", "qz")]), 1e-10)
                rate = [float(row[k]) for k in ("wx_rad_s", "wy_rad_s", "wz_rad_s")]
                self.assertLess(math.dist(got[4:], rate), 1e-9)

    def test_accuracy_is_kept(self):
        fine = self.rows(BODY, MOTION, "--accuracy", "1e-12")
        for accuracy in (1e-2, 1e-4, 1e-6, 1e-9):
            rows = self.rows(BODY, MOTION, "--accuracy", accuracy)
            self.assertLess(max(angle(a[1:5], b[1:5]) for a, b in zip(rows, fine)), accuracy)

    def test_takeoff_angles_in_their_order(self):
        # Ry(90) Rz(90) by hand: (1, 0, 1, 0) (1, 0, 0, 1) / 2 = (1, 1, 1, 1) / 2.
        motion = changed(MOTION, ["takeoff"], {"heading_deg": 90, "somersault_deg": 90, "tilt_deg": 0, "twist_deg": 0})
        for got, wanted in zip(self.rows(BODY, motion)[0][1:5], [0.5] * 4):
            self.assertAlmostEqual(got, wanted, 14)

    def test_json_has_the_rows_of_the_csv(self):
        result = halfturn(*self.files(BODY, MOTION), "--json")
        document = json.loads(result.stdout)
        self.assertEqual(document["columns"], ["t", "qw", "qx", "qy", "qz", "wx", "wy", "wz"])
        rows = self.rows(BODY, MOTION)
        self.assertLess(max(abs(a - b) for p, q in zip(document["rows"], rows) for a, b in zip(p, q)), 1e-13)

    def test_human_output(self):
        result = halfturn(*self.files(BODY, MOTION))
        self.assertEqual(result.returncode, 0)
        self.assertIn("arm down: 0.5 s, body of 44 kg", result.stdout)

    def test_bad_bodies(self):
        segment = ["segments", 1]
        slanted = [[0.1, 0.01, 0], [0, 0.01, 0], [0, 0, 0.1]]
        line = changed(changed(BODY, ["segments"], BODY["segments"][:1]),
                       ["segments", 0, "inertia_about_com_kgm2"], [[0] * 3] * 3)
        cases = [
            (segment + ["mass_kg"], -1, "body.json: segments[1].mass_kg: is negative"),
            (segment + ["inertia_about_com_kgm2"], slanted, "segments[1].inertia_about_com_kgm2: is not symmetric"),
            (segment + ["inertia_about_com_kgm2", 0, 0], 0.2, "segments[1].inertia_about_com_kgm2: breaks the tri"),
            (segment + ["inertia_about_com_kgm2", 0, 0], -0.2, "segments[1].inertia_about_com_kgm2: has a negative"),
            (segment + ["inertia_about_com_kgm2"], [[1, 0, 0]], "segments[1].inertia_about_com_kgm2: has 1 rows"),
            (segment + ["parent"], "hand", "segments[1].parent: there is no segment \"hand\" before"),
            (segment + ["parent"], "arm", "segments[1].parent: there is no segment \"arm\" before"),
            (segment + ["parent"], None, "segments[1].parent: is null"),
            (segment + ["axes"], ["q"], "segments[1].axes[0]: is \"q\""),
            (segment + ["colour"], "red", "segments[1]: unknown key \"colour\""),
            (segment + ["com_m"], [0, 0], "segments[1].com_m: has 2 numbers"),
            (segment + ["com_m"], KeyError, "segments[1].com_m: is missing"),
            (["segments", 0, "parent"], "arm", "segments[0].parent: "),
            (["segments", 0, "axes"], ["x"], "segments[0].axes: "),
            (["segments", 0, "joint_centre_in_parent_m"], [0, 1, 0], "segments[0].joint_centre_in_parent_m: "),
            (["reference_segment"], "tail", "reference_segment: there is no segment \"tail\""),
            (["format"], "halfturn-motion", "format: is \"halfturn-motion\""),
            (["version"], 2, "version: is 2"),
            (["segments"], [], "segments: "),
        ]
        for path, value, words in cases:
            with self.subTest(words):
                self.refused(2, words, *self.files(changed(BODY, path, value), MOTION), "--csv")
        with self.subTest("singular"):
            self.refused(2, "body.json: segments: the inertia of the whole body is singular",
                         *self.files(line, changed(MOTION, ["joints_deg"], {})), "--csv")
        weightless = copy.deepcopy(BODY)
        for part in weightless["segments"]:
            part["mass_kg"] = 0
        self.refused(2, "body.json: segments: the total mass is 0", *self.files(weightless, MOTION), "--csv")

    def test_bad_motions(self):
        arm = ["joints_deg", "arm", "x"]
        cases = [
            (arm, [[0.3, 0], [0.1, 1]], "motion.json: joints_deg.arm.x[1]: time 0.1 is not after"),
            (arm, [[0.1, 0], [0.1, 1]], "joints_deg.arm.x[1]: time 0.1 is not after"),
            (arm, [[0.1]], "joints_deg.arm.x[0]: a pair"),
            (arm, [], "joints_deg.arm.x: is empty"),
            (["joints_deg", "leg"], {}, "joints_deg.leg: the body has no segment"),
            (["joints_deg", "trunk"], {"x": [[0, 1]]}, "joints_deg.trunk.x: the joint of \"trunk\" has no axes"),
            (["joints_deg", "hand"], {"y": [[0, 1]]}, "joints_deg.hand.y: the joint of \"hand\" has no axis \"y\""),
            (["duration_s"], 0, "duration_s: is 0"),
            (["duration_s"], -1, "duration_s: is -1"),
            (["duration_s"], "1", "duration_s: a number is needed"),
            (["output_hz"], 0, "output_hz: is 0"),
            (["output_hz"], 1e12, "output_hz: times duration_s"),
            (["takeoff", "tilt_deg"], KeyError, "takeoff.tilt_deg: is missing"),
            (["angular_momentum_world_kgm2_s"], KeyError, "angular_momentum_world_kgm2_s: is missing"),
            (["angular_velocity_body_deg_s"], [0, 0, 1], "angular_velocity_body_deg_s: cannot be given together"),
            (["speed"], 3, "unknown key \"speed\""),
            (["version"], 9, "version: is 9"),
        ]
        for path, value, words in cases:
            with self.subTest(words):
                self.refused(2, words, *self.files(BODY, changed(MOTION, path, value)), "--csv")

    def test_broken_files(self):
        text = json.dumps(MOTION)
        for broken in (text[:-30], "", "[]", "null", text.replace("0.5", "NaN"), text.replace("0.5", "1e999"),
                       "[" * 100000, " " * (9 << 20)):
            with self.subTest(broken[:20]):
                self.refused(2, "motion.json", *self.files(BODY, broken), "--csv")
        self.refused(2, "absent.json", "fly", "--body", self.folder / "absent.json", "--motion",
                     self.folder / "motion.json", "--csv")
        self.refused(2, "--accuracy", *self.files(BODY, MOTION), "--csv", "--accuracy", "0")
        self.refused(2, "--accuracy", *self.files(BODY, MOTION), "--csv", "--accuracy", "fine")

    def test_no_motion_without_momentum_in_a_held_shape(self):
        motion = changed(changed(MOTION, ["joints_deg"], {}), ["angular_momentum_world_kgm2_s"], [0, 0, 0])
        for row in self.rows(BODY, motion):
            self.assertEqual(row[1:], [1, 0, 0, 0, 0, 0, 0])


if __name__ == "__main__":
    main()
