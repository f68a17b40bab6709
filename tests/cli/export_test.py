"""The 3D file, read back by the glTF 2.0 specification (Khronos Group) and sampled against the CSV."""
import bisect
import json
import math
import struct

from program import ProgramTest, halfturn, main

TYPES = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}
COMPONENTS = {5126: "f", 5125: "I"}


class Model:
    """A .glb file: its JSON and its numbers."""

    def __init__(self, data):
        magic, version, length = struct.unpack_from("<4sII", data, 0)
        assert (magic, version, length) == (b"glTF", 2, len(data))
        size, kind = struct.unpack_from("<I4s", data, 12)
        assert kind == b"JSON" and size % 4 == 0
        self.json = json.loads(data[20:20 + size])
        binary, kind = struct.unpack_from("<I4s", data, 20 + size)
        assert kind == b"BIN\0"
        self.buffer = data[28 + size:]
        assert len(self.buffer) == binary == self.json["buffers"][0]["byteLength"]

    def numbers(self, accessor):
        a = self.json["accessors"][accessor]
        view = self.json["bufferViews"][a["bufferView"]]
        size = TYPES[a["type"]]
        assert view["byteOffset"] % 4 == 0 and a["count"] * size * 4 <= view["byteLength"]
        flat = struct.unpack_from(f"<{a['count'] * size}{COMPONENTS[a['componentType']]}", self.buffer, view["byteOffset"])
        return [flat[i:i + size] for i in range(0, len(flat), size)]


def dot(a, b):
    return sum(x * y for x, y in zip(a, b))


def minus(a, b):
    return [x - y for x, y in zip(a, b)]


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def slerp(a, b, u):
    """Spherical linear interpolation, as section 3.11 of the specification asks for."""
    cosine = dot(a, b)
    if cosine < 0:
        b, cosine = [-x for x in b], -cosine
    angle = math.acos(min(1.0, cosine))
    if angle < 1e-6:
        return a
    return [(math.sin((1 - u) * angle) * x + math.sin(u * angle) * y) / math.sin(angle) for x, y in zip(a, b)]


class Export(ProgramTest):
    def export(self, name, *more):
        path = self.folder / name
        made = halfturn("export", "--demo", "-o", path, *more)
        self.assertEqual(made.returncode, 0, made.stderr)
        return path

    def model(self, *more):
        return Model(self.export("flight.glb", *more).read_bytes())

    def rows(self, *more):
        lines = self.export("flight.csv", *more).read_text().splitlines()
        self.assertEqual(lines[0], "t,qw,qx,qy,qz,wx,wy,wz")
        return [[float(cell) for cell in line.split(",")] for line in lines[1:]]

    def test_animation_is_the_flight(self):
        """Between its samples too: at the times of a CSV that falls between them."""
        for rung in (0, 2, 4):
            model = self.model("--rung", rung)
            rows = self.rows("--rung", rung, "--hz", 271)
            nodes = model.json["nodes"]
            animation = model.json["animations"][0]
            pelvis = next(i for i, n in enumerate(nodes) if n["name"] == "pelvis")
            channel = next(c for c in animation["channels"] if c["target"] == {"node": pelvis, "path": "rotation"})
            sampler = animation["samplers"][channel["sampler"]]
            times = [row[0] for row in model.numbers(sampler["input"])]
            values = model.numbers(sampler["output"])
            self.assertAlmostEqual(times[-1], rows[-1][0], places=6)
            for row in rows:
                k = min(max(bisect.bisect_left(times, row[0]), 1), len(times) - 1)
                u = min(1.0, max(0.0, (row[0] - times[k - 1]) / (times[k] - times[k - 1])))
                q = slerp(values[k - 1], values[k], u)
                # Numbers are x, y, z, w there and w first here; the angle between is twice acos|dot|.
                cosine = abs(dot(q, [row[2], row[3], row[4], row[1]]))
                self.assertLess(2 * math.degrees(math.acos(min(1.0, cosine))), 0.25)

    def test_csv_rate_is_the_derivative_of_its_orientation(self):
        rows = self.rows("--rung", 4, "--hz", 2000)
        # q' = q (0, omega_B) / 2, by central differences.
        for k in range(100, len(rows) - 100, 97):
            span = rows[k + 1][0] - rows[k - 1][0]
            d = [(b - a) / span for a, b in zip(rows[k - 1][1:5], rows[k + 1][1:5])]
            w, x, y, z = rows[k][1:5]
            p, q, r = rows[k][5:8]
            half = [(-x * p - y * q - z * r) / 2, (w * p + y * r - z * q) / 2, (w * q + z * p - x * r) / 2,
                    (w * r + x * q - y * p) / 2]
            self.assertLess(max(abs(a - b) for a, b in zip(d, half)), 2e-3)

    def test_structure(self):
        model = self.model("--rung", 3)
        for index, a in enumerate(model.json["accessors"]):
            numbers = model.numbers(index)
            self.assertTrue(all(math.isfinite(x) for group in numbers for x in group))
            if "min" in a:
                self.assertEqual([min(column) for column in zip(*numbers)], a["min"])
                self.assertEqual([max(column) for column in zip(*numbers)], a["max"])
        for mesh in model.json["meshes"]:
            for primitive in mesh["primitives"]:
                corners = model.numbers(primitive["attributes"]["POSITION"])
                normals = model.numbers(primitive["attributes"]["NORMAL"])
                self.assertEqual(len(corners), len(normals))
                self.assertLess(max(abs(math.sqrt(dot(n, n)) - 1) for n in normals), 1e-5)
                indices = [group[0] for group in model.numbers(primitive["indices"])]
                self.assertEqual(len(indices) % 3, 0)
                self.assertLess(max(indices), len(corners))
                # Faces look the way of their normals: seen from outside they turn counter-clockwise.
                for i in range(0, len(indices), 3):
                    a, b, c = (corners[index] for index in indices[i:i + 3])
                    across = cross(minus(b, a), minus(c, a))
                    if math.sqrt(dot(across, across)) > 1e-7:
                        self.assertGreater(dot(across, normals[indices[i]]), 0, mesh["name"])

    def test_every_checkpoint_has_its_marker(self):
        model = self.model("--rung", 1)
        ladder = json.loads(halfturn("ladder", "--demo", "--json").stdout)["rungs"]
        markers = {n["extras"]["rung"]: n for n in model.json["nodes"] if n["name"].startswith("checkpoint")}
        self.assertEqual(sorted(markers), list(range(len(ladder))))
        for rung in ladder:
            marker = markers[rung["index"]]
            self.assertEqual(marker["extras"]["landing_heading_deg"], rung["landing"]["heading_deg"])
            corners = [corner for p in model.json["meshes"][marker["mesh"]]["primitives"]
                       for corner in model.numbers(p["attributes"]["POSITION"])]
            # The tip is the corner farthest out; headings turn from X towards -Z (left of forward, Y up).
            tip = max(corners, key=lambda corner: math.hypot(corner[0], corner[2]))
            heading = math.degrees(math.atan2(-tip[2], tip[0]))
            self.assertLess(abs((heading - rung["landing"]["heading_deg"] + 180) % 360 - 180), 0.01)

    def test_a_name_is_only_a_string(self):
        self.assertEqual(halfturn("ladder", "--demo", "-o", self.folder / "plan.json").returncode, 0)
        plan = json.loads((self.folder / "plan.json").read_text())
        plan["title"] = '"}]}<script>\u0416'
        (self.folder / "plan.json").write_text(json.dumps(plan))
        path = self.folder / "flight.glb"
        self.assertEqual(halfturn("export", self.folder / "plan.json", "-o", path).returncode, 0)
        self.assertEqual(Model(path.read_bytes()).json["asset"]["version"], "2.0")

    def test_plan_round_trip(self):
        """A plan that the program wrote comes back byte for byte."""
        first, second = self.folder / "first.json", self.folder / "second.json"
        for arguments in (["--demo"], ["--base", "cheat kick", "--to", 900, "--step", "180,takeoff=both feet,360", "--mark", 30]):
            self.assertEqual(halfturn("ladder", *arguments, "-o", first).returncode, 0)
            self.assertEqual(halfturn("ladder", first, "-o", second).returncode, 0)
            self.assertEqual(first.read_bytes(), second.read_bytes())

    def test_refused(self):
        self.refused(2, "neither a .glb nor a .csv", "export", "--demo", "-o", self.folder / "flight.obj")
        self.refused(2, "--rung", "export", "--demo", "--rung", "9", "-o", self.folder / "flight.glb")
        self.refused(2, "--hz", "export", "--demo", "--hz", "0", "-o", self.folder / "flight.glb")
        self.refused(3, "cannot be written", "export", "--demo", "-o", self.folder / "nowhere" / "flight.glb")


main()
