"""`halfturn fly` against a plain second implementation on random bodies and motions."""
import csv
import io
import json
import math
import random

from flight_reference import Flight, angle_between, matmul, rotation, transpose
from program import ProgramTest, halfturn, main


def unit(random_source):
    while True:
        v = [random_source.uniform(-1, 1) for _ in range(3)]
        n = math.sqrt(sum(x * x for x in v))
        if 0.1 < n <= 1:
            return [x / n for x in v]


def random_body(r, count, reference):
    """A random tree. Inertias come from three point-like extents, so the triangle inequality holds."""
    segments = []
    for i in range(count):
        mass = r.choice([0.0, r.uniform(0.2, 12)]) if i not in (0, count - 1) else r.uniform(1, 12)
        extents = [r.uniform(0.02, 0.2) ** 2 for _ in range(3)]
        moments = [mass * (extents[1] + extents[2]), mass * (extents[0] + extents[2]), mass * (extents[0] + extents[1])]
        turn = rotation(unit(r), r.uniform(0, 3))
        diagonal = [[moments[i] if i == j else 0.0 for j in range(3)] for i in range(3)]
        tensor = matmul(matmul(turn, diagonal), transpose(turn))
        tensor = [[(tensor[i][j] + tensor[j][i]) / 2 for j in range(3)] for i in range(3)]
        segments.append({
            "name": f"part_{i}", "parent": None if i == 0 else f"part_{r.randrange(i)}",
            "joint_centre_in_parent_m": [0, 0, 0] if i == 0 else [r.uniform(-0.4, 0.4) for _ in range(3)],
            "axes": [] if i == 0 else r.sample(["x", "y", "z"], r.randrange(4)),
            "mass_kg": mass, "com_m": [r.uniform(-0.2, 0.2) for _ in range(3)], "inertia_about_com_kgm2": tensor})
    return {"format": "halfturn-body", "version": 1, "reference_segment": f"part_{reference}", "segments": segments}


def random_motion(r, body, momentum):
    joints = {}
    for segment in body["segments"]:
        for axis in segment["axes"]:
            if r.random() < 0.7:
                times = sorted(-0.1 + 0.17 * k + r.uniform(0, 0.05) for k in r.sample(range(6), r.randrange(1, 4)))
                joints.setdefault(segment["name"], {})[axis] = [[t, r.uniform(-90, 90)] for t in times]
    motion = {"format": "halfturn-motion", "version": 1, "name": "random", "duration_s": 0.5, "output_hz": 50,
              "takeoff": {"heading_deg": r.uniform(-180, 180), "somersault_deg": r.uniform(-180, 180),
                          "tilt_deg": r.uniform(-80, 80), "twist_deg": r.uniform(-180, 180)},
              "joints_deg": joints}
    if momentum == "velocity":
        motion["angular_velocity_body_deg_s"] = [r.uniform(-80, 80) for _ in range(3)]
    else:
        motion["angular_momentum_world_kgm2_s"] = [0, 0, 0] if momentum == "zero" else [r.uniform(-1, 1) for _ in range(3)]
    return motion


class Fly(ProgramTest):
    def files(self, body, motion):
        for name, content in (("body.json", body), ("motion.json", motion)):
            text = content if isinstance(content, str) else json.dumps(content)
            (self.folder / name).write_text(text)
        return "--body", self.folder / "body.json", "--motion", self.folder / "motion.json", "--csv"

    def fly(self, body, motion, *more):
        result = halfturn("fly", *self.files(body, motion), *more)
        self.assertEqual(result.returncode, 0, result.stderr)
        self.assertTrue(result.stdout.startswith("t,qw,qx,qy,qz,wx,wy,wz\n"))
        return [[float(x) for x in row] for row in list(csv.reader(io.StringIO(result.stdout)))[1:]]

    def test_random_bodies(self):
        for seed, (count, momentum) in enumerate([(1, "some"), (2, "zero"), (5, "some"), (8, "velocity"), (12, "some"), (9, "zero")]):
            with self.subTest(seed=seed):
                r = random.Random(seed)
                body = random_body(r, count, r.randrange(count))
                motion = random_motion(r, body, momentum)
                rows = self.fly(body, motion, "--accuracy", "1e-9")
                expected = Flight(body, motion).rows(0.0008)
                self.assertEqual(len(rows), 26)
                for row, (t, q, omega) in zip(rows, expected):
                    self.assertAlmostEqual(row[0], t, delta=1e-12)
                    # The reference itself is good to about 5e-8.
                    self.assertLess(angle_between(row[1:5], q), 1e-7)
                    for a, b in zip(row[5:], omega):
                        self.assertAlmostEqual(a, b, delta=1e-5)

    def test_accuracy_is_kept(self):
        r = random.Random(5)
        body = random_body(r, 9, 4)
        motion = random_motion(r, body, "some")
        best = self.fly(body, motion, "--accuracy", "1e-11")
        for accuracy in ("1e-4", "1e-6", "1e-9"):
            rows = self.fly(body, motion, "--accuracy", accuracy)
            for a, b in zip(rows, best):
                self.assertLess(angle_between(a[1:5], b[1:5]), float(accuracy))


if __name__ == "__main__":
    main()
