"""halfturn measure: records written here from flights in closed form, real motion capture, hostile files."""
import json
import math

import jsonschema

from measure_records import AIR, GRAVITY, TAKEOFF, about, blend, orientation, product, rows, turned
from program import PROJECT, ProgramTest, halfturn, main

MOTION = PROJECT / "tests/data/motion"


class MeasureTest(ProgramTest):
    def record(self, header="time_s,qw,qx,qy,qz,acc_x,acc_y,acc_z", line=None, name="record.csv", **story):
        def usual(t, q, a):
            return ",".join(f"{v:.6f}" for v in (t, *q, *a))
        path = self.folder / name
        path.write_text("\n".join([header, *((line or usual)(*row) for row in rows(**story))]) + "\n")
        return path

    def measured(self, path, *options, code=0):
        result = halfturn("measure", path, *options, "--json")
        self.assertEqual(result.returncode, code, result.stderr)
        return json.loads(result.stdout)

    def check_full(self, got, twist=360):
        self.assertAlmostEqual(got["air_time_s"], AIR, delta=0.010)
        self.assertAlmostEqual(got["twist_deg"], twist, delta=2)
        self.assertAlmostEqual(got["somersault_deg"], 335, delta=4)

    def test_clean_record(self):
        got = self.measured(self.record(heading=30), "--axes", "forward=x,up=y")
        self.check_full(got)
        self.assertAlmostEqual(got["start_heading_deg"], 30, delta=0.5)
        self.assertAlmostEqual(got["landing_heading_deg"], 30, delta=2)
        self.assertAlmostEqual(got["stood_heading_deg"], 30, delta=2)
        self.assertAlmostEqual(got["turn_deg"], 360, delta=2)
        self.assertAlmostEqual(got["landing_angle_deg"], 15, delta=4)
        self.assertAlmostEqual(abs(got["flip_toward_deg"]), 180, delta=1)
        # The minimum-jerk blend is steepest in its middle, 1.875 times the mean.
        self.assertAlmostEqual(got["peak_twist_rate_deg_s"], 1.875 * 360 / (0.8 * AIR), delta=15)
        for key in ("air_time_s", "somersault_deg", "twist_deg", "heading_deg"):
            self.assertGreater(got["uncertainty"][key], 0)
        self.check_full(self.measured(self.record(twist=-540), "--axes", "forward=x,up=y"), -540)

    def test_axes_like_our_own_are_assumed_aloud(self):
        path = self.record()
        result = halfturn("measure", path, "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        self.check_full(json.loads(result.stdout))
        self.assertIn("assumed: y points up", result.stderr)
        said = json.loads(result.stdout)["conventions"]
        self.assertTrue(any(c["what"] == "sensor axes" and c["how"].startswith("assumed") for c in said))

    def test_headers_units_and_separators(self):
        def degrees_of(time_unit, force_unit, comma=False, order=(0, 1, 2, 3), separator=","):
            def line(t, q, a):
                cells = [f"{t / time_unit:.6f}", *(f"{q[k]:.7f}" for k in order),
                         *(f"{v / force_unit:.6f}" for v in a)]
                return separator.join(c.replace(".", ",") if comma else c for c in cells)
            return line
        cases = [
            ("timestamp (ms),quat_w,quat_x,quat_y,quat_z,Accelerometer X (g),Accelerometer Y (g),Accelerometer Z (g)",
             degrees_of(1e-3, GRAVITY)),
            ("time_ns,x,y,z,w,ax,ay,az", degrees_of(1e-9, 1, order=(1, 2, 3, 0))),
            ("t;qX;qY;qZ;qW;accX;accY;accZ", degrees_of(1, GRAVITY, True, (1, 2, 3, 0), ";")),
            ("Timestamp_us\torientation.w\torientation.x\torientation.y\torientation.z\tacc x\tacc y\tacc z",
             degrees_of(1e-6, 1, separator="\t")),
        ]
        for header, line in cases:
            with self.subTest(header):
                self.check_full(self.measured(self.record(header, line), "--axes", "forward=x,up=y"))

    def test_sideways_mounting_in_a_z_up_world(self):
        # A phone on its side: its x points down, its z back.
        mount = product(about((0, 0, 1), 90), about((1, 0, 0), 90))
        path = self.record(mount=mount, world=about((1, 0, 0), 90))
        self.refused(2, "--up: at rest the accelerometer points along z", "measure", path, "--json")
        self.refused(2, "--bow: the record does not say which way the chest faces", "measure", path, "--json",
                     "--up", "z")
        self.check_full(self.measured(path, "--up", "z", "--flip-toward", "back"))
        self.refused(2, "--up: says y, but at rest", "measure", path, "--json", "--up", "y")
        self.refused(2, "--axes: y up (given), but in the still stance", "measure", path, "--json", "--up", "z",
                     "--axes", "forward=x,up=y")

    def test_gyroscope_and_accelerometer(self):
        def record(header, unit):
            def line(t, q, a):
                # Body rates of the closed form by a difference over 0.2 ms; the sensor lies like the body.
                early, late = orientation(t - 1e-4, 0, 360), orientation(t + 1e-4, 0, 360)
                step = product((early[0], *(-c for c in early[1:])), late)
                rates = [2 * c / 2e-4 * math.copysign(1, step[0]) / unit for c in step[1:]]
                return ",".join(f"{v:.6f}" for v in (t, *rates, *a))
            return self.record(header, line)
        degree = math.pi / 180
        path = record("time_s,gyro_x_deg_s,gyro_y_deg_s,gyro_z_deg_s,acc_x,acc_y,acc_z", degree)
        self.refused(2, "--rest: devices differ", "measure", path, "--json")
        self.check_full(self.measured(path, "--rest", "up", "--axes", "forward=x,up=y"))
        got = self.measured(path, "--rest", "up", "--flip-toward", "back")
        self.check_full(got)
        self.assertLess(max(map(abs, got["gyroscope"]["bias_deg_s"])), 0.1)
        self.assertEqual(got["gyroscope"]["clipped"], [])
        path = record("t,Gyroscope x (rad/s),Gyroscope y (rad/s),Gyroscope z (rad/s),ax,ay,az", 1)
        self.check_full(self.measured(path, "--rest", "up", "--flip-toward", "back"))
        path = record("t,gyro_x,gyro_y,gyro_z,ax,ay,az", degree)
        self.refused(2, "--rate-unit: the header does not say", "measure", path, "--json")
        self.check_full(self.measured(path, "--rest", "up", "--flip-toward", "back", "--rate-unit", "deg/s"))
        path = record("t,gyro_x_rads,gyro_y_rads,gyro_z_rads,note_x,note_y,note_z", 1)
        self.refused(2, "has a gyroscope but no accelerometer", "measure", path, "--json")

    def test_against_a_plan(self):
        plan = self.folder / "plan.json"
        halfturn("ladder", "--base", "back flip", "--to", "540", "--step", "180", "-o", plan)
        options = ["--axes", "forward=x,up=y", "--plan", plan, "--rung"]
        got = self.measured(self.record(twist=345), *options, "2")["plan"]
        self.assertAlmostEqual(got["turn_error_deg"], -15, delta=2)
        self.assertFalse(got["short"])
        # A whole turn short is short, though it faces the same way.
        got = self.measured(self.record(twist=180), *options, "3", code=1)["plan"]
        self.assertAlmostEqual(got["turn_error_deg"], -360, delta=2)
        self.assertAlmostEqual(got["heading_error_deg"], 0, delta=2)
        self.assertTrue(got["short"])
        result = halfturn("measure", self.record(twist=180), *options, "3")
        self.assertEqual(result.returncode, 1)
        self.assertIn("360.0 degrees short", result.stdout)
        self.refused(2, "--plan, --rung", "measure", self.record(), "--plan", plan)

    def test_written_into_the_logbook(self):
        plan, book = self.folder / "plan.json", self.folder / "club.db"
        halfturn("ladder", "--base", "back flip", "--to", "540", "--step", "180", "-o", plan)
        measures = self.folder / "measures.json"
        got = self.measured(self.record(twist=345), "--axes", "forward=x,up=y")
        measures.write_text(json.dumps(got))
        schema = json.loads((PROJECT / "assets/schema/halfturn-measures.schema.json").read_text())
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.Draft202012Validator(schema).validate(got)
        self.assertEqual(halfturn("athlete", "add", "Ana", "--plan", plan, "--logbook", book).returncode, 0)
        add = ["attempt", "add", "Ana", "in hand", "--logbook", book, "--recorded", measures]
        result = halfturn(*add, "--rung", "2", "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        attempt = json.loads(result.stdout)["attempt"]
        # Planned to face as at the start; it came 15 short, trunk at 15 degrees, in the air 0.8 s.
        self.assertAlmostEqual(attempt["heading_error_deg"], -15, delta=2)
        self.assertEqual(attempt["heading_by"], "measurement")
        self.assertAlmostEqual(attempt["upright_deg"], 15, delta=4)
        self.assertAlmostEqual(attempt["air_time_s"], AIR, delta=0.01)
        self.refused(2, "turn: the record turned 345 degrees", *add, "--rung", "0")
        self.refused(2, "--recorded: gives heading", *add, "--rung", "2", "--on-plan")
        measures.write_text(json.dumps(got | {"version": 2}))
        self.refused(2, "measures.json: version: is 2", *add, "--rung", "2")

    def test_marks_in_a_video(self):
        result = halfturn("measure", "--frames", "120,168", "--fps", "60", "--turned", "120:0,144:180,168:360", "--json")
        self.assertEqual(result.returncode, 0, result.stderr)
        got = json.loads(result.stdout)
        self.assertAlmostEqual(got["air_time_s"], 0.8, places=4)
        self.assertAlmostEqual(got["mean_turn_rate_deg_s"], 450, places=3)
        self.assertAlmostEqual(got["drawn_twist"]["air_turn_deg"], 360, delta=1)
        for options, words in [(["--frames", "168,120", "--fps", "60"], "--frames: \"168,120\" is no pair"),
                               (["--frames", "120,168"], "--fps: is needed"),
                               (["--frames", "120,168", "--fps", "0"], "--fps: is 0"),
                               (["--frames", "120,168", "--fps", "60", "--turned", "130"], "--turned: \"130\""),
                               ([], "record: is missing")]:
            with self.subTest(words):
                self.refused(2, words, "measure", *options)

    def test_several_flights(self):
        lines = self.record().read_text().splitlines()
        later = [",".join([f"{float(c[0]) + 4:.6f}", *c[1:]]) for c in (row.split(",") for row in lines[1:])]
        path = self.folder / "two.csv"
        path.write_text("\n".join(lines + later) + "\n")
        self.refused(2, "--flight: the record has 2 flights", "measure", path, "--json")
        got = self.measured(path, "--flight", "2", "--axes", "forward=x,up=y")
        self.check_full(got)
        self.assertAlmostEqual(got["takeoff_s"], TAKEOFF + 4, delta=0.01)
        self.refused(2, "--flight: 3 is none of the 2", "measure", path, "--flight", "3")

    def test_our_own_table_is_a_flight_from_end_to_end(self):
        body = {"format": "halfturn-body", "version": 1, "reference_segment": "rod", "segments": [
            {"name": "rod", "parent": None, "joint_centre_in_parent_m": [0, 0, 0], "axes": [], "mass_kg": 60,
             "com_m": [0, 0, 0], "inertia_about_com_kgm2": [[12, 0, 0], [0, 1, 0], [0, 0, 12]]}]}
        motion = {"format": "halfturn-motion", "version": 1, "duration_s": 0.9, "output_hz": 200,
                  "takeoff": {"heading_deg": 40, "somersault_deg": 10, "tilt_deg": 0, "twist_deg": 0},
                  "angular_velocity_body_deg_s": [0, 0, 380], "joints_deg": {}}
        for name, document in (("body.json", body), ("motion.json", motion)):
            (self.folder / name).write_text(json.dumps(document))
        table = halfturn("fly", "--body", self.folder / "body.json", "--motion", self.folder / "motion.json", "--csv")
        (self.folder / "table.csv").write_text(table.stdout)
        got = self.measured(self.folder / "table.csv")
        # A steady turn of 380 degrees a second about a principal axis.
        self.assertAlmostEqual(got["somersault_deg"], 342, places=3)
        self.assertAlmostEqual(got["twist_deg"], 0, places=3)
        self.assertAlmostEqual(got["takeoff_heading_deg"], 40, places=3)
        self.assertAlmostEqual(got["air_time_s"], 0.9, places=6)

    def test_gaps_jitter_and_duplicates(self):
        lines = self.record().read_text().splitlines()
        kept = [line for i, line in enumerate(lines) if i == 0 or i % 7 != 3]
        kept = [again for line in kept for again in ([line, line] if line.startswith("1.6") else [line])]
        path = self.folder / "holes.csv"
        path.write_text("\n".join(kept) + "\n")
        got = self.measured(path, "--axes", "forward=x,up=y")
        self.check_full(got)
        self.assertGreater(got["record"]["duplicates"], 10)

    def test_motion_capture(self):
        # references.md: jump.csv is airborne 0.38 s; backflip.csv turns its root by +360 about Z over the clip.
        self.refused(2, "--segment: the record has several sets of columns: chest", "measure", MOTION / "jump.csv")
        options = ["--segment", "root", "--axes", "forward=x,up=y"]
        got = self.measured(MOTION / "jump.csv", *options)
        self.assertAlmostEqual(got["air_time_s"], 0.38, delta=0.01)
        self.assertLess(abs(got["twist_deg"]), 6)
        flip = self.measured(MOTION / "backflip.csv", *options, "--up", "y", "--takeoff", "0.1", "--landing", "1.7")
        self.assertAlmostEqual(flip["somersault_deg"], 360, delta=12)
        self.refused(2, "--takeoff, --landing: no flight was found", "measure", MOTION / "backflip.csv", *options,
                     "--up", "y")

    def test_hostile_records(self):
        good = self.record().read_text().splitlines()

        def broken(line, cell, value):
            lines = list(good)
            cells = lines[line - 1].split(",")
            cells[cell] = value
            lines[line - 1] = ",".join(cells)
            return "\n".join(lines) + "\n"

        cases = [
            ("", "line 1: is empty"),
            (good[0] + "\n", "line 1: has a header but no rows"),
            ("\n".join(good[1:]), "line 1, column 1: numbers without a header"),
            ("name,place\nAna,3\n", "line 1: has no time column"),
            ("time_s,qw,qx,qy\n0,1,0,0\n", "line 1: has neither a whole quaternion nor three gyroscope"),
            (broken(5, 2, "NaN"), "line 5, column 19 (qx): is NaN, a finite number"),
            (broken(5, 0, "inf"), "line 5, column 1 (time_s): is inf"),
            (broken(9, 3, "abc"), "line 9, column 28 (qy): \"abc\" is not a number"),
            (broken(9, 3, ""), "line 9, column 28 (qy): is empty"),
            (broken(7, 1, "1.7"), "line 7, column 10 (qw): the quaternion has the length 1.7"),
            (broken(7, 1, "0"), "line 7, column 10 (qw): the quaternion has the length 0"),
            (broken(50, 0, "0.001"), "line 50, column 1 (time_s): time runs backward"),
            ("\n".join(good)[:-30], "the file ends in the middle of a row"),
            ("\n".join(good[:20] + ["0.2,1,0"] + good[20:]), "line 21, column 8: has 3 cells where the header names 8"),
            ("\n".join(good).replace("time_s", "time_ms"), "--time-unit: rows"),
            ("\n".join(good).replace("acc_x", "acc_x_mg").replace("acc_y", "acc_y_mg").replace("acc_z", "acc_z_mg"),
             "--force-unit: in the unit of the header"),
            ("a\0b,c\n1,2\n", "line 1, column 2: holds the byte 0: this is no text"),
            ("x" * 100000, "a line is longer than 65536 characters"),
            ("\n".join(good[:5]), "too few to measure"),
        ]
        for text, words in cases:
            with self.subTest(words):
                path = self.folder / "bad.csv"
                path.write_text(text)
                self.refused(2, words, "measure", path, "--json", "--axes", "forward=x,up=y")
        self.refused(2, "absent.csv: cannot be opened", "measure", self.folder / "absent.csv")
        self.refused(2, "cannot be read", "measure", self.folder)
        with open(self.folder / "huge.csv", "wb") as file:
            file.truncate(10 << 30)
        self.refused(2, "a line is longer than 65536 characters", "measure", self.folder / "huge.csv")

    def test_bytes_that_are_no_text_in_names_do_not_reach_the_output(self):
        # Found by the fuzzer: the name of the set of columns is said again.
        path = self.record()
        path.write_bytes(path.read_bytes().replace(b"qw,qx,qy,qz", b"\x80.qw,\x80.qx,\x80.qy,\x80.qz"))
        self.check_full(self.measured(path, "--axes", "forward=x,up=y"))

    def test_bad_options(self):
        path = self.record()
        for options, words in [
            (["--still", "2"], "--still: \"2\" is no stretch"), (["--still", "2,1"], "--still"),
            (["--still", "2,9"], "--still: 2,9 is no stretch of this record"),
            (["--turn", "1,2,90"], "--turn: \"1,2,90\" is no turn"), (["--axes", "x,y"], "--axes"),
            (["--axes", "up=y"], "--axes"), (["--axes", "forward=x,up=x"], "--axes: forward and up are the same"),
            (["--up", "w"], "--up: \"w\" is no axis"), (["--flight", "0"], "--flight"),
            (["--takeoff", "2", "--landing", "1"], "--takeoff, --landing"),
            (["--segment", "left wrist"], "--segment: there is no \"left wrist\""),
        ]:
            with self.subTest(words):
                self.refused(2, words, "measure", path, *options)

    def test_by_hand(self):
        got = self.measured(self.record(), "--axes", "forward=x,up=y", "--takeoff", "1.52")
        self.assertAlmostEqual(got["takeoff_s"], 1.52, places=6)
        self.assertAlmostEqual(got["landing_s"], TAKEOFF + AIR, delta=0.006)


if __name__ == "__main__":
    main()
